"""The tables of a printed swap: steps, every entry, tools, who signed, papers, photos, what was found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

from equipment.common.listing import Cell, Column
from equipment.common.paper import Part
from equipment.models import Attachment, Signature, Step, StepEntry, Swap
from equipment.swaps.reads.contents import is_as_signed
from equipment.swaps.reads.resting import certificates_of
from equipment.swaps.reads.rows import SwapRows
from fleet.words.said import day_words, moment_words

#: Said of a signature whose row is no longer what was signed.
ALTERED = " ALTERED SINCE IT WAS SIGNED"
INSPECTIONS = (Signature.INSPECTION, Signature.REINSPECTION)


def at_words(moment: datetime) -> str:
    """An instant as the whole page says it: in the one zone that its head names."""
    return moment_words(moment.astimezone(UTC))


def parts_of(swap: Swap, rows: SwapRows, photos: Sequence[Attachment]) -> list[Part]:
    """All of them, in the order of the page; an empty one is not drawn."""
    entries = entries_of(swap)
    signatures = list(swap.signatures.select_related("by", "step").order_by("signed_at", "pk"))
    latest = {entry.step_id: entry for entry in entries}
    return [
        _steps(rows.steps, latest, signatures),
        _entries(entries, latest),
        _tools(entries),
        _signatures(signatures),
        _authorisations(signatures),
        _papers(rows),
        _photos(photos),
        _findings(swap),
    ]


def entries_of(swap: Swap) -> list[StepEntry]:
    """Everything that was ever entered, in the order entered."""
    parts = ("tool", "calibration", "chart", "entered_by", "step")
    return list(swap.entries.select_related(*parts).order_by("pk"))


def _steps(
    steps: Iterable[Step], latest: dict[int, StepEntry], signatures: Sequence[Signature]
) -> Part:
    rows = []
    for step in steps:
        entry = latest.get(step.pk)
        rows.append(
            (
                str(step.number),
                step.words,
                value_words(entry),
                f"{entry.entered_by.shown_name}, {at_words(entry.entered_at)}" if entry else "",
                _who(entry, step, signatures, (Signature.STEP,)),
                _who(entry, step, signatures, INSPECTIONS),
            )
        )
    columns = ("Step", "What", "Found", "Done", "Signed off", "Inspected")
    return Part("Steps", columns, (4, 28, 24, 14, 15, 15), rows)


def value_words(entry: StepEntry | None) -> str:
    """What was found, and how it was judged."""
    if entry is None:
        return ""
    tool = f" [{entry.tool.code}]" if entry.tool else ""
    mark = {"out": "OUT OF TOLERANCE. ", "cannot_judge": "NOT JUDGED. "}.get(entry.verdict, "")
    return f"{mark}{entry.sentence}{tool}"


#: The columns of a swap's steps as a workbook or CSV.
STEP_COLUMNS = (
    Column("Step"),
    Column("Phase"),
    Column("What"),
    Column("Found"),
    Column("Tool"),
    Column("Entered at"),
    Column("Entered by"),
    Column("Signed off"),
    Column("Inspected"),
)


def step_rows(swap: Swap, rows: SwapRows) -> list[list[Cell]]:
    """Each step with the entry that stands and who signed it."""
    latest = {entry.step_id: entry for entry in entries_of(swap)}
    signatures = list(swap.signatures.select_related("by", "step").order_by("signed_at", "pk"))
    return [
        [
            step.number,
            step.get_phase_display(),
            step.words,
            value_words(entry),
            entry.tool.code if entry and entry.tool else "",
            entry.entered_at if entry else None,
            entry.entered_by.shown_name if entry else "",
            _who(entry, step, signatures, (Signature.STEP,)),
            _who(entry, step, signatures, INSPECTIONS),
        ]
        for step in rows.steps
        for entry in [latest.get(step.pk)]
    ]


def _entries(entries: Sequence[StepEntry], latest: dict[int, StepEntry]) -> Part:
    """Each as it was entered; one that a later entry replaced says so, and stays."""
    rows = [
        (
            at_words(entry.entered_at),
            f"{entry.step.number}{'' if latest[entry.step_id].pk == entry.pk else ', replaced by a later entry'}",
            entry.entered_by.shown_name,
            value_words(entry),
        )
        for entry in entries
    ]
    columns = ("Entered", "Step", "By", "What")
    return Part("Every entry, in the order entered", columns, (16, 18, 16, 50), rows)


def _who(
    entry: StepEntry | None, step: Step, signatures: Sequence[Signature], sorts: tuple[str, ...]
) -> str:
    """Who signed the entry that stands; a signature of an earlier value does not count for it."""
    of_step = [each for each in signatures if each.step_id == step.pk and each.sort in sorts]
    standing = [each for each in of_step if entry is None or each.entry_id == entry.pk]
    if not standing:
        return "a later value is not signed" if of_step else ""
    last = standing[-1]
    again = " (same person again)" if last.sort == Signature.REINSPECTION else ""
    return f"{signer_words(last)}{again}, {at_words(last.signed_at)}"


def signer_words(signature: Signature) -> str:
    """Who signed, in ink or with own credentials."""
    if signature.is_ink:
        stamp = f", stamp {signature.ink_stamp}" if signature.ink_stamp else ""
        on = f" on {day_words(signature.ink_on)}" if signature.ink_on else ""
        return f"{signature.ink_signer} in ink{stamp}{on} (entered by {signature.name})"
    return signature.name


def _tools(entries: Sequence[StepEntry]) -> Part:
    told = {}
    for entry in entries:
        if entry.tool is not None:
            good = entry.calibration
            until = f"{good.certificate}, good until {day_words(good.due_on)}" if good else "none"
            told[entry.tool.code] = (entry.tool.code, entry.tool.description, until)
    return Part("Tools", ("Tool", "What", "Calibration"), (15, 45, 40), sorted(told.values()))


def _signatures(signatures: Sequence[Signature]) -> Part:
    rows = [
        (
            each.get_sort_display(),
            signer_words(each),
            each.authorisation_words,
            f"{each.statement} {each.reason}".strip(),
            f"{at_words(each.signed_at)}\n{each.digest[:16]}{'' if is_as_signed(each) else ALTERED}",
        )
        for each in signatures
        if each.step_id is None
    ]
    columns = ("Act", "Who", "Authorisation", "Statement", "When, digest")
    return Part("Signatures", columns, (12, 18, 20, 36, 14), rows)


def _authorisations(signatures: Sequence[Signature]) -> Part:
    """Each person once for each sort of signature, with what it was given under."""
    told: dict[tuple[str, str, str], None] = {}
    for each in signatures:
        who = f"{each.ink_signer} (ink)" if each.is_ink else each.name
        under = each.authorisation_words or "none on record"
        told[who, each.get_sort_display(), under] = None
    columns = ("Who", "Signed", "Authorisation")
    return Part("Who signed, and under which authorisation", columns, (30, 30, 40), list(told))


def _papers(rows: SwapRows) -> Part:
    told = [(words,) for words in certificates_of(rows)]
    if rows.on is not None and not told:
        told = [("None is on record.",)]
    return Part("Certificates of the unit that went on", ("Certificate",), (100,), told)


def _photos(photos: Sequence[Attachment]) -> Part:
    rows = [
        (
            f"step {each.step.number}" if each.step else "",
            each.name,
            f"{each.recorded_by.shown_name}, {at_words(each.recorded_at)}",
            each.sha256[:16],
        )
        for each in photos
    ]
    return Part("Photos and pages", ("Of", "File", "Brought", "SHA-256"), (12, 40, 30, 18), rows)


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
