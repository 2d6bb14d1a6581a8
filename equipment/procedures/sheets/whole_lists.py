"""The lines of one step list on their way in, judged by the one rule of step lists."""

from __future__ import annotations

from equipment.judging.declaring.cells import column_of
from equipment.judging.sorts.table import BY_CODE
from equipment.judging.steps.step_lists import (
    MOST_STEPS,
    TOO_MANY,
    Fault,
    NewStep,
    faults_of_each,
    faults_of_whole,
)
from fleet.loading.batch import Batch
from fleet.loading.plain import refuse_contradicting


def each_once(batch: Batch, lines: list[int], steps: dict[int, NewStep]) -> list[list[int]]:
    """The lines of each step of a list: several where one is repeated word for word.

    A line that says otherwise of the same step is refused.
    """
    found: dict[int, list[int]] = {}
    for line in lines:
        same = found.setdefault(steps[line].number, [line])
        if steps[same[0]] != steps[line]:
            refuse_contradicting(batch, line, same[0])
        elif line not in same:
            same.append(line)
    return list(found.values())


def refuse_faults(
    batch: Batch, places: list[list[int]], steps: dict[int, NewStep], *, is_whole: bool
) -> None:
    """Among each other only the steps of a whole list are judged: of a list on record a part may be
    brought, and where a line cannot be read the others lack it."""
    told = [steps[lines[0]] for lines in places]
    if len(told) > MOST_STEPS:
        for line in (line for lines in places for line in lines):
            batch.refuse(line, None, TOO_MANY.code, TOO_MANY.message)
        return
    for fault in faults_of_each(told) or (faults_of_whole(told) if is_whole else []):
        name = _column_of(fault, told[fault.place].sort)
        for line in places[fault.place]:
            batch.refuse(line, name, fault.code, fault.sentence[:1].upper() + fault.sentence[1:])


def _column_of(fault: Fault, sort: str) -> str:
    """The column that a fault is told at; of the rule as such it is the kind of step."""
    if fault.name != "rule":
        return fault.name
    return column_of(BY_CODE[sort].cells, fault.of_rule) or "sort"


def refuse_added(batch: Batch, lines: list[int], numbers: set[int]) -> None:
    """A list on record is never changed: other steps are another revision of it."""
    for line in lines:
        if batch.is_good(line) and batch["number"][line] not in numbers:
            batch.refuse(
                line,
                "number",
                "step_list_on_record",
                "This list is on record without that step, and work may rest on it. Bring the list"
                " under its next revision.",
            )


def refuse_rest(batch: Batch, lines: list[int]) -> None:
    """A list is brought whole or not at all: once on record it takes no step more."""
    for line in lines:
        if batch.is_good(line):
            batch.refuse(
                line,
                None,
                "list_not_whole",
                "Another step of this list cannot be taken, and nobody shall work by a list with a step"
                " missing. Put that step right, and bring the whole list.",
            )
