"""One swap on one page: what, where, who, values, tools, signatures, and a code that opens it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from equipment.common.paper import Paper, Part
from equipment.common.wording import happened_on_words, place_words, unit_words
from equipment.models import Movement, Signature, Step, StepEntry, Swap, SwapMovement, UnitTag
from equipment.swaps.reads.dispositions import disposition_words
from fleet.words.said import count_words, day_words, hours_words, moment_words

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
        "station",
        "step_list",
        "rule_set",
        "opened_by",
        "corrects",
    ).get(pk=swap_id)
    zone = ZoneInfo(swap.station.time_zone)
    entries = _latest_entries(swap)
    signatures = list(swap.signatures.select_related("by", "step").order_by("signed_at", "pk"))
    return Paper(
        title=f"Swap {swap.pk}: {place_words(swap.place)}",
        state=_state(swap, zone),
        facts=[*_facts(swap, zone), *_units(swap, zone)],
        parts=[
            _steps(swap, entries, signatures, zone),
            _tools(entries),
            _signatures(signatures, zone),
            _findings(swap),
        ],
        notes=_notes(swap),
        address=address,
        is_demonstration=is_demonstration,
    )


def _at(moment: datetime, zone: ZoneInfo) -> str:
    return moment_words(moment.astimezone(zone))


def _when(movement: Movement, zone: ZoneInfo) -> str:
    is_instant = movement.precision == "instant"
    return _at(movement.happened_at, zone) if is_instant else happened_on_words(movement)


def _latest_entries(swap: Swap) -> dict[int, StepEntry]:
    rows = (
        swap.entries.select_related("tool", "calibration", "chart", "entered_by")
        .order_by("step", "-pk")
        .distinct("step")
    )
    return {entry.step_id: entry for entry in rows}


def _state(swap: Swap, zone: ZoneInfo) -> str:
    end = getattr(swap, "end", None)
    if hasattr(swap, "corrected_by"):
        return f"Replaced by swap {swap.corrected_by.pk}: kept as it was signed."
    if end is None:
        return "NOT RELEASED: this swap is open."
    if end.sort == "abandoned":
        return f"Abandoned {_at(end.at, zone)}: {end.reason}"
    return f"Released {_at(end.at, zone)}"


def _facts(swap: Swap, zone: ZoneInfo) -> list[tuple[str, str]]:
    aircraft = swap.place.aircraft_position.aircraft if swap.place.aircraft_position else None
    steps = swap.step_list
    data = f"{steps.title}, {steps.document} revision {steps.document_revision}" if steps else ""
    facts = [
        (
            "Aircraft",
            f"{aircraft} MSN {aircraft.msn}, {aircraft.aircraft_type}" if aircraft else "",
        ),
        ("Station", f"{swap.station.code} {swap.station.name} ({zone.key})"),
        ("Begun", f"{_at(swap.opened_at, zone)} by {swap.opened_by.shown_name}"),
        ("Why", swap.reason),
        ("Data", data),
        ("Rules of signing", f"{swap.rule_set} ({swap.rule_set.document})"),
    ]
    if swap.is_transcribed:
        facts.append(("Done on paper", f"card {swap.card_reference}, entered afterwards"))
    if swap.corrects is not None:
        facts.append(("Corrects", f"swap {swap.corrects.pk}: {swap.correction_reason}"))
    return facts


def _units(swap: Swap, zone: ZoneInfo) -> list[tuple[str, str]]:
    facts = []
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
                f"{unit_words(movement.unit)}, {_when(movement, zone)}{totals}{page}{mark}",
            )
        )
    facts += [
        (f"Tagged {tag.get_sort_display()}", f"{tag.get_why_display()}. {tag.words}".strip())
        for tag in UnitTag.objects.filter(swap=swap).order_by("tagged_at", "pk")
    ]
    return facts


def _totals(minutes: int | None, cycles: int | None) -> str:
    told = [f"{hours_words(minutes)} h"] if minutes is not None else []
    told += [f"{count_words(cycles)} cycles"] if cycles is not None else []
    return f" at {', '.join(told)}" if told else ""


def _steps(
    swap: Swap, entries: dict[int, StepEntry], signatures: Sequence[Signature], zone: ZoneInfo
) -> Part:
    rows = []
    for step in Step.objects.filter(step_list=swap.step_list_id).order_by("number"):
        entry = entries.get(step.pk)
        rows.append(
            (
                str(step.number),
                step.words,
                _value(entry),
                _who(entry, step, signatures, (Signature.STEP,), zone),
                _who(entry, step, signatures, (Signature.INSPECTION, Signature.REINSPECTION), zone),
            )
        )
    columns = ("Step", "What", "Found", "Signed off", "Inspected")
    return Part("Steps", columns, (4, 34, 26, 18, 18), rows)


def _value(entry: StepEntry | None) -> str:
    if entry is None:
        return ""
    tool = f" [{entry.tool.code}]" if entry.tool else ""
    mark = {"out": "OUT OF TOLERANCE. ", "cannot_judge": "NOT JUDGED. "}.get(entry.verdict, "")
    return f"{mark}{entry.sentence}{tool}"


def _who(
    entry: StepEntry | None,
    step: Step,
    signatures: Sequence[Signature],
    sorts: tuple[str, ...],
    zone: ZoneInfo,
) -> str:
    """Who signed the entry that stands; a signature of an earlier value does not count for it."""
    of_step = [each for each in signatures if each.step_id == step.pk and each.sort in sorts]
    standing = [each for each in of_step if entry is None or each.entry_id == entry.pk]
    if not standing:
        return "a later value is not signed" if of_step else ""
    last = standing[-1]
    again = " (same person again)" if last.sort == Signature.REINSPECTION else ""
    return f"{signer_words(last)}{again}, {_at(last.signed_at, zone)}"


def signer_words(signature: Signature) -> str:
    """Who signed, in ink or with own credentials."""
    if signature.is_ink:
        stamp = f", stamp {signature.ink_stamp}" if signature.ink_stamp else ""
        return f"{signature.ink_signer} in ink{stamp} (entered by {signature.name})"
    return signature.name


def _tools(entries: dict[int, StepEntry]) -> Part:
    told = {}
    for entry in entries.values():
        if entry.tool is not None:
            good = entry.calibration
            until = f"{good.certificate}, good until {day_words(good.due_on)}" if good else "none"
            told[entry.tool.code] = (entry.tool.code, entry.tool.description, until)
    return Part("Tools", ("Tool", "What", "Calibration"), (15, 45, 40), sorted(told.values()))


def _signatures(signatures: Sequence[Signature], zone: ZoneInfo) -> Part:
    rows = [
        (
            each.get_sort_display(),
            signer_words(each),
            each.authorisation_words,
            f"{each.statement} {each.reason}".strip(),
            f"{_at(each.signed_at, zone)}\n{each.digest[:16]}",
        )
        for each in signatures
        if each.step_id is None
    ]
    columns = ("Act", "Who", "Authorisation", "Statement", "When, digest")
    return Part("Signatures", columns, (12, 18, 20, 36, 14), rows)


def _findings(swap: Swap) -> Part:
    rows = [
        (found.get_sort_display(), found.words, _settled(found))
        for found in swap.discrepancies.select_related("settlement").order_by("found_at", "pk")
    ]
    rows += [
        (
            "open item",
            f"{item.words}: {item.document}, until {day_words(item.expires_on)}",
            "closed" if hasattr(item, "closed") else "open",
        )
        for item in swap.open_items.select_related("closed").order_by("pk")
    ]
    return Part("Found and left open", ("Sort", "What", "Settled"), (20, 50, 30), rows)


def _settled(found: object) -> str:
    settlement = getattr(found, "settlement", None)
    return settlement.words if settlement is not None else "not settled"


def _notes(swap: Swap) -> list[str]:
    end = getattr(swap, "end", None)
    notes = []
    for told in end.dispositions if end is not None else ():
        notes.append(f"Life-limited unit taken off: {disposition_words(told)}")
    if end is not None and end.works:
        notes.append(f"Works done that this swap counts as: {', '.join(map(str, end.works))}.")
    return [*notes, CAUTION]
