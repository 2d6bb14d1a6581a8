"""One line of a kind of sheet as an act of its own, so that it has a page: its columns are the fields."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from fleet.acts import fields
from fleet.acts.act import Act
from fleet.house.refusals import Refusal, Refused
from fleet.intake import columns
from fleet.intake.registry import Column, SheetKind
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import User

Offered = Mapping[str, Callable[[], Sequence[str]]]
#: By field, the codes and words that there are to choose from now.
Chosen = Mapping[str, Callable[[], Sequence[tuple[str, str]]]]


def line_act(
    kind: SheetKind,
    name: str,
    offered: Offered,
    chosen: Chosen | None = None,
    judge: Callable[[Any], Sequence[Refusal]] | None = None,
) -> Act:
    """The act of entering one line of this kind. ``offered`` gives what is usual in a field, ``chosen``
    what there is to choose from, ``judge`` what else is asked of who enters one, and not of a history that is loaded.

    A line of the same key as one on record changes what its sheet may change, and is refused where it
    says otherwise of the rest, as a load would be.
    """
    said = said_of(kind.columns, name, offered, chosen)

    def enter(*, by: User, line: Any, at: dt.datetime, today: dt.date) -> str:
        if judge is not None and (wrong := judge(line)):
            raise Refused.all_of(list(wrong))
        cells = {each.field: getattr(line, each.field) for each in kind.columns}
        [outcome] = enter_lines(by=by, lines=[SheetLine(kind, cells)], at=at, today=today)
        return outcome

    return Act(
        name=name,
        does=enter,
        said=said,
        as_="line",
        who=kind.act,
        known_by="what its line says",
        needs_today=True,
        summary=kind.name,
        description=kind.purpose,
    )


def said_of(
    told: Sequence[Column], name: str, offered: Offered, chosen: Chosen | None = None
) -> type:
    """What is said in these columns, as a dataclass of declared fields; those of ``chosen`` are chosen
    from what is on record."""
    lists = chosen or {}
    made = [
        (
            each.field,
            object,
            _chosen(each, lists[each.field])
            if each.field in lists
            else _field(each, offered.get(each.field)),
        )
        for each in told
    ]
    return dataclasses.make_dataclass(name.title().replace("_", ""), made, kw_only=True)


def _chosen(column: Column, choices: Callable[[], Sequence[tuple[str, str]]]) -> Any:
    more: dict[str, Any] = {} if column.needed else {"default": ""}
    return fields.choice(column.name, choices, unchosen="–", hint=column.meaning, **more)


def _field(column: Column, offers: Callable[[], Sequence[str]] | None) -> Any:
    hint = column.meaning
    needed: dict[str, Any] = {"needed": "Fill this in."} if column.needed else {}
    if column.kind == columns.CHOICE:
        default: dict[str, Any] = {} if column.needed else {"default": ""}
        return fields.choice(
            column.name, tuple(column.choices.items()), unchosen="–", hint=hint, **default
        )
    if column.kind == columns.YES_NO:
        return fields.yes_no(column.name, hint=hint)
    if column.kind == columns.DAY:
        return fields.day(column.name, default=None, hint=hint, **needed)
    most = max(column.most, 40) if column.kind != columns.LIST else 4000
    return fields.text(column.name, most, default="", hint=hint, offers=offers, **needed)
