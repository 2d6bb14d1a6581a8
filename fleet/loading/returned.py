"""An own spreadsheet given back: its cells as they are, refused ones marked, the reasons in a column at the end."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fleet.house.refusals import Refused
from fleet.intake.problems import UnreadableFile
from fleet.loading.acts.loads import kept_path, most_bytes
from fleet.models import Load, LoadLine
from fleet.own_sheets.beside.given_back import Given, Reasons, marked

from .own import sheets_in
from .refused import refused_lines_workbook

#: A refused line: its file's key, sheet, row, cell and why.
Line = tuple[object, str, int, str, str]


def returned_workbook(load: Load) -> bytes:
    """A load's refused lines to be mended and brought again: of own spreadsheets these themselves, of the
    template's sheets the lines alone. Refuses (``not_kept``) where the file is not there any more."""
    if load.own_said is None:
        return refused_lines_workbook(load)
    rows = LoadLine.objects.filter(load=load, outcome="refused", row__gt=0).order_by("row", "pk")
    why = reasons_of(rows.values_list("file_id", "sheet", "row", "cell", "message"))
    files = list(load.files.order_by("pk"))
    given: list[Given] = []
    for file in files:
        prefix = f"{Path(file.name).stem[:10]} " if len(files) > 1 else ""
        try:
            raws = sheets_in(kept_path(file), file.name, most_bytes())
        except (UnreadableFile, OSError) as error:
            words = f"{file.name} is not kept any more, or cannot be read: take the refused lines as a list."
            raise Refused("not_kept", words) from error
        given += [(f"{prefix}{raw.name}", raw, why.get((file.pk, raw.name), {})) for raw in raws]
    return marked(given)


def reasons_of(lines: Iterable[Line]) -> dict[tuple[object, str], Reasons]:
    """By file and sheet: the rows (from 1) that were refused, the cells of each, and the reasons.

    A sheet whose lines do not go down names the owner's own cell; its row is that cell's.
    """
    found: dict[tuple[object, str], dict[int, tuple[set[str], list[str]]]] = {}
    for file, sheet, row, cell, message in lines:
        own = cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        at = int(own) if own != cell and own.isascii() and own.isdecimal() else row
        cells, words = found.setdefault((file, sheet), {}).setdefault(at, (set(), []))
        cells.add(cell)
        if message not in words:
            words.append(message)
    return dict(found)
