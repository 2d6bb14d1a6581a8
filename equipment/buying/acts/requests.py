"""So many of a part are asked for; the buyer notes what became of it, until it is received or withdrawn."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.said import station_coded
from equipment.models import PartNumber, PurchaseRequest, PurchaseStep
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import Heading, choice, day, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import day_words

MOST = 100_000


@dataclass(frozen=True, slots=True)
class NewRequest:
    """So many of a part, for a station or any, by a day, and why."""

    part_number: str = text(
        "Part number", 40, heading=Heading("Part number", "The part number.", ("P/N", "part"))
    )
    quantity: int = number(
        "How many", least=1, most=MOST, heading=Heading("Quantity", "How many.", ("qty",))
    )
    why: str = text(
        "Why",
        300,
        needed="Say why it is needed.",
        heading=Heading("Why", "Why it is needed.", ("reason",)),
    )
    station_id: int | None = station_coded(
        "For station", default=None, heading=Heading("Station", "For which station; blank: any.")
    )
    wanted_on: date | None = day(
        "Wanted by", default=None, heading=Heading("Wanted by", "The day; blank: any.")
    )
    maker: str = text(
        "Maker, if two make this part number",
        80,
        default="",
        heading=Heading("Maker", "Its code or name, where two make this part number."),
    )


@dataclass(frozen=True, slots=True)
class NewStep:
    """What became of a request: an order needs its number and supplier, an expected delivery its day."""

    request_id: int = number("The request", least=1, name="request")
    sort: str = choice("It is", PurchaseStep.SORTS)
    supplier: str = text("Supplier", 80, default="")
    order_number: str = text("Order number", 40, default="")
    expected_on: date | None = day("Expected on", default=None)
    quantity: int = number("How many were received", least=0, most=MOST, default=0)
    words: str = text("In words", 200, default="")


@transaction.atomic
def request_purchase(
    *, by: User, wanted: NewRequest, act_id: UUID, at: datetime, today: date
) -> PurchaseRequest:
    """This will ask for so many of a part. Refuses a part that is not on record or that two make, a number below one,
    a day that is past, and a request without a reason."""
    ask(by, "request_purchase")
    rows = PurchaseRequest.objects.filter(act_id=act_id)
    if done := done_before(act_id, "request_purchase", {"wanted": wanted}, rows, by=by, at=at):
        return done
    part = _part(wanted)
    why = refuse_blank(wanted.why, "Say why it is needed.", "why", 300)
    if not 1 <= wanted.quantity <= MOST:
        raise Refused("quantity_wrong", "Give how many, at least one.", "quantity")
    if wanted.wanted_on is not None and wanted.wanted_on < today:
        words = f"{day_words(wanted.wanted_on)} is past: give a day to come, or none."
        raise Refused("wanted_in_the_past", words, "wanted_on")
    return PurchaseRequest.objects.create(
        act_id=act_id,
        part_number=part,
        quantity=wanted.quantity,
        station_id=wanted.station_id,
        wanted_on=wanted.wanted_on,
        why=why,
        requested_at=at,
        requested_by=by,
    )


def _part(wanted: NewRequest) -> PartNumber:
    found = PartNumber.objects.filter(number__iexact=wanted.part_number.strip())
    if wanted.maker.strip():
        found = found.filter(maker__code__iexact=wanted.maker.strip()) or found.filter(
            maker__name__iexact=wanted.maker.strip()
        )
    parts = list(found[:2])
    if not parts:
        words = f"There is no part number {wanted.part_number.strip()[:40]} on record: check it, or have it entered first."
        raise Refused("unknown_part_number", words, "part_number")
    if len(parts) > 1:
        words = f"Part number {parts[0].number} has several makers: give the maker."
        raise Refused("ambiguous_part_number", words, "maker")
    return parts[0]


@transaction.atomic
def note_purchase(*, by: User, step: NewStep, act_id: UUID, at: datetime) -> PurchaseStep:
    """This will note what became of a request. Refuses one that has ended (saying how), an order without its number or
    supplier, an expectation without a day, a receipt of none or of more than is open, a withdrawal without words."""
    ask(by, "note_purchase")
    rows = PurchaseStep.objects.filter(act_id=act_id)
    if done := done_before(act_id, "note_purchase", {"step": step}, rows, by=by, at=at):
        return done
    request = PurchaseRequest.objects.filter(pk=step.request_id).first()
    if request is None:
        raise Refused("unknown_request", "There is no such request: look at the list.", "request")
    # Of two who note at once one waits for the other: the part's row stands for its requests.
    PartNumber.objects.select_for_update().get(pk=request.part_number_id)
    open_count = _still_open(request)
    _refuse_step(step, open_count)
    return PurchaseStep.objects.create(
        request=request,
        act_id=act_id,
        sort=step.sort,
        supplier=refuse_long(step.supplier, "supplier", 80),
        order_number=refuse_long(step.order_number, "order_number", 40),
        expected_on=step.expected_on,
        quantity=step.quantity if step.sort == PurchaseStep.RECEIVED else 0,
        words=refuse_long(step.words, "words", 200),
        recorded_at=at,
        recorded_by=by,
    )


def _still_open(request: PurchaseRequest) -> int:
    """How many are not received yet; refuses a request that has ended."""
    steps = list(request.steps.select_related("recorded_by").order_by("pk"))
    received = sum(each.quantity for each in steps)
    withdrawn = next((each for each in steps if each.sort == PurchaseStep.WITHDRAWN), None)
    if withdrawn is not None:
        words = f"{withdrawn.recorded_by.shown_name} has withdrawn it on {day_words(withdrawn.recorded_at.date())}."
        raise Refused("request_ended", words, "request")
    if received >= request.quantity:
        raise Refused("request_ended", f"All {request.quantity} were received.", "request")
    return request.quantity - received


def _refuse_step(step: NewStep, open_count: int) -> None:
    if step.sort not in dict(PurchaseStep.SORTS):
        raise Refused("unknown_step", "Say what became of it.", "sort")
    if step.sort == PurchaseStep.ORDERED:
        refuse_blank(step.supplier, "Name the supplier.", "supplier", 80)
        refuse_blank(step.order_number, "Give the order's number.", "order_number", 40)
    if step.sort == PurchaseStep.EXPECTED and step.expected_on is None:
        raise Refused("missing", "Give the day that it is expected on.", "expected_on")
    if step.sort == PurchaseStep.WITHDRAWN:
        refuse_blank(step.words, "Say why it is withdrawn.", "words", 200)
    if step.sort == PurchaseStep.RECEIVED and not 1 <= step.quantity <= open_count:
        words = f"{open_count} are not received yet: give how many came, from one to {open_count}."
        raise Refused("quantity_wrong", words, "quantity")


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseRequestShown:
    id: int = shown("pk")
    quantity: int
    wanted_on: date | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseStepShown:
    request: int = shown("request_id")
    sort: str
    supplier: str
    order_number: str
    expected_on: date | None
    quantity: int
    words: str


# --- declared ---------------------------------------------------------------------------------

REQUEST_PURCHASE = Act(
    name="request_purchase",
    does=request_purchase,
    said=NewRequest,
    as_="wanted",
    needs_today=True,
    tag="Stores",
    summary="Ask for a part to be bought",
    description="Asks for so many of a part, for a station or any, by a day, with the reason.",
    address="stores/purchase-requests",
    example={
        "act_id": EXAMPLE_ID,
        "part_number": "HS-4410-3",
        "quantity": 2,
        "why": "Two short in July.",
        "station": "LYD",
        "wanted_on": "2099-06-01",
    },
    shows=PurchaseRequestShown,
    answer={"id": 6, "quantity": 2, "wanted_on": "2099-06-01", "why": "Two short in July."},
)
NOTE_PURCHASE = Act(
    name="note_purchase",
    does=note_purchase,
    said=NewStep,
    as_="step",
    tag="Stores",
    summary="Note what became of a request",
    description="Notes that what was asked for is ordered, expected, received in parts or whole, or withdrawn.",
    address="stores/purchase-steps",
    example={
        "act_id": EXAMPLE_ID,
        "request": 6,
        "sort": "ordered",
        "supplier": "Tidewater Parts",
        "order_number": "PO-220",
    },
    shows=PurchaseStepShown,
    answer={
        "request": 6,
        "sort": "ordered",
        "supplier": "Tidewater Parts",
        "order_number": "PO-220",
        "expected_on": None,
        "quantity": 0,
        "words": "",
    },
)
