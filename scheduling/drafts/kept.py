"""What was said to an act, as it is kept in a draft and read again: plain values, each as what it was."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import cache
from typing import Any
from uuid import UUID, uuid5

from fleet.acts.act import Act
from scheduling.entries.declared import OFFERS
from scheduling.entries.foretold.moves import Reach
from scheduling.entries.limit_lines import LIMIT_LINES

DAY, MOMENT, ID = "day", "moment", "id"


@cache
def acts_that_may_wait() -> Mapping[str, Act]:
    """The acts whose page says first what they change, by their names."""
    offered = {
        each.act.name: each.act
        for each in OFFERS
        if each.page is not None and each.page.foresee is not None
    }
    return {**offered, LIMIT_LINES.name: LIMIT_LINES}


def written(said: Any) -> dict[str, Any]:
    """The values of what was said, as JSON. TypeError of what is no plain value."""
    return {each.name: _plain(getattr(said, each.name)) for each in dataclasses.fields(said)}


def read_again(act: Act, kept: Mapping[str, Any], act_id: UUID) -> Any:
    """What was said, out of what was kept; where it has an id of its own, under this one."""
    values = {name: _as_it_was(value) for name, value in kept.items()}
    if act.id_in_row:
        values["act_id"] = act_id
    return act.said(**values)


def done_under(act_id: UUID) -> UUID:
    """The id under which a kept change is done: its own is that of its being kept."""
    return uuid5(act_id, "done")


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return {MOMENT: value.isoformat()}
    if isinstance(value, date):
        return {DAY: value.isoformat()}
    if isinstance(value, UUID):
        return {ID: str(value)}
    if isinstance(value, tuple | list | frozenset):
        return [_plain(each) for each in value]
    if value is None or isinstance(value, str | int | bool):
        return value
    raise TypeError(f"{type(value).__name__} is not kept in a draft.")


_READ: Mapping[str, Callable[[str], Any]] = {
    DAY: date.fromisoformat,
    MOMENT: datetime.fromisoformat,
    ID: UUID,
}


def _as_it_was(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_as_it_was(each) for each in value)
    if isinstance(value, dict):
        [(sort, text)] = value.items()
        return _READ[sort](text)
    return value


def reach_written(reach: Reach) -> dict[str, Any]:
    """A reach as JSON."""
    return {
        "units": None if reach.unit_ids is None else list(reach.unit_ids),
        "aircraft": None if reach.aircraft_ids is None else list(reach.aircraft_ids),
        "checks": reach.is_of_checks,
        "spares": reach.with_spares,
    }


def reach_of(kept: Sequence[Mapping[str, Any]]) -> Reach:
    """All that several changes may move. Whole aircraft where nothing else is said, so that the plan is told
    too; one that may move anything makes it everything."""
    spares = any(one.get("spares", False) for one in kept)
    if any(one["units"] is None and one["aircraft"] is None for one in kept):
        return Reach(with_spares=spares)
    units = {key for one in kept for key in one["units"] or ()}
    aircraft = {key for one in kept for key in one["aircraft"] or ()}
    are_checks = all(one.get("checks", False) for one in kept)
    return Reach(
        tuple(sorted(units)) if units else None,
        tuple(sorted(aircraft)),
        is_of_checks=are_checks,
        with_spares=spares,
    )
