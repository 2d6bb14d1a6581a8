"""One swap on paper: what, where, who, values, tools, signatures, and a code that opens it."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from equipment.common.paper import Paper, Photo
from equipment.common.wording import happened_on_words, place_words, unit_words
from equipment.models import Movement, Swap, SwapMovement, UnitTag
from equipment.swaps.reads.dispositions import disposition_words
from equipment.swaps.reads.ink import days_late
from equipment.swaps.reads.resting import in_service_of
from equipment.swaps.reads.rows import SwapRows, moves_of, rows_of
from equipment.units.lives import lines_of
from fleet.models import Measure, UtilisationReading
from fleet.words.said import count_words, day_words, days_words, hours_words

from .parts import at_words, parts_of

CAUTION = (
    "This record supports licensed staff and replaces none of them. The operator's approved data"
    " governs: where this page and that data differ, the data is right."
)


def swap_paper(swap_id: int, *, address: str, is_demonstration: bool) -> Paper:
    """The page of a swap as it stands. ``address`` is what the code opens."""
    swap = Swap.objects.select_related(
        "place__aircraft_position__aircraft__aircraft_type",
        "place__aircraft_position__type_position",
        "place__parent_unit__part_number",
        "place__part_position",
        "place__station",
        "expected_off__part_number",
        "station",
        "step_list",
        "rule_set",
        "opened_by",
        "corrects",
    ).get(pk=swap_id)
    rows = rows_of(swap)
    photos = list(
        swap.attachments.select_related("step", "recorded_by").order_by("step__number", "pk")
    )
    return Paper(
        title=f"{_what(swap)} {swap.pk}: {place_words(swap.place)}",
        state=_state(swap),
        facts=[*_facts(swap), *_units(swap), *_lives(rows)],
        parts=parts_of(swap, rows, photos),
        photos=[
            Photo(
                f"{each.name}{f', step {each.step.number}' if each.step else ''}",
                bytes(each.content),
            )
            for each in photos
            if each.media_type.startswith("image/")
        ],
        notes=_notes(swap),
        address=address,
        is_demonstration=is_demonstration,
    )


def _what(swap: Swap) -> str:
    return "Work in place" if swap.sort == Swap.IN_PLACE else "Swap"


def _when(movement: Movement) -> str:
    is_instant = movement.precision == "instant"
    return at_words(movement.happened_at) if is_instant else happened_on_words(movement)


def _state(swap: Swap) -> str:
    end = getattr(swap, "end", None)
    if hasattr(swap, "corrected_by"):
        return f"Replaced by swap {swap.corrected_by.pk}: kept as it was signed."
    if end is None:
        return "NOT RELEASED: this swap is open."
    if end.sort == "abandoned":
        return f"Abandoned {at_words(end.at)}: {end.reason}"
    return f"Released {at_words(end.at)}"


def _facts(swap: Swap) -> list[tuple[str, str]]:
    aircraft = swap.place.aircraft_position.aircraft if swap.place.aircraft_position else None
    steps = swap.step_list
    data = f"{steps.title}, {steps.document} revision {steps.document_revision}" if steps else ""
    facts = [
        (
            "Aircraft",
            f"{aircraft} MSN {aircraft.msn}, {aircraft.aircraft_type}" if aircraft else "",
        ),
        ("Station", f"{swap.station.code} {swap.station.name}"),
        (
            "Times",
            f"All in UTC, as on the screen. The station's own zone is {swap.station.time_zone}.",
        ),
        ("Aircraft's hours and cycles", _last_read(swap)),
        ("Begun", f"{at_words(swap.opened_at)} by {swap.opened_by.shown_name}"),
        ("Why", swap.reason),
        ("Data", data),
        ("Rules of signing", f"{swap.rule_set} ({swap.rule_set.document})"),
    ]
    if swap.is_transcribed:
        if performed := swap.card_says.get("performed"):
            facts.append(("Work done by, as the card has it", performed))
        late = days_late(swap, moves_of(swap).values())
        after = f"entered {days_words(late)} after the work" if late else "entered on the day"
        facts.append(
            ("Done on paper", f"card {swap.card_reference}, {after} by {swap.opened_by.shown_name}")
        )
    if swap.corrects is not None:
        facts.append(("Corrects", f"swap {swap.corrects.pk}: {swap.correction_reason}"))
    return facts


def _units(swap: Swap) -> list[tuple[str, str]]:
    facts = []
    if swap.sort == Swap.IN_PLACE:
        on = unit_words(swap.expected_off) if swap.expected_off else "the position itself"
        facts.append(("Work", f"{swap.work}, done in place on {on}"))
    rows = swap.moves.select_related("movement__unit__part_number", "movement__to_place__station")
    words = {SwapMovement.OFF: "Off", SwapMovement.ON: "On"}
    for link in rows.order_by("movement__happened_at", "pk"):
        movement = link.movement
        totals = _totals(movement.aircraft_minutes, movement.aircraft_cycles)
        mark = "" if movement.is_conforming else " NOT CONFORMING"
        page = f", log page {movement.log_page}" if movement.log_page else ""
        facts.append(
            (
                words[link.role],
                f"{unit_words(movement.unit)}, {_when(movement)}{_to(link)}{totals}{page}{mark}",
            )
        )
    facts += [
        (f"Tagged {tag.get_sort_display()}", f"{tag.get_why_display()}. {tag.words}".strip())
        for tag in UnitTag.objects.filter(swap=swap).order_by("tagged_at", "pk")
    ]
    return facts


def _lives(rows: SwapRows) -> list[tuple[str, str]]:
    """Hours and cycles of both units: as one came off, and as the other went on."""
    heads = {SwapMovement.OFF: "Came off", SwapMovement.ON: "Went on"}
    return [
        (f"{heads[each.role]}, {name.lower()}", said)
        for each in in_service_of(rows)
        for name, said in lines_of(each.life)
    ]


def _to(link: SwapMovement) -> str:
    """Where the unit that came off went."""
    return f", to {place_words(link.movement.to_place)}" if link.role == SwapMovement.OFF else ""


def _last_read(swap: Swap) -> str:
    """The latest readings of the aircraft by the day of the work, each with its day: what was read at
    the movements themselves stands with them."""
    if swap.aircraft is None:
        return ""
    by = max((move.happened_at for move in moves_of(swap).values()), default=swap.opened_at)
    rows = UtilisationReading.objects.filter(
        aircraft=swap.aircraft,
        read_at__lte=by,
        is_conforming=True,
        is_annulment=False,
        corrected_by=None,
    ).select_related("measure")
    latest = {row.measure_id: row for row in rows.order_by("read_at", "pk")}
    zone = ZoneInfo(swap.aircraft.station.time_zone)  # where a day alone is given by its end
    told = [
        f"{hours_words(row.total)} h, read {day_words(row.read_at.astimezone(zone).date())}"
        if row.measure.unit == Measure.MINUTES
        else f"{count_words(row.total)} {row.measure.name}, read {day_words(row.read_at.astimezone(zone).date())}"
        for _, row in sorted(latest.items())
    ]
    return "; ".join(told) or "no reading on record"


def _totals(minutes: int | None, cycles: int | None) -> str:
    told = [f"{hours_words(minutes)} h"] if minutes is not None else []
    told += [f"{count_words(cycles)} cycles"] if cycles is not None else []
    return f" at {', '.join(told)}" if told else ""


def _notes(swap: Swap) -> list[str]:
    end = getattr(swap, "end", None)
    notes = []
    for told in end.dispositions if end is not None else ():
        notes.append(f"Life-limited unit taken off: {disposition_words(told)}")
    if end is not None and end.works:
        notes.append(f"Works done that this swap counts as: {', '.join(map(str, end.works))}.")
    return [*notes, CAUTION]
