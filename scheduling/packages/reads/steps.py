"""What step lists say before a change begins: their document, cautions, tools, and what is counted back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from equipment.judging.sorts.table import BY_CODE
from equipment.models import Step, StepList


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution, and the number of the step that it stands in."""

    step: int
    words: str


@dataclass(frozen=True, slots=True)
class ListShown:
    """A step list as the package names it. ``tools`` are the sorts of tools that it measures with, and what
    it counts (pins, locks)."""

    id: int
    title: str
    document: str
    tools: tuple[str, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class StepLists:
    """The lists in force on a day: of a part number at positions of a kind, else of the kind."""

    own: dict[tuple[int, int], ListShown]
    of_kind: dict[int, ListShown]

    def of(self, kind_id: int, part_id: int) -> ListShown | None:
        return self.own.get((kind_id, part_id)) or self.of_kind.get(kind_id)


def step_lists_on(kind_ids: Iterable[int], on: date) -> StepLists:
    """The lists for positions of these kinds. Two questions."""
    rows = StepList.objects.filter(kind__in=set(kind_ids), from_on__lte=on, for_work="")
    found = StepLists({}, {})
    for row in rows.order_by("from_on", "pk").prefetch_related("steps"):
        shown = _shown(row, sorted(row.steps.all(), key=lambda step: step.number))
        if row.part_number_id is None:
            found.of_kind[row.kind_id] = shown
        else:
            found.own[row.kind_id, row.part_number_id] = shown
    return found


def _shown(row: StepList, steps: list[Step]) -> ListShown:
    return ListShown(
        row.pk,
        row.title,
        f"{row.document} revision {row.document_revision}",
        tuple(dict.fromkeys(tool for step in steps if (tool := _tool(step)))),
        tuple(Caution(step.number, step.caution) for step in steps if step.caution),
    )


def _tool(step: Step) -> str:
    """What must be at hand for a step; empty for nothing that the list knows of."""
    if step.sort == "count" and not step.rule.get("is_returned"):
        return str(step.rule.get("what", ""))
    if not step.rule.get("needs_tool"):
        return ""
    return BY_CODE[step.sort].tool or "measuring tool"
