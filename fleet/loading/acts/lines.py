"""Lines typed one by one instead of being brought by the hundred: the same judgement, all or none."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import uuid4

from django.db import transaction

from fleet.house.refusals import Refusal, Refused
from fleet.intake.registry import SheetKind
from fleet.intake.tables import table_said
from fleet.loading.batch import Batch, Bringing, Finding, Touched
from fleet.loading.run import bring_sheet, tell
from fleet.models import User


@dataclass(frozen=True, slots=True)
class SheetLine:
    """One line of a kind of sheet: what was typed, by field; a field left out is blank."""

    kind: SheetKind
    cells: Mapping[str, object]


@transaction.atomic
def enter_lines(
    *,
    by: User,
    lines: Sequence[SheetLine],
    at: dt.datetime,
    today: dt.date,
    warned: list[Refusal] | None = None,
) -> list[str]:
    """This will enter lines as their sheets would bring them, in the order in which sheets are
    brought; what became of each in their own order (``accepted``, or ``known`` word for word).

    Refuses all of them for each reason against any, at its field: that of the line's kind of sheet, and
    of several lines behind the line's place (``2.hours``, the first is 0).
    Whether a person may is asked for each kind. ``warned`` is given what their sheets warn of.
    """
    bringing = Bringing(by=by, at=at, today=today, key=uuid4())
    touched, outcomes = Touched(), [""] * len(lines)
    for kind in sorted({line.kind.name: line.kind for line in lines}.values(), key=_order):
        places = [at for at, line in enumerate(lines) if line.kind is kind]
        batch = Batch(table_said(kind, [lines[at].cells for at in places]), bringing)
        bring_sheet(batch)
        where = places if len(lines) > 1 else None
        found = _refusals(batch, where)
        if warned is not None:
            warned += _refusals(batch, where, warnings=True)
        touched.add(batch.touched)
        for place, outcome in zip(places, batch.outcomes, strict=True):
            outcomes[place] = outcome
        if found:  # what rests on these lines would be refused for their sake
            raise Refused.all_of(found)
    for act in bringing.later.values():
        act()
    tell(touched)
    return outcomes


def _order(kind: SheetKind) -> tuple[int, str]:
    return kind.order, kind.name


def _refusals(batch: Batch, places: list[int] | None, *, warnings: bool = False) -> list[Refusal]:
    """What the sheet found wrong (or warns of), at the fields of what was typed."""
    names = {letter: name for name, letter in batch.table.letters.items()}
    return [
        Refusal(each.code, each.message, _field(each, names, places))
        for each in batch.findings
        if each.is_warning == warnings
    ]


def _field(found: Finding, names: Mapping[str, str], places: list[int] | None) -> str | None:
    name = names.get(found.cell.rstrip("0123456789"))
    if places is None or found.line is None:
        return name
    return f"{places[found.line]}.{name or ''}".rstrip(".")
