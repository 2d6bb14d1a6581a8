"""Labels and tags of units as PDF, each with the unit's own code to scan. Nothing is written here."""

from __future__ import annotations

from datetime import date, datetime

from reportlab.lib.units import mm

from equipment.codes.label import write_label
from equipment.common.wording import PLACE_PARTS, happened_on_words, movement_words, place_words
from equipment.models import Certificate, Movement, PrintedTag, Reservation, Unit, UnitTag
from fleet.words.said import count_words, day_words, hours_words

from .drawn import Sheet
from .lives import lines_of
from .ports import life_totals_of
from .printed_state import NOT_FOR_USE, PrintedState, state_of

#: Width and height: a label for a shelf or a box, a tag that hangs on the unit.
LABEL, TAG = (90 * mm, 50 * mm), (105 * mm, 148 * mm)
CAUTION = "Do not remove this tag from the unit. The operator's approved data governs."


def code_of(unit: Unit) -> str:
    """What the unit's code says: its maker, original part and serial where a label can carry them,
    otherwise both numbers in plain text."""
    part = unit.original_part
    lot = unit.serial_number if part.is_lot else None
    try:
        return write_label(
            maker_code=part.maker.code,
            part_number=part.number,
            serial=unit.serial_number,
            lot=lot,
            manufactured_on=unit.manufactured_on if unit.manufactured_precision == "day" else None,
        )
    except ValueError:
        return f"P/N {part.number} S/N {unit.serial_number}"


def whole_unit(unit_id: int) -> Unit:
    """The unit as labels read it."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    return Unit.objects.select_related(
        "part_number", "original_part__maker", "standard", *parts
    ).get(pk=unit_id)


def unit_label(unit_id: int, *, on: date, at: datetime, is_demonstration: bool) -> Sheet:
    """A label for the shelf or the box: what it is, how it stands, what ends first, how it is kept."""
    unit = whole_unit(unit_id)
    state = state_of(unit, on=on, at=at)
    lines = [
        *_identity(unit),
        ("Place", place_words(unit.place)),
        *_standing(state),
        *_in_service(unit, on),
        ("As of", day_words(on)),
    ]
    return Sheet(
        state.word, LABEL, lines, code_of(unit), is_demonstration, is_striking=not state.may_be_used
    )


def set_aside_label(
    reservation_id: int, *, on: date, at: datetime, is_demonstration: bool
) -> Sheet:
    """A label for a unit that is set aside: for which position, when, by whom; or why it may not be used."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    kept = Reservation.objects.select_related("reserved_by", *parts).get(pk=reservation_id)
    unit = whole_unit(kept.unit_id)
    lines = [
        *_identity(unit),
        ("For", place_words(kept.place)),
        ("Needed on", day_words(kept.need_on)),
        ("Set aside by", f"{kept.reserved_by.shown_name}, {day_words(kept.reserved_at.date())}"),
    ]
    state = state_of(unit, on=on, at=at)
    title = "Set aside" if state.may_be_used else f"{NOT_FOR_USE}: {state.word.lower()}"
    lines += _standing(state)
    return Sheet(title, LABEL, lines, code_of(unit), is_demonstration, is_striking=True)


COPY = "a copy to read: not for the unit"


def printed_tag(printed: PrintedTag, *, on: date, at: datetime, is_demonstration: bool) -> Sheet:
    """A tag as it was printed to hang on its unit: which print of the unit's it is, and which it replaces."""
    words = f"{printed.number} of this unit"
    before = PrintedTag.objects.filter(unit=printed.unit_id, number__lt=printed.number, back=None)
    if numbers := list(before.order_by("number").values_list("number", flat=True)):
        told = ", ".join(str(each) for each in numbers)
        words = f"{words}, a reprint: take off and destroy print {told}"
    when = {"on": on, "at": at, "is_demonstration": is_demonstration}
    return unit_tag(printed.tag, **when, print_words=words)  # type: ignore[arg-type]


