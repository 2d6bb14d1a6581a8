"""A long list is asked for on paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import text
from fleet.acts.repeats import claim
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import PaperAsked

from ..kinds import form_of_query

#: So many one person may have being made at a time.
MOST = 3


@dataclass(frozen=True, slots=True)
class PaperWanted:
    """The due list as its page was asked for it, and the address that opens it."""

    query: str = text("As the list was asked for", 2000, default="")
    address: str = text("The address of the list", 2200, default="")


@transaction.atomic
def ask_for_paper(*, by: User, wanted: PaperWanted, act_id: UUID, at: datetime) -> PaperAsked:
    """This will ask the job for the due list on paper, every row of it, as of the day that it is then or
    that the query names. Refuses a query that the list does not know, and more than three at a time."""
    ask(by, "read")
    rows = PaperAsked.objects.filter(act_id=act_id)
    if not claim(act_id, "ask_for_paper", {"wanted": wanted}, by=by, at=at, earlier=[rows]):
        return rows.get()
    form = form_of_query(wanted.query)
    if PaperAsked.objects.filter(asked_by=by, finished_at=None).count() >= MOST:
        words = f"{MOST} lists of yours are being made: wait until one is done."
        raise Refused("too_many_papers", words)
    return PaperAsked.objects.create(
        act_id=act_id,
        what="due-list",
        query=wanted.query,
        address=wanted.address,
        as_of=form.day(at.astimezone(zone()).date()),
        asked_at=at,
        asked_by=by,
    )


# --- declared ---------------------------------------------------------------------------------

ASK_FOR_PAPER = Act(
    name="ask_for_paper",
    who="read",
    does=ask_for_paper,
    said=PaperWanted,
    as_="wanted",
    tag="Due list",
    summary="Ask for a long list on paper",
)
