"""The sheet of an offered act: each line does the act once; the same line again is known."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from fleet.acts import fields
from fleet.acts.act import Act
from fleet.acts.digests import digest_of
from fleet.acts.fields import Field, fields_of
from fleet.acts.repeats import USED
from fleet.house.refusals import Refused
from fleet.intake.registry import Column, SheetKind
from fleet.intake.said import column_of, said_on
from fleet.loading.batch import Batch
from fleet.loading.plain import refuse_otherwise
from fleet.models import Act as Claimed


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """How lines name a row on record by several columns: these (needed or not), how it is found, and
    the field of the cell at which its refusals stand."""

    columns: Callable[[bool], tuple[Column, ...]]
    find: Callable[[Batch], list[int | None]]
    cell: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The kind of sheet whose lines do an act.

    Its columns are the fields that have a heading or are ``named``: those of ``first``, then the others
    as they are declared. ``example`` may leave out the last cells of a line. ``named`` tells, by field, of rows that several columns name. ``act_id`` gives a
    line's id from what it says, where not all of it tells the act. The rest is :class:`SheetKind`'s.
    """

    name: str
    purpose: str
    order: int
    example: Sequence[Sequence[object]]
    first: tuple[str, ...] = ()
    named: Mapping[str, Named] = field(default_factory=dict)
    act_id: Callable[[Any], UUID] | None = None
    aliases: tuple[str, ...] = ()


def sheet_of(act: Act, sheet: Sheet) -> SheetKind:
    """The kind of sheet. TypeError of an act whose id is not claimed: its sheet is written out."""
    if act.id_in_row or act.known_by:
        raise TypeError(
            f"{act.name}: what is known otherwise than by its id has a sheet of its own."
        )
    said = {each.name: each for each in fields_of(act.said)}
    told = [name for name, each in said.items() if each.said.heading or name in sheet.named]
    columns: list[Column] = []
    for name in (*sheet.first, *(name for name in told if name not in sheet.first)):
        if name in sheet.named:
            columns += sheet.named[name].columns(said[name].is_needed)
        else:
            columns.append(column_of(act.said, name))
    return SheetKind(
        sheet.name,
        sheet.purpose,
        sheet.order,
        act.row,
        tuple(columns),
        lambda batch: bring(batch, act, sheet),
        [[*line, *[""] * (len(columns) - len(line))] for line in sheet.example],
        sheet.aliases,
    )


def bring(batch: Batch, act: Act, sheet: Sheet) -> None:
    """This will do the act of each good line; what it refuses stands at the line's cell."""
    rows = _rows_named(batch, act, sheet)
    said = {
        line: said_on(
            act.said, batch.line(line), **{name: keys[line] for name, keys in rows.items()}
        )
        for line in batch.good
    }
    ids = {line: _act_id(batch, act, sheet, what) for line, what in said.items()}
    before, met = _claimed(act, ids.values()), set[UUID]()
    for line, what in said.items():
        try:
            _do(batch, act, what, ids[line])
        except Refused as refused:
            _refuse(batch, line, sheet, refused)
        else:
            if ids[line] in before | met:
                batch.know([line])
        met.add(ids[line])
    # What was recorded before ids were claimed is on record without one.
    now = _claimed(act, ids.values())
    batch.know(line for line in said if ids[line] not in now)


def _rows_named(batch: Batch, act: Act, sheet: Sheet) -> dict[str, list[int | None]]:
    """The keys of the rows that lines name, by attribute; unknown ones refuse their line."""
    found: dict[str, list[int | None]] = {}
    for each in fields_of(act.said):
        if each.name in sheet.named:
            found[each.attribute] = sheet.named[each.name].find(batch)
        elif each.said.sort == fields.CODED and each.name in batch.table.columns:
            found[each.attribute] = _coded(batch, each)
    return found


def _coded(batch: Batch, each: Field) -> list[int | None]:
    said = each.said
    model, column = said.model, said.column
    assert model is not None

    def codes() -> dict[str, int]:
        rows = model._default_manager.values_list(column, "pk")
        return {code.upper(): key for code, key in rows}

    known = batch.bringing.looked_up(f"{model._meta.label} by {column}", codes)
    return batch.found(each.name, known, said.what)


def _act_id(batch: Batch, act: Act, sheet: Sheet, said: Any) -> UUID:
    if sheet.act_id is not None:
        return sheet.act_id(said)
    return batch.bringing.act_id(act.name, digest_of({"said": said}))


def _claimed(act: Act, ids: Any) -> set[UUID]:
    rows = Claimed.objects.filter(act=act.claim, act_id__in=list(ids))
    return set(rows.values_list("act_id", flat=True))


def _do(batch: Batch, act: Act, said: Any, act_id: UUID) -> None:
    bringing = batch.bringing
    act.do(said, by=bringing.by, act_id=act_id, at=bringing.at, today=bringing.today)


def _refuse(batch: Batch, line: int, sheet: Sheet, refused: Refused) -> None:
    """This will say at the line's cells why the act was refused."""
    if refused.code == USED.code:
        refuse_otherwise(batch, line)
        return
    for each in refused.refusals:
        name = each.field or ""
        cell = sheet.named[name].cell if name in sheet.named else name
        known = cell if cell in batch.table.columns else None
        batch.refuse(line, known, each.code, each.message)
