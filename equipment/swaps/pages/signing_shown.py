"""What the pages of signing show: which steps, under which statement, and what stands in the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone

from equipment.judging.release.obstacles import Obstacle
from equipment.judging.release.signing import RELEASE, authorisation_for
from equipment.models import Swap
from equipment.swaps.reads.contents import NOT_ACCEPTED
from equipment.swaps.reads.people import authorisations_of
from equipment.swaps.reads.rows import day_of, kind_of, type_of
from fleet.aircraft.ports import groundings_of
from fleet.house.pages import today
from fleet.house.refusals import Refusal, Refused
from fleet.models import User

from .shown import SwapPage
from .step_rows import StepRow

MOST_STEPS = 99


@dataclass(frozen=True, slots=True)
class What:
    """A sort of signature on steps; ``is_other`` if another person gives it."""

    code: str
    heading: str
    lead: str
    button: str
    nothing: str
    is_other: bool = False
    has_reason: bool = False
    asks: str = "Unforeseen circumstances"


WHAT = {
    what.code: what
    for what in (
        What(
            "step",
            "Sign off steps",
            "Take the tick away from whatever you do not sign for.",
            "Sign off the ticked steps",
            "No step waits to be signed off: each is signed off once it is done.",
        ),
        What(
            "inspection",
            "Independent inspection",
            "Look at each one, then tick it. Whoever did the work may not sign here.",
            "Sign the inspection",
            "No step waits to be inspected.",
            is_other=True,
        ),
        What(
            "refusal",
            "Inspected and not accepted",
            "Tick what is not accepted and say why. It is done again, signed and inspected anew; whoever"
            " refuses it took no part in the work and may inspect it then.",
            "Do not accept the ticked steps",
            "No step waits to be inspected.",
            is_other=True,
            has_reason=True,
            asks="Not accepted, because",
        ),
        What(
            "reinspection",
            "Reinspection by the same person",
            "Only where nobody else is there, in circumstances that could not be foreseen.",
            "Sign the reinspection",
            "No step waits to be inspected.",
            has_reason=True,
        ),
    )
}


def asked(code: str) -> What:
    return WHAT.get(code, WHAT["step"])


def numbers_of(sent: Iterable[str]) -> list[int]:
    """The numbers of steps that were ticked, in order; anything else is left out."""
    found = {int(text) for text in sent if text.isascii() and text.isdigit() and len(text) <= 4}
    return sorted(found)[:MOST_STEPS]


def back_of(swap_id: int, number: str) -> str:
    """The step that one signed from, or the whole list."""
    found = numbers_of([number])
    if found:
        return reverse("equipment:swap_step", args=[swap_id, found[0]])
    return reverse("equipment:swap", args=[swap_id])


def context(shown: SwapPage, what: What, ticked: list[int] | None) -> dict[str, Any]:
    """The steps that wait for this signature. An inspector ticks each; one's own work is ticked."""
    rows: list[StepRow] = shown.to_sign if what.code == "step" else shown.to_inspect
    statements = {
        "step": shown.step_statement,
        "inspection": shown.inspection_statement,
        "reinspection": shown.swap.rule_set.reinspection_statement,
        "refusal": NOT_ACCEPTED,
    }
    if ticked is None:
        ticked = [row.number for row in rows if not what.is_other and row.condition == "entered"]
    return {
        "swap": shown,
        "what": what.code,
        "heading": what.heading,
        "lead": what.lead,
        "button": what.button,
        "nothing": what.nothing,
        "rows": rows,
        "ticked": ticked,
        "statement": statements[what.code],
    }


@dataclass(frozen=True, slots=True)
class Way:
    """An obstacle with the way to where it is put right."""

    sentence: str
    href: str = ""
    way: str = ""


