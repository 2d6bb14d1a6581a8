"""Telling people what became of what they decided."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import Notice, User


def tell(
    *,
    to: User,
    words: str,
    link: str,
    at: datetime,
    sort: str = "",
    about: str = "",
    is_shown: bool = True,
) -> Notice:
    """This will leave a notice for a person. Asked for by other acts, never by a door of its own. ``about``: what it
    tells to several; one that is not shown is for the mail alone."""
    return Notice.objects.create(
        to=to, words=words[:300], link=link, at=at, sort=sort, about=about, is_shown=is_shown
    )


@transaction.atomic
def read_notice(*, by: User, notice_id: int, at: datetime) -> Notice:
    """This will mark a person's own notice as read; refuses ``unknown_notice``."""
    ask(by, "read")
    found = Notice.objects.select_for_update().filter(pk=notice_id, to=by).first()
    if found is None:
        raise Refused("unknown_notice", "You have no such notice: look at the list again.")
    if found.read_at is None:
        found.read_at = at
        found.save()
    return found
