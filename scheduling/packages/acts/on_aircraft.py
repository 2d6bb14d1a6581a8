"""A work that a package asks for on the aircraft as such: recorded from its item, by who, authorisation and document."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Reasons, Refusal, Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words
from scheduling.models import PackageItem, Work, WorkDone
from scheduling.programme.acts.works import RESULTS, NewWork, record_works

from ..reads.handed import ItemShown
from ..standing import DONE
from .held import handed, lock_check, refuse_closed

WHO = "Say who did the work: name or organisation."
AUTHORISATION = "Give the authorisation that it was done under: its number."
DOCUMENT = "Name the document that shows it."


@dataclass(frozen=True, slots=True)
class AircraftWork:
    """A work done on the aircraft: of which item, when, by whom, under which authorisation, shown by what."""

    item_id: int = number("The item", least=1, name="item", help="Its id in the package.")
    done_on: date = day("Done on")
    who: str = text("Who", 80, needed=WHO)
    authorisation: str = text(
        "Authorisation", 40, needed=AUTHORISATION, help="Its number: a licence's, or an approval's."
    )
    document: str = text("Document", 80, needed=DOCUMENT)
    result: str = choice("Result", RESULTS, unchosen="Choose")


@transaction.atomic
def record_aircraft_work(
    *, by: User, aircraft_work: AircraftWork, act_id: UUID, at: datetime
) -> WorkDone:
    """This will record a work of a package's item on the aircraft as such. Passed, its clock runs anew and the item
    is done; failed, neither, and the aircraft is grounded until it passes or a document lets it stay.

    Refuses what lacks who, authorisation or document; a day before the package was handed over, or to come;
    an item of a unit or position (its work begins there), one that is done already, a closed check.
    """
    ask(by, "record_aircraft_work")
    rows, said = WorkDone.objects.filter(act_id=act_id), {"aircraft_work": aircraft_work}
    if done := done_before(act_id, "record_aircraft_work", said, rows, by=by, at=at):
        return done
    who = refuse_blank(aircraft_work.who, WHO, "who", 80)
    authorisation = refuse_blank(aircraft_work.authorisation, AUTHORISATION, "authorisation", 40)
    document = refuse_blank(aircraft_work.document, DOCUMENT, "document", 80)
    item = _item(aircraft_work.item_id)
    [work] = item.row.works  # what is done on the aircraft is a job of its own
    Reasons(_why_early(item.row, aircraft_work.done_on)).refuse()
    row = NewWork(
        work_id=_work_id(work["code"]),
        done_on=aircraft_work.done_on,
        act_id=act_id,
        aircraft_id=work["subject"][1],
        limit_code=work["limit"],
        result=aircraft_work.result,
        who=who,
        authorisation=authorisation,
        document=document,
    )
    [made] = record_works(by=by, rows=[row], now=at)
    return made


def _item(item_id: int) -> ItemShown:
    """The item as it stands, its check held; refuses one that no work on the aircraft is left of."""
    row = PackageItem.objects.filter(pk=item_id).first()
    if row is None:
        raise Refused("unknown_item", "There is no such item of a package.", "item")
    check = lock_check(row.check_planned_id)
    refuse_closed(check)
    [item] = [each for each in handed(check).items if each.row.pk == row.pk]
    if not item.row.is_on_aircraft:
        words = "This item is of a unit or a position: begin its work or its swap there."
        raise Refused("not_on_aircraft", words, "item")
    if item.standing.state == DONE:
        raise Refused("item_ended", f"It is done already. {item.standing.words}", "item")
    return item


def _why_early(item: PackageItem, done_on: date) -> list[Refusal]:
    """Earlier work is on record, or is recorded as what it is: it shows nothing of this item."""
    handed_on = item.handover.handed_on
    if done_on >= handed_on:
        return []
    words = (
        f"The package was handed over on {day_words(handed_on)}: a work done before then is not of it. Correct the"
        " day, or record the work with its limit."
    )
    return [Refusal("work_before_handover", words, "done_on")]


def _work_id(code: str) -> int:
    found = Work.objects.filter(code=code).values_list("pk", flat=True).first()
    if found is None:
        raise Refused("unknown_work", "This work is not on record any more.", "item")
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftWorkShown:
    id: int
    aircraft: str = shown("aircraft.registration")
    work: str = shown("work.code")
    limit: str = shown("limit_code")
    done_on: date
    who: str
    authorisation: str
    document: str
    result: str
    recorded_at: datetime


# --- declared ---------------------------------------------------------------------------------

RECORD_AIRCRAFT_WORK = Act(
    name="record_aircraft_work",
    does=record_aircraft_work,
    said=AircraftWork,
    as_="aircraft_work",
    tag="Plan",
    summary="Record a work done on the aircraft",
    description="Records a work that a package's item asks for on the aircraft as such. Passed, its clock runs anew "
    "and the item is done; failed, neither, and the aircraft is grounded until it passes or a document lets it stay.",
    address="plan/package-items/<int:item_id>/aircraft-work",
    in_address=("item_id",),
    example={
        "act_id": EXAMPLE_ID,
        "done_on": "2027-03-01",
        "who": "T. Arden",
        "authorisation": "Q-B1-204",
        "document": "WO-7",
        "result": "passed",
    },
    shows=AircraftWorkShown,
    answer={
        "id": 8121,
        "aircraft": "Q7-VAB",
        "work": "function",
        "limit": "EL-FUN",
        "done_on": "2027-03-01",
        "who": "T. Arden",
        "authorisation": "Q-B1-204",
        "document": "WO-7",
        "result": "passed",
        "recorded_at": "2027-03-01T14:00:00Z",
    },
)
