"""The same said again by one person under another id: a second tab, a page gone back to.

A page asks before it is done; a program or a sheet, which makes its ids itself, is believed. The
answer travels in the id that the form then carries: it is made from the id of what is on record, so
that to send the form once more says *another one*, and twice more is still one act.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime, timedelta
from uuid import UUID, uuid5

from fleet.house.refusals import Refused
from fleet.models import Act, User
from fleet.words.said import clock_words

#: How long the same said again is taken for the first, sent twice.
LATELY = timedelta(minutes=10)
CODE = "same_again"
#: The id that a page's act carries while it is tried; nobody else's acts are asked about.
_ON_PAGE: ContextVar[UUID | None] = ContextVar("act_on_page", default=None)


class SameAgain(Refused):
    """The same person recorded the same a moment ago. ``another`` is the id that says: one more."""

    def __init__(self, before: Act) -> None:
        super().__init__(
            CODE,
            f"You recorded the same at {clock_words(before.done_at)}, and it stands. Nothing was recorded now."
            " If this is another one, save it once more.",
        )
        self.another = id_of_another(before.act_id)


def id_of_another(act_id: UUID) -> UUID:
    """The id of an act that is meant to be done besides the one recorded under ``act_id``."""
    return uuid5(act_id, "another one")


@contextmanager
def asked_of_the_same(act_id: UUID) -> Iterator[None]:
    """While it lasts, the act of this id is refused (:class:`SameAgain`) where it was done lately."""
    before = _ON_PAGE.set(act_id)
    try:
        yield
    finally:
        _ON_PAGE.reset(before)


def refuse_same_again(act_id: UUID, act: str, digest: str, *, by: User, at: datetime) -> None:
    """This will refuse what a page sends under a new id with the content of an act done lately by
    the same person."""
    if _ON_PAGE.get() != act_id:
        return
    done = Act.objects.filter(done_by=by, done_at__gt=at - LATELY, done_at__lte=at)
    before = done.filter(act=act, digest=digest).exclude(act_id=act_id).order_by("-pk").first()
    if before is not None and act_id != id_of_another(before.act_id):
        raise SameAgain(before)
