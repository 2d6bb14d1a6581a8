"""The task cards of a check, one for each job: its works, the steps of its list in force, room for what is found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from equipment.judging.sorts.table import BY_CODE
from equipment.judging.steps.rules import StepRule, rule_of
from equipment.models import Step, StepList
from scheduling.models import DueItem

from .package import Line, Package


@dataclass(frozen=True, slots=True)
class CardStep:
    """One step as the card has it. ``wanted``: what the value should be, and with what it is measured."""

    number: int
    phase: str
    words: str
    caution: str
    wanted: str
    is_inspected: bool
    is_needed: bool


@dataclass(frozen=True, slots=True)
class Card:
    """One job of the package. ``listed`` is None where no step list is in force: then the work has no steps here."""

    number: int
    line: Line
    listed: StepList | None
    steps: Sequence[CardStep]

    @property
    def title(self) -> str:
        row = self.line.job.row
        where = f"{row.position} {row.inside}".strip() or row.registration
        unit = f", {row.part_number} S/N {row.serial_number}" if row.unit_id else ""
        return f"Card {self.number}: {where}{unit}"

    @property
    def data(self) -> str:
        one = self.listed
        if one is None:
            return "No step list is in force: the approved data is not on this card."
        return f"{one.title}, {one.document} revision {one.document_revision}"


def cards_of(package: Package) -> list[Card]:
    """The cards of a package, in its order. Three questions for any number of jobs."""
    in_place = _lists_in_place(
        [line for line in package.lines if not line.place_id], package.check.starts_on
    )
    keys = {
        line.job.item_id: line.steps.id if line.steps else in_place.get(line.job.item_id)
        for line in package.lines
    }
    lists = {
        one.pk: one
        for one in StepList.objects.filter(
            pk__in={key for key in keys.values() if key}
        ).prefetch_related("steps")
    }
    steps = {key: _steps(one) for key, one in lists.items()}
    return [
        Card(at, line, lists.get(key or 0), steps.get(key or 0, ()))
        for at, line in enumerate(package.lines, 1)
        for key in [keys[line.job.item_id]]
    ]


def _lists_in_place(lines: Sequence[Line], on: date) -> dict[int, int]:
    """Which list tells how the work of each of these items is done in place. Two questions."""
    items = DueItem.objects.filter(pk__in=[line.job.item_id for line in lines])
    asked = items.values_list("pk", "kind", "part_number", "work__code")
    rows = StepList.objects.filter(from_on__lte=on).exclude(for_work="")
    known: dict[tuple[int | None, int | None, str], int] = {
        (kind, part, work): key
        for key, kind, part, work in rows.order_by("from_on", "pk").values_list(
            "pk", "kind", "part_number", "for_work"
        )
    }
    found = {}
    for item, kind, part, work in asked:
        key = known.get((kind, part, work)) or known.get((kind, None, work))
        if key is not None:
            found[item] = key
    return found


def _steps(listed: StepList) -> tuple[CardStep, ...]:
    return tuple(_step(step) for step in sorted(listed.steps.all(), key=lambda one: one.number))


def _step(step: Step) -> CardStep:
    return CardStep(
        step.number,
        step.get_phase_display(),
        step.words,
        step.caution,
        _wanted(step),
        step.is_inspected,
        step.is_needed,
    )


def _wanted(step: Step) -> str:
    rule = rule_of(step.sort, step.rule)
    if not isinstance(rule, StepRule):
        return "its limits cannot be read: see the step list"
    declared = BY_CODE[step.sort]
    tool = f"by {declared.tool or 'measuring tool'}" if rule.needs_tool else ""
    if step.rule.get("is_returned"):  # how many that is, only the job itself knows
        return "as many as were counted before"
    wanted = declared.controls(rule.rule, None).wanted
    return ", ".join(part for part in (wanted, tool) if part)
