"""Plain facts for the tests of judging, right unless told otherwise."""

from __future__ import annotations

from collections.abc import Collection
from datetime import UTC, date, datetime

from equipment.judging.release.obstacles import LedgerFacts, Mark, Obstacle, StepState
from equipment.judging.release.signing import AuthorisationFact, Person, RuleSet
from equipment.judging.verdicts import Problem

TECHNICIAN = Person(17, "Tove Aster")
INSPECTOR = Person(9, "Imre Quill")
RULES = RuleSet("SIGN", "2", may_reinspect=False)
DONE_AT, SIGNED_AT, INSPECTED_AT = (
    datetime(2026, 3, 10, 8, minute, tzinfo=UTC) for minute in (10, 20, 30)
)


def codes(found: Collection[Problem | Obstacle]) -> list[str]:
    return [each.code for each in found]


def an_authorisation(
    number: str,
    acts: Collection[str],
    types: Collection[str] = (),
    kinds: Collection[str] = (),
    until_on: date | None = date(2026, 12, 31),
) -> AuthorisationFact:
    """Good from 2025 through 2026."""
    return AuthorisationFact(
        number,
        number,
        "approval",
        frozenset(acts),
        frozenset(types),
        frozenset(kinds),
        date(2025, 1, 1),
        until_on,
    )


def done_step(number: int, **facts: object) -> StepState:
    """A step done in tolerance, signed and, if it needs it, inspected by another."""
    given: dict[str, object] = {
        "phase": "install",
        "words": "Torque the hose nut",
        "sort": "torque",
        "is_needed": True,
        "is_inspected": False,
        "verdict": "in",
        "entered_at": DONE_AT,
        "performers": (TECHNICIAN,),
        "signed": Mark(TECHNICIAN, SIGNED_AT),
    }
    if facts.get("is_inspected"):
        given["inspected"] = Mark(INSPECTOR, INSPECTED_AT)
    return StepState(number=number, **(given | facts))


def nothing_moved() -> LedgerFacts:
    return LedgerFacts(
        needs_removal=False,
        is_removal_recorded=False,
        needs_installation=False,
        is_installation_recorded=False,
    )


def off_and_on(**facts: object) -> LedgerFacts:
    """The removal and the installation are recorded and conform."""
    given = {
        "needs_removal": True,
        "is_removal_recorded": True,
        "needs_installation": True,
        "is_installation_recorded": True,
    }
    return LedgerFacts(**(given | facts))
