"""Movements sent again under their act's id: the same are what they were, others are refused."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import connection

from equipment.keeping.judged.call import Act, Call
from equipment.ledger.arrays import array_of
from equipment.ledger.facts import Recorded, RowsRefused
from fleet.acts.repeats import USED, act_id_used, differs
from fleet.house.refusals import Refusal

SAID = (
    "sort",
    "to_place_id",
    "happened_at",
    "precision",
    "zone",
    "day_order",
    "aircraft_minutes",
    "aircraft_cycles",
    "log_page",
    "document",
    "reason",
    "quantity",
    "corrects_id",
)
BEFORE = f"""
SELECT m.act_id, coalesce(u.merged_into_id, u.id), m.id, m.is_conforming, m.reasons, m.{", m.".join(SAID)}
FROM equipment_movement m JOIN equipment_unit u ON u.id = m.unit_id
WHERE m.act_id = ANY(%s::uuid[])
"""


def recorded_before(call: Call) -> dict[Act, Recorded]:
    """What the same acts recorded before, by act and unit.

    Refuses ``act_id_used`` where a row says anything else than the one on record, and where an act
    that is on record comes with other units: by the row, where the row has an act of its own.
    """
    acts = {call.act_of(row)[0] for row in range(len(call.rows))}
    with connection.cursor() as cursor:
        cursor.execute(BEFORE, [array_of(acts)])
        rows = cursor.fetchall()
    if not rows:
        return {}
    _refuse_others(
        call,
        {(act, unit): dict(zip(SAID, said, strict=True)) for act, unit, _, _, _, *said in rows},
    )
    return {
        (act, unit): Recorded(movement, unit, is_conforming, _reasons(why), is_new=False)
        for act, unit, movement, is_conforming, why, *_ in rows
    }


def _reasons(why: str) -> tuple[Refusal, ...]:
    return tuple(Refusal(**each) for each in json.loads(why))


def _refuse_others(call: Call, kept: Mapping[Act, Mapping[str, Any]]) -> None:
    units, said = defaultdict(set), defaultdict(set)
    for act, unit in kept:
        units[act].add(unit)
    for act, unit in map(call.act_of, range(len(call.rows))):
        said[act].add(unit)
    wrong = [row for row in range(len(call.rows)) if _is_other(call, row, kept, units, said)]
    if any(call.rows[row].act_id is None for row in wrong):
        raise act_id_used()
    if wrong:
        raise RowsRefused({row: [USED] for row in wrong})


def _is_other(
    call: Call,
    row: int,
    kept: Mapping[Act, Mapping[str, Any]],
    units: Mapping[UUID, set[int]],
    said: Mapping[UUID, set[int]],
) -> bool:
    act = call.act_of(row)
    if act[0] not in units:
        return False
    return units[act[0]] != said[act[0]] or differs(_said(call, row), kept[act])


def _said(call: Call, row: int) -> dict[str, Any]:
    """The row by column. How many a lot then has is compared only where it is said."""
    fact = call.rows[row]
    said = {name: getattr(fact, name) for name in SAID if hasattr(fact, name)}
    said |= {"to_place_id": call.places[row], "happened_at": fact.when.at}
    said |= {"precision": fact.when.precision, "zone": fact.when.zone, "corrects_id": fact.corrects}
    return {name: value for name, value in said.items() if name != "quantity" or value is not None}
