"""Tokens that nobody has are counted by the address that sends them, and it is answered slower and slower.

A good token is let in at once, from there too: 256 bits are not guessed, and one program with a wrong key behind an
office's address must not stop the others. Counted by rows that the application may add and not take away.
"""

from __future__ import annotations

from datetime import datetime

from axes.models import AccessFailureLog
from django.conf import settings
from django.db.models import Count, Max
from rest_framework.exceptions import Throttled
from rest_framework.request import Request

from fleet.house.addresses import client_address
from fleet.house.slowing import WITHIN, wait_after

#: So many may fail from one address before anybody waits.
FREE_TRIES = 10
#: What tells these rows from those of passwords.
COUNTED_AS = "a token"


class TokensSlowed(Throttled):
    """Too soon after too many tokens that nobody has."""

    default_code = "tokens_slowed"
    extra_detail_singular = extra_detail_plural = ""

    def __init__(self, seconds: int) -> None:
        unit = "second" if seconds == 1 else "seconds"
        words = f"Many unknown tokens came from here. Wait {seconds} {unit}, then send one that is known."
        super().__init__(wait=seconds, detail=words, code=self.default_code)


def count_unknown(request: Request, at: datetime) -> None:
    """This will note that an unknown token came from the request's address; refuses (429,
    ``tokens_slowed``) one that comes too soon, and does not count it."""
    if not settings.AXES_ENABLED:
        return
    address = client_address(request)
    failed = AccessFailureLog.objects.filter(
        ip_address=address, path_info=COUNTED_AS, attempt_time__gt=at - WITHIN
    ).aggregate(tries=Count("pk"), last=Max("attempt_time"))
    if failed["last"] is not None:
        left = failed["last"] + wait_after(failed["tries"], FREE_TRIES) - at
        if left.total_seconds() > 0:
            raise TokensSlowed(-int(-left.total_seconds() // 1))
    AccessFailureLog.objects.create(
        ip_address=address, path_info=COUNTED_AS, user_agent="", http_accept=""
    )
