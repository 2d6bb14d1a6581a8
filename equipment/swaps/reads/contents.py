"""What exactly a signature signs: plain facts, and the digest by which a later change is noticed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from equipment.common.digests import Content, digest_of
from equipment.models import Movement, Signature, Step, StepEntry, Swap

from .rows import SwapRows

HANDOVERS = (Signature.HANDED, Signature.TAKEN)
#: The part of a signature's content that says who signed, under what and when.
SIGNED = "signed"
NOT_ACCEPTED = "I have inspected this step and do not accept it."


def of_step(rows: SwapRows, step: Step, sort: str, by: int) -> Content:
    """The facts of a step as they stand now, as a signature of ``sort`` by this person holds them."""
    entry = rows.entry(step.pk)
    return {
        "act": sort,
        "swap": rows.swap.pk,
        "by": by,
        "statement": statement_of(rows.swap, sort),
        "step": _step(step, rows.swap),
        "entry": _entry(entry) if entry else None,
        "movement": movement_content(rows.move_of(step)),
        "fitted": _values(rows.entry_of(step.returns)) if step.returns else None,
    }


def statement_of(swap: Swap, sort: str) -> str:
    """What a signature of this sort says, as the rule set of the swap has it."""
    rules = swap.rule_set
    return {
        Signature.STEP: rules.step_statement,
        Signature.INSPECTION: rules.inspection_statement,
        Signature.REINSPECTION: rules.reinspection_statement or rules.inspection_statement,
        Signature.RELEASE: rules.release_statement,
        Signature.NOT_ACCEPTED: NOT_ACCEPTED,
    }[sort]


def _step(step: Step, swap: Swap) -> Content:
    return {
        "number": step.number,
        "phase": step.phase,
        "words": step.words,
        "rule": step.rule,
        "document": step.document,
        "list": data_revision(swap),
    }


def data_revision(swap: Swap) -> str:
    """The document and revision of the steps, and the list taken from it."""
    listed = swap.step_list
    if listed is None:
        return swap.card_reference or "no step list"
    if swap.is_transcribed:
        card = f", card {swap.card_reference}" if swap.card_reference else ""
        return f"{listed.document} revision {listed.document_revision}{card}"[:120]
    words = f"{listed.document} revision {listed.document_revision}, list {listed.code} {listed.revision}"
    return words[:120]


def _entry(entry: StepEntry) -> Content:
    return {
        "id": entry.pk,
        "typed": entry.typed,
        "values": entry.values,
        "verdict": entry.verdict,
        "sentence": entry.sentence,
        "entered_by": entry.entered_by_id,
        "entered_at": entry.entered_at.isoformat(),
        "tool": entry.tool.code if entry.tool else None,
        "calibration": entry.calibration_id,
        "chart": entry.chart_id,
    }


def _values(entry: StepEntry | None) -> Any:
    return entry.values if entry else None


def movement_content(movement: Movement | None) -> Content | None:
    """What a signature holds of a removal or an installation."""
    if movement is None:
        return None
    return {
        "id": movement.pk,
        "unit": movement.unit_id,
        # What it was from the first: a later identification changes nothing that was signed.
        "part": movement.unit.original_part.number,
        "serial": movement.unit.serial_number,
        "sort": movement.sort,
        "to": movement.to_place_id,
        "happened_at": movement.happened_at.isoformat(),
        "minutes": movement.aircraft_minutes,
        "cycles": movement.aircraft_cycles,
    }


def of_release(rows: SwapRows, by: int) -> Content:
    """The facts of a whole swap: every entry that counts, its movements, its signatures' digests."""
    return {
        **of_handover(rows, by),
        "act": Signature.RELEASE,
        "statement": statement_of(rows.swap, Signature.RELEASE),
        "signatures": [
            [s.sort, s.step_id, s.digest]
            for s in rows.signatures
            if s.sort not in (Signature.RELEASE, Signature.CORRECTION, *HANDOVERS)
        ],
    }


def of_handover(rows: SwapRows, by: int) -> Content:
    """The state that is handed over, and whose work each step is."""
    latest = {step.number: rows.entry(step.pk) for step in rows.steps}
    return {
        "swap": rows.swap.pk,
        "by": by,
        "place": rows.swap.place_id,
        "list": data_revision(rows.swap),
        "entries": {str(number): _entry(entry) for number, entry in latest.items() if entry},
        "off": movement_content(rows.off),
        "on": movement_content(rows.on),
    }


def not_accepted(rows: SwapRows, step: Step, signed: Signature | None = None) -> Signature | None:
    """The inspector's refusal of the entry that stands at a step, or of what ``signed`` signed off."""
    found = rows.of_step(step.pk, Signature.NOT_ACCEPTED)
    if signed is not None:
        return next((each for each in found if each.pk > signed.pk), None)
    entry = rows.entry(step.pk)
    return next((each for each in found if entry is not None and each.entry_id == entry.pk), None)


def with_signer(content: Content, name: str, authorisation: str, at: datetime) -> Content:
    """What is signed, with who signed under what and when: the digest holds these too."""
    signed = {"name": name, "authorisation": authorisation, "at": _instant(at)}
    return {**content, SIGNED: signed}


def is_as_signed(signature: Signature) -> bool:
    """Whether a signature's row still is what was signed: its content by the digest, and name,
    authorisation and time by the content. What was signed before these were part of it has no more
    than its digest."""
    if signature.digest != digest_of(signature.content):
        return False
    signed = signature.content.get(SIGNED)
    return signed is None or signed == {
        "name": signature.name,
        "authorisation": signature.authorisation_words,
        "at": _instant(signature.signed_at),
    }


def _instant(at: datetime) -> str:
    return at.astimezone(UTC).isoformat()


def is_current(rows: SwapRows, step: Step, signature: Signature) -> bool:
    """Whether what was signed is still what stands there, to the letter."""
    if signature.sort == Signature.STEP and not_accepted(rows, step, signature) is not None:
        return False
    if signature.is_ink:
        return True
    if not is_as_signed(signature):
        return False
    signer = signature.content.get("by", signature.by_id)
    now = of_step(rows, step, signature.sort, signer)
    if SIGNED in signature.content:
        now = {**now, SIGNED: signature.content[SIGNED]}
    return any(digest_of(each) == signature.digest for each in _as_signed(rows, step, now))


def _as_signed(rows: SwapRows, step: Step, now: Content) -> Iterator[Content]:
    """What stands there; and where one fact was corrected since by a signature of its own, as it stood
    before: that voids no other."""
    yield now
    role = {"removal": "off", "installation": "on"}.get(step.posts)
    for each in rows.signatures:
        if each.sort == Signature.CORRECTION and each.content.get("role") == role:
            yield {**now, "movement": each.content["before"]}
