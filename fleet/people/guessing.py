"""Guessing is slowed: who tries many names from one address waits longer after each.

Many passwords for one name are stopped by django-axes, by name and address. Here the names are counted that failed
from one address, by the rows that it keeps. Who is signed in already, and signs something, does not wait for others.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from axes.models import AccessAttempt
from django.conf import settings
from django.db.models import Count, Max

from fleet.house.addresses import client_address
from fleet.house.refusals import Refused
from fleet.house.slowing import WITHIN
from fleet.house.slowing import wait_after as waited

#: So many names may fail from one address before anybody waits: a shift that begins, behind one address.
FREE_NAMES = 10


def wait_after(names: int) -> timedelta:
    """How long an address waits when so many names have failed from it."""
    return waited(names, FREE_NAMES)


def refuse_guessing(request: Any, at: datetime) -> None:
    """This will refuse (``credentials_slowed``) a try that comes too soon from an address where many
    names failed; counts nothing itself."""
    if not settings.AXES_ENABLED or request is None:
        return
    user = getattr(request, "user", None)
    if user is not None and user.is_authenticated:
        return
    failed = AccessAttempt.objects.filter(
        ip_address=client_address(request), attempt_time__gt=at - WITHIN
    ).aggregate(names=Count("username", distinct=True), last=Max("attempt_time"))
    if failed["last"] is None:
        return
    left = failed["last"] + wait_after(failed["names"]) - at
    if left > timedelta(0):
        seconds = int(left.total_seconds()) + 1
        raise Refused(
            "credentials_slowed",
            f"Many names were tried with wrong passwords from here. Wait {seconds} seconds, then try again.",
            "password",
        )