def unit_tag(
    tag: UnitTag, *, on: date, at: datetime, is_demonstration: bool, print_words: str = COPY
) -> Sheet:
    """The tag that hangs on a unit. Unserviceable: identification, why, what it needs, times in
    service, preservation, failures, exposure. Serviceable: the release that makes it so, and who
    accepted it; only where segregation lets the unit be used. Else the tag says why it is not.
    """
    unit = whole_unit(tag.unit_id)
    state = state_of(unit, on=on, at=at)
    is_tagged_good = tag.sort == "serviceable"
    is_good = is_tagged_good and state.may_be_used
    lines = [
        *_identity(unit),
        ("Standard", unit.standard.code if unit.standard else ""),
        ("Tagged", f"{day_words(tag.tagged_at.date())} by {tag.recorded_by.shown_name}"),
        ("Why", tag.get_why_display() if tag.why and is_good == is_tagged_good else ""),
        *([] if is_good else [("Not for use", " ".join(state.reasons))]),
        *(_release(unit) if is_good else [] if is_tagged_good else _failure(tag)),
        *([("Accepted to stock by", state.accepted_by)] if is_good else []),
        *([("Good until", _ends(state))] if is_good else []),
        *_times(unit, tag, on),
        ("Preservation", tag.preservation),
        ("Came from", _came_from(unit)),
        ("As of", day_words(on)),
        ("Print", print_words),
    ]
    title = (
        "Not serviceable" if is_tagged_good and not is_good else tag.get_sort_display().capitalize()
    )
    return Sheet(title, TAG, lines, code_of(unit), is_demonstration, CAUTION, not is_good)


def _standing(state: PrintedState) -> list[tuple[str, str]]:
    said = [("Why not", state.reasons[0])] if state.reasons else []
    return [*said, ("Good until", _ends(state)), ("Kept", state.preservation)]


def _ends(state: PrintedState) -> str:
    if state.ends is None:
        return "no date on record"
    return f"{day_words(state.ends.on)} ({state.ends.words})"


def _identity(unit: Unit) -> list[tuple[str, str]]:
    return [
        ("Part number", unit.part_number.number),
        ("Serial number", unit.serial_number),
        ("Description", unit.part_number.description),
        *([("Quantity", str(unit.quantity))] if unit.quantity > 1 else []),
    ]


def _release(unit: Unit) -> list[tuple[str, str]]:
    paper = Certificate.objects.filter(unit=unit).order_by("-issued_on", "-pk").first()
    if paper is None:
        return [("Certificate", "none on record")]
    said = f"{paper.form} {paper.tracking_number}, {paper.status}, {day_words(paper.issued_on)}"
    signed = [f"signed by {paper.signatory}"] if paper.signatory else []
    approved = [f"approval {paper.approval_number}"] if paper.approval_number else []
    return [("Certificate", said), ("Released by", ", ".join([paper.issuer, *signed, *approved]))]


def _failure(tag: UnitTag) -> list[tuple[str, str]]:
    return [
        ("Failure or defect", tag.words),
        ("Actions needed", tag.actions_needed),
        ("Adverse exposure, accident", tag.exposure),
    ]


def _times(unit: Unit, tag: UnitTag, on: date) -> list[tuple[str, str]]:
    """What the tag itself states; and what our records reckon as of the day of printing."""
    said = []
    if tag.total_minutes is not None:
        said.append(f"{hours_words(tag.total_minutes)} h")
    if tag.total_cycles is not None:
        said.append(f"{count_words(tag.total_cycles)} cycles")
    stated = [("Times as tagged", ", ".join(said))] if said else []
    return [*stated, *_in_service(unit, on)]


def _in_service(unit: Unit, on: date) -> list[tuple[str, str]]:
    return lines_of(life_totals_of([unit.pk], on).get(unit.pk))


def _came_from(unit: Unit) -> str:
    parts = (f"to_place__{part}" for part in PLACE_PARTS)
    rows = Movement.objects.of_unit(unit).filter(
        is_conforming=True, corrected_by=None, annulment=None
    )
    last = rows.select_related(*parts).last()
    return f"{movement_words(last)}, {happened_on_words(last)}" if last else ""
