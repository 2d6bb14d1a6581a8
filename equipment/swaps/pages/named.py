"""What came off, what went on and how a swap ended, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from equipment.common.wording import happened_on_words, place_words, unit_words
from equipment.models import Movement, Signature, SwapEnd, Unit
from equipment.swaps.reads.dispositions import disposition_words
from fleet.words.said import day_words, moment_words


@dataclass(frozen=True, slots=True)
class Named:
    """A unit in words, with a second line."""

    words: str
    more: str = ""
    unit_id: int | None = None


@dataclass(frozen=True, slots=True)
class Ended:
    """How a swap ended."""

    title: str
    statement: str
    cite: str
    lines: list[str]


def named(unit: Unit | None) -> Named | None:
    return Named(unit_words(unit), unit.part_number.description, unit.pk) if unit else None


def moved(movement: Movement | None, *, is_off: bool) -> Named | None:
    if movement is None:
        return None
    to = f", to {place_words(movement.to_place)}" if is_off else ""
    more = f"{happened_on_words(movement)}{to}"
    return Named(unit_words(movement.unit), more, movement.unit_id)


def ended_words(end: SwapEnd) -> Ended:
    signature = end.signature
    if signature is None:
        return Ended("Abandoned", end.reason, f"{end.by.shown_name}, {moment_words(end.at)}", [])
    cite = f"{signer_words(signature)}. Data: {signature.data_revision}."
    works = [f"Counts as done: {work}." for work in end.works]
    return Ended(
        "Released", signature.statement, cite, [*works, *map(_disposition, end.dispositions)]
    )


def signer_words(signature: Signature) -> str:
    """Who signed, under what, when: of ink whose it is and of which day, then who entered it."""
    under = f", under {signature.authorisation_words}" if signature.authorisation_words else ""
    if not signature.is_ink:
        return f"{signature.name}{under}, {moment_words(signature.signed_at)}"
    stamp = f", stamp {signature.ink_stamp}" if signature.ink_stamp else ""
    on = f", on {day_words(signature.ink_on)}" if signature.ink_on else ""
    entered = f"entered by {signature.name}, {moment_words(signature.signed_at)}"
    return f"{signature.ink_signer}, in ink{stamp}{under}{on}; {entered}"


def _disposition(told: Any) -> str:
    return f"Came off: {disposition_words(told)}"