WAYS = {
    "removal_not_recorded": ("swap_off", "Record it"),
    "installation_not_recorded": ("swap_on", "Record it"),
    "removal_not_conforming": ("discrepancies", "Settle it"),
    "installation_not_conforming": ("discrepancies", "Settle it"),
    "nested_unaccounted": ("stores_inside", "Say what is there"),
    "no_certificate": ("stores_paper", "Record its certificate"),
    "discrepancy_open": ("discrepancies", "Settle it"),
    "unit_not_reconciled": ("unit", "Look at the unit"),
    "unit_quarantined": ("stores_unit", "Look at the unit"),
    "unit_unserviceable": ("stores_unit", "Look at the unit"),
    "unit_on_hold": ("stores_unit", "Look at the unit"),
}


def _way(shown: SwapPage, obstacle: Obstacle) -> Way:
    name, words = WAYS.get(obstacle.code, ("", ""))
    if not name:
        return Way(obstacle.sentence)
    if name.startswith("swap"):
        return Way(obstacle.sentence, reverse(f"equipment:{name}", args=[shown.id]), words)
    if name == "discrepancies":
        return Way(obstacle.sentence, reverse(f"equipment:{name}"), words)
    if shown.on is None:
        return Way(obstacle.sentence)
    return Way(obstacle.sentence, reverse(f"equipment:{name}", args=[shown.on.unit_id]), words)


def _way_to_step(shown: SwapPage, number: int, found: list[Obstacle]) -> Way:
    """All that stands in the way at one step, in one line: its words are said once."""
    href = reverse("equipment:swap_step", args=[shown.id, number])
    first, *others = [each.sentence for each in found]
    opening = f"Step {number}, “{shown.row(number).words.strip().rstrip('.')}”, "
    also = [f"It {each.removeprefix(opening)}" for each in others if each.startswith(opening)]
    also += [each for each in others if not each.startswith(opening)]
    return Way(" ".join([first, *also]), href, f"Step {number}")


def ways_of(shown: SwapPage) -> list[Way]:
    """What stands in the way, each step once, in the order of the work. Of a card no step has a page."""
    pages = {row.number for row in shown.rows}
    by_step: dict[int, list[Obstacle]] = {}
    others = []
    for each in shown.obstacles:
        if each.step_number in pages:
            by_step.setdefault(each.step_number or 0, []).append(each)
        else:
            others.append(each)
    steps = [_way_to_step(shown, number, found) for number, found in by_step.items()]
    return steps + [_way(shown, each) for each in others]


def release_context(shown: SwapPage, by: User) -> dict[str, Any]:
    """What stands in the way, each with its way; under what the person would sign; and what keeps the
    aircraft from flying besides, which this release does not end."""
    obstacles = ways_of(shown) if shown.is_open else []
    return {
        "obstacles": obstacles,
        "authorisation": authorisation_words(shown.swap, by),
        "besides": _grounded_besides(shown) if shown.is_open else [],
    }


def _grounded_besides(shown: SwapPage) -> list[str]:
    """What grounds the aircraft and is not of this swap's position, nor of its units."""
    aircraft = shown.swap.aircraft_id
    if aircraft is None:
        return []
    own = {move.unit_id for move in shown.moves.values()}
    return [
        each.sentence
        for each in groundings_of([aircraft], today()).get(aircraft, ())
        if each.swap_id != shown.id
        and each.position != shown.position_code
        and (each.unit_id is None or each.unit_id not in own)
    ]


def authorisation_words(swap: Swap, by: User) -> str:
    """The authorisation that a release by this person would copy today; empty if there is none."""
    held = authorisation_for(
        RELEASE, type_of(swap), kind_of(swap), authorisations_of(by), day_of(swap, timezone.now())
    )
    return f"{held.sort} {held.number} of {by.shown_name}" if held else ""


@contextmanager
def told_at(field: str) -> Iterator[None]:
    """Says what is refused within at this field, whatever field it was for."""
    try:
        yield
    except Refused as refused:
        told = [Refusal(each.code, each.message, field) for each in refused.refusals]
        raise Refused.all_of(told) from refused
