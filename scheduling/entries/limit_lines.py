"""A limit or a revision as it is kept to be entered later: the lines of its sheets, as one thing said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from fleet.acts.act import Act
from fleet.intake.registry import kind_named
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import User

#: The cells of a line by field, and the name of its kind of sheet.
Line = tuple[str, tuple[tuple[str, Any], ...]]


@dataclass(frozen=True, slots=True)
class LimitLines:
    """A limit with its clocks and amounts, line by line."""

    lines: tuple[Line, ...]


def lines_said(lines: Sequence[SheetLine]) -> LimitLines:
    return LimitLines(tuple((one.kind.name, tuple(sorted(one.cells.items()))) for one in lines))


def _enter(*, by: User, limit: LimitLines, at: datetime, today: date) -> list[str]:
    lines = [
        SheetLine(kind, dict(cells))
        for name, cells in limit.lines
        if (kind := kind_named(name)) is not None
    ]
    return enter_lines(by=by, lines=lines, at=at, today=today)


LIMIT_LINES = Act(
    name="enter_limit_lines",
    does=_enter,
    said=LimitLines,
    as_="limit",
    who="enter_programme",
    known_by="what its lines say",
    needs_today=True,
)
