"""Units are held while there is a doubt about them, wherever they are, until a paper clears it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.db.models import QuerySet

from equipment.common.said import unit_row
from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.keeping.derive import raise_stamps
from equipment.keeping.freeing import free_failed
from equipment.keeping.locks import lock
from equipment.models import Certificate, Discrepancy, Hold, HoldEnd, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import Heading, choice, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words


@transaction.atomic
def hold_units(*, by: User, hold: NewHold, act_id: UUID, at: datetime) -> Held:
    """This will hold a unit, or every unit of a certificate, supplier or lot, those to come too.

    What they were set aside for is freed and its clerk told; each that is fitted becomes a
    discrepancy of its aircraft, for the controller. Refuses a doubt without words, a scope that
    names nothing on record.
    """
    ask(by, "hold_units")
    rows = Hold.objects.filter(act_id=act_id)
    if done := done_before(act_id, "hold_units", {"hold": hold}, rows, by=by, at=at):
        return held_by(done)
    words = refuse_blank(hold.words, "Say what the doubt is.", "words", 300)
    _refuse_scope(hold)
    made = Hold(
        act_id=act_id,
        scope=hold.scope,
        value=hold.value.strip(),
        unit_id=_kept(hold.unit_id),
        why=hold.why,
        words=words,
        document=hold.document.strip()[:80],
        held_at=at,
        held_by=by,
    )
    found = sorted(units_under(made).values_list("pk", flat=True))
    if hold.scope in ("certificate", "lot") and not found:
        words = f"Nothing on record has the {hold.scope} “{made.value}”: check the number."
        raise Refused("nothing_to_hold", words, "value")
    lock(places=(), units=found)
    made.save()
    said = f"is held: {made.get_why_display()}, {words}"
    free_failed(unit_ids=found, words=said, by=by, at=at)
    _show_fitted(made, found, by, at)
    raise_stamps(found)
    return held_by(made)


def units_under(hold: Hold) -> QuerySet[Unit]:
    """The units, as kept, that a hold is about."""
    units = Unit.objects.filter(merged_into=None)
    if hold.scope == "unit":
        return units.filter(pk=hold.unit_id or 0)
    if hold.scope == "lot":
        lots = units.filter(part_number__is_lot=True)
        own = lots.filter(serial_number__iexact=hold.value)
        return own | lots.filter(split_from__serial_number__iexact=hold.value)
    column = "tracking_number" if hold.scope == "certificate" else "supplier"
    papers = Certificate.objects.filter(**{f"{column}__iexact": hold.value})
    kept = {merged or unit for unit, merged in papers.values_list("unit", "unit__merged_into")}
    return units.filter(pk__in=kept)


def held_by(hold: Hold) -> Held:
    """What a hold holds now."""
    rows = list(units_under(hold).order_by("pk").values_list("pk", "aircraft"))
    fitted = tuple(unit for unit, aircraft in rows if aircraft is not None)
    shown = Discrepancy.objects.filter(act_id__in=[_shown_as(hold, unit) for unit in fitted])
    keys = tuple(shown.order_by("pk").values_list("pk", flat=True))
    return Held(hold.pk, tuple(unit for unit, _ in rows), fitted, keys)


@transaction.atomic
def end_hold(
    *, by: User, hold_id: int, words: str, document: str, act_id: UUID, at: datetime
) -> HoldEnd:
    """This will end a hold by the paper that clears the doubt. Refuses one without a paper, or ended."""
    ask(by, "end_hold")
    told = {"hold_id": hold_id, "words": words, "document": document}
    rows = HoldEnd.objects.filter(act_id=act_id)
    if done := done_before(act_id, "end_hold", told, rows, by=by, at=at):
        return done
    hold = Hold.objects.filter(pk=hold_id).first()
    if hold is None:
        raise Refused("unknown_hold", "There is no such hold: look it up again.", "hold")
    units = sorted(units_under(hold).values_list("pk", flat=True))
    lock(places=(), units=units)
    ended = HoldEnd.objects.filter(hold=hold).select_related("ended_by").first()
    if ended is not None:
        who = ended.ended_by.shown_name
        words = (
            f"{who} has ended this hold on {day_words(ended.ended_at.date())}, by {ended.document}."
        )
        raise Refused("hold_ended", words, "hold")
    made = HoldEnd.objects.create(
        hold=hold,
        act_id=act_id,
        words=refuse_blank(words, "Say how the doubt was cleared.", "words", 300),
        document=refuse_blank(document, "Name the paper that clears the doubt.", "document", 80),
        ended_at=max(at, hold.held_at),
        ended_by=by,
    )
    raise_stamps(units)
    return made


def _refuse_scope(hold: NewHold) -> None:
    if hold.scope not in dict(Hold.SCOPES):
        words = "Say what is held: one unit, or all of a certificate, a supplier or a lot."
        raise Refused("unknown_scope", words, "scope")
    if hold.why not in dict(Hold.WHY):
        raise Refused("unknown_reason", "Choose what the doubt is about.", "why")
    if hold.scope == "unit":
        if hold.unit_id is None or _kept(hold.unit_id) is None:
            raise Refused("unknown_unit", "There is no such unit: look it up again.", "unit")
    else:
        refuse_blank(hold.value, f"Name the {hold.scope}.", "value", 80)


def _kept(unit_id: int | None) -> int | None:
    found = Unit.objects.filter(pk=unit_id or 0).values_list("pk", "merged_into").first()
    return (found[1] or found[0]) if found else None


def _shown_as(hold: Hold, unit_id: int) -> UUID:
    return uuid5(hold.act_id, f"fitted {unit_id}")


def _show_fitted(hold: Hold, unit_ids: list[int], by: User, at: datetime) -> None:
    """What is fitted may not simply be taken away: the controller decides, aircraft by aircraft."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    fitted = Unit.objects.filter(pk__in=unit_ids, aircraft__isnull=False)
    for unit in fitted.select_related("part_number", "aircraft", *parts).order_by("pk"):
        words = (
            f"{unit_words(unit)}, fitted at {place_words(unit.place)}, is held: {hold.get_why_display()},"
            f" {hold.words}"
        )
        Discrepancy.objects.create(
            act_id=_shown_as(hold, unit.pk),
            sort="nonconforming",
            aircraft=unit.aircraft,
            place=unit.place,
            recorded_unit=unit,
            words=words[:400],
            found_at=at,
            found_by=by,
        )


