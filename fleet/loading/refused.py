"""The refused lines of the template's sheets as a workbook, to mend and bring again."""

from __future__ import annotations

from typing import Any

from fleet.intake.registry import WHY_REFUSED
from fleet.intake.template import refused_workbook
from fleet.models import Load, LoadLine


def refused_lines_of(load: Load) -> Any:
    """What can be mended line by line: not what is wrong with a file or sheet as a whole."""
    lines = LoadLine.objects.filter(load=load, outcome="refused", row__gt=0)
    return lines.order_by("sheet", "row", "pk")


def refused_lines_workbook(load: Load) -> bytes:
    """Each refused line once, with all its faults."""
    sheets: dict[str, dict[tuple[int | None, int], dict[str, Any]]] = {}
    for line in refused_lines_of(load):
        rows = sheets.setdefault(line.sheet, {})
        row = rows.setdefault((line.file_id, line.row), {**line.values, WHY_REFUSED: ""})
        row[WHY_REFUSED] = f"{row[WHY_REFUSED]} {line.message}".strip()
    return refused_workbook({name: list(rows.values()) for name, rows in sheets.items()})
