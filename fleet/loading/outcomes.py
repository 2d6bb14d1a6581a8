"""What became of a load: by sheet, and line by line where a line was refused or warned of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from fleet.intake.tables import Table

from .batch import Finding


@dataclass(frozen=True, slots=True)
class Line:
    """A refusal or warning as it is kept: where, why, and the line as it was brought."""

    file: str
    sheet: str
    row: int
    outcome: str
    cell: str
    code: str
    message: str
    values: dict[str, str]


@dataclass(slots=True)
class SheetResult:
    """What became of one sheet: how many lines of each outcome, and every finding.

    A sheet or file that could not be read at all has one finding, at row 0.
    """

    file: str
    sheet: str
    accepted: int = 0
    refused: int = 0
    known: int = 0
    findings: list[Finding] = field(default_factory=list)
    table: Table | None = None

    def lines(self) -> Iterator[Line]:
        """Each finding with its line as it was brought."""
        for found in self.findings:
            values = (
                self.table.as_brought(found.line)
                if self.table is not None and found.line is not None
                else {}
            )
            outcome = "warning" if found.is_warning else "refused"
            yield Line(
                self.file,
                self.sheet,
                found.row,
                outcome,
                found.cell,
                found.code,
                found.message,
                values,
            )

    @property
    def is_unread(self) -> bool:
        return self.table is None


@dataclass(slots=True)
class LoadResult:
    """What became of a load. ``is_applied`` says whether anything was kept."""

    sheets: list[SheetResult]
    is_applied: bool = False

    @property
    def accepted(self) -> int:
        return sum(sheet.accepted for sheet in self.sheets)

    @property
    def refused(self) -> int:
        return sum(sheet.refused for sheet in self.sheets)

    @property
    def known(self) -> int:
        return sum(sheet.known for sheet in self.sheets)

    @property
    def is_unread(self) -> bool:
        """Whether no sheet of it could be read: there is nothing to decide."""
        return all(sheet.is_unread for sheet in self.sheets)

    @property
    def is_clean(self) -> bool:
        """Whether nothing was refused, of lines, sheets and files."""
        found = (finding for sheet in self.sheets for finding in sheet.findings)
        return all(finding.is_warning for finding in found)

    def summary(self) -> list[dict[str, Any]]:
        """By sheet: file, name, kind of sheet, how many accepted, refused and known, and whether it was unread."""
        return [
            {
                "file": sheet.file,
                "name": sheet.sheet,
                "kind": sheet.table.kind.name if sheet.table else "",
                "accepted": sheet.accepted,
                "refused": sheet.refused,
                "known": sheet.known,
                "is_unread": sheet.is_unread,
            }
            for sheet in self.sheets
        ]