@dataclass(frozen=True, slots=True)
class NewHold:
    """A doubt about one unit, or about all of a certificate, a supplier or a lot."""

    scope: str = choice("What is held", Hold.SCOPES, heading=Heading("Held", "What is held."))
    why: str = choice("The doubt is", Hold.WHY, heading=Heading("Doubt", "What it is about."))
    words: str = text(
        "In words",
        300,
        needed="Fill this in.",
        heading=Heading("Remarks", "The doubt in words."),
    )
    value: str = text(
        "Its number or name: of the unit, certificate, supplier or lot",
        80,
        default="",
        help="The certificate's number, the supplier, the lot.",
        heading=Heading("Number or name", "Of the certificate, supplier or lot."),
    )
    unit_id: int | None = unit_row(default=None)
    document: str = text(
        "Document",
        80,
        default="",
        heading=Heading("Document", "Who raised it, by which paper."),
    )


@dataclass(frozen=True, slots=True)
class ClearedDoubt:
    """By which paper a doubt was cleared, and how."""

    hold_id: int = number("The hold", least=1, name="hold")
    document: str = text("The paper that clears the doubt", 80)
    words: str = text("How it was cleared", 300)


@dataclass(frozen=True, slots=True)
class Held:
    """A hold with what it holds now: all units, of these the fitted ones, what was shown to the controller."""

    hold_id: int
    unit_ids: tuple[int, ...]
    fitted_ids: tuple[int, ...]
    discrepancy_ids: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldShown:
    hold: int = shown("hold_id")
    units: tuple[int, ...] = shown("unit_ids")
    fitted: tuple[int, ...] = shown("fitted_ids")
    discrepancies: tuple[int, ...] = shown("discrepancy_ids")


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldEndShown:
    hold: int = shown("hold_id")
    words: str
    document: str
    ended_at: datetime


# --- declared ---------------------------------------------------------------------------------

HOLD_UNITS = Act(
    name="hold_units",
    does=hold_units,
    said=NewHold,
    as_="hold",
    tag="Stores",
    summary="Hold units",
    description="Holds a unit, or every unit of a certificate, a supplier or a lot, wherever it is; fitted "
    "ones are shown to the controller as discrepancies.",
    address="stores/holds",
    example={
        "act_id": EXAMPLE_ID,
        "scope": "supplier",
        "value": "Tidewater Parts",
        "why": "unapproved",
        "words": "Stamps that the shop does not know.",
    },
    shows=HeldShown,
    answer={"hold": 4, "units": [812, 815], "fitted": [815], "discrepancies": [77]},
)
END_HOLD = Act(
    name="end_hold",
    does=end_hold,
    said=ClearedDoubt,
    tag="Stores",
    summary="End a hold",
    description="Ends a hold by the paper that clears the doubt.",
    address="stores/hold-ends",
    example={
        "act_id": EXAMPLE_ID,
        "hold": 4,
        "words": "The maker confirms both.",
        "document": "Letter HS-77",
    },
    shows=HoldEndShown,
    answer={
        "hold": 4,
        "words": "The maker confirms both.",
        "document": "Letter HS-77",
        "ended_at": "2024-03-01T10:00:00Z",
    },
)
