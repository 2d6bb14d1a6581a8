"""What was done under each rule: the latest work, the extension that holds, the disposition."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from scheduling.facts import items
from scheduling.facts.copying import Ints, day, last_of_each, read, total
from scheduling.facts.rules import Rule, Rules
from scheduling.facts.units import PRECISIONS, UnitSelection
from scheduling.models import Extension

UNIT, POSITION, AIRCRAFT = "unit_id", "position_id", "aircraft_id"
SORT_OF = {UNIT: items.UNIT, POSITION: items.POSITION, AIRCRAFT: items.AIRCRAFT}
POPULATION_SORT = items.POPULATION
CLOSED, AS_DONE = ("not_applicable", "terminated"), ("complied", "alternative")
DISPOSITIONS = ("open", *CLOSED, *AS_DONE)


@dataclass(frozen=True, slots=True)
class Subjects:
    """Whose works: units (``which``), positions or aircraft (the keys), by the column that names them."""

    column: str
    which: UnitSelection

    def within(self, column: str) -> tuple[str, list[object]]:
        return self.which.within(column, with_absorbed=self.column == UNIT)

    def kept(self, keys: Ints) -> Ints:
        return self.which.kept(keys) if self.column == UNIT else keys


_PRECISION = "greatest(coalesce(array_position(%s::text[], w.precision::text), 2) - 2, 0)::bigint"
_METHOD = (
    "CASE WHEN w.method = '' THEN -1 ELSE coalesce(array_position(%s::text[], w.method::text),"
    " %s) - 1 END::bigint"
)
_CODE = (
    "CASE WHEN w.limit_code = '' THEN 0 ELSE"
    " coalesce(array_position(%s::text[], w.limit_code::text), -1) END::bigint"
)


def works(
    subjects: Subjects, rules: Rules, as_of: date, work_ids: list[int] | None = None
) -> dict[str, Ints]:
    """Works (None: of every kind) that stand (passed, not withdrawn, not replaced), by the day. ``code`` is 0 for a work
    that restarts every limit it can, else 1 + the place among the rules' sorted codes."""
    where, params = subjects.within(f"w.{subjects.column}")
    found = read(
        {
            "subject": f"w.{subjects.column}",
            "work": "w.work_id",
            "code": _CODE,
            "done": day("w.done_on"),
            "precision": _PRECISION,
            "released": day("w.released_on"),
            "shop_released": day("w.shop_released_on"),
            "original_due": day("w.original_due_on"),
            "method": _METHOD,
            "original_minutes": total("w.original_due_minutes"),
            "original_cycles": total("w.original_due_cycles"),
            "minutes": total("w.total_minutes"),
            "cycles": total("w.total_cycles"),
            "id": "w.id",
        },
        "FROM scheduling_workdone w WHERE w.done_on <= %s AND w.result = 'passed' AND NOT w.is_annulment"
        " AND NOT EXISTS (SELECT 1 FROM scheduling_workdone c WHERE c.corrects_id = w.id)"
        f" AND (%s::bigint[] IS NULL OR w.work_id = ANY(%s::bigint[])) AND {where}",
        [
            codes_of(rules.rules),
            list(PRECISIONS),
            list(rules.methods),
            len(rules.methods),
            as_of,
            work_ids,
            work_ids,
            *params,
        ],
    )
    found["subject"] = subjects.kept(found["subject"])
    return found


def meant_for(place: int, code: Ints) -> npt.NDArray[np.bool_]:
    """Which works, by their ``code``, are not of another limit than the one at this place of the codes."""
    return (code == 0) | (code == place + 1)


def codes_of(rules: Sequence[Rule]) -> list[str]:
    return sorted({rule.limit.code for rule in rules})


def restarts(
    found: dict[str, Ints], rules: Sequence[Rule], every: Collection[int] | None = None
) -> dict[str, Ints]:
    """Of each rule on each subject the latest work that restarts it: ``row`` is its place in
    ``found``, ``rule`` a place in ``rules``. Sorted by rule, then subject.

    ``every``: of these rules (by place) only, and all of their works, the earliest first."""
    codes = {code: index for index, code in enumerate(codes_of(rules))}
    order = np.lexsort((found["id"], found["done"], found["subject"]))
    work, code = found["work"][order], found["code"][order]
    of_work = {key: np.flatnonzero(work == key) for key in np.unique(work).tolist()}
    pieces = []
    for place, rule in enumerate(rules):
        if every is not None and place not in every:
            pieces.append(np.empty(0, np.int64))
            continue
        mine = [of_work[key] for key in rule.work_ids if key in of_work]
        rows = np.sort(np.concatenate(mine)) if mine else np.empty(0, np.int64)
        rows = rows[meant_for(codes[rule.limit.code], code[rows])]
        rows = order[rows]
        pieces.append(rows if every is not None else rows[last_of_each(found["subject"][rows])])
    rule_column = np.repeat(np.arange(len(rules)), [len(rows) for rows in pieces])
    rows = np.concatenate(pieces) if pieces else np.empty(0, np.int64)
    return {"rule": rule_column, "subject": found["subject"][rows], "row": rows}


def extensions(subjects: Subjects, rules: Rules, as_of: date) -> dict[str, Ints]:
    """Extensions granted by the day, sorted by rule, subject, day."""
    where, params = subjects.within(f"e.{subjects.column}")
    pairs = [(rule.programme_id, rule.limit.code) for rule in rules.rules]
    found = read(
        {
            "rule": "(k.place - 1)::bigint",
            "subject": f"e.{subjects.column}",
            "granted": day("e.granted_on"),
            "days": "e.days::bigint",
            "minutes": "e.minutes",
            "count": "e.count",
            "id": "e.id",
        },
        "FROM scheduling_extension e JOIN unnest(%s::bigint[], %s::text[]) WITH ORDINALITY"
        " AS k(programme, code, place) ON k.programme = e.programme_id AND k.code = e.limit_code"
        f" WHERE e.granted_on <= %s AND {where} ORDER BY 1, 2, 3, 7",
        [[one for one, _ in pairs], [code for _, code in pairs], as_of, *params],
    )
    found["subject"] = subjects.kept(found["subject"])
    return found


def extension_numbers(ids: Ints) -> tuple[str, ...]:
    """The numbers that extensions are known by, in the order of their (sorted) keys."""
    rows = Extension.objects.filter(pk__in=ids.tolist()) if len(ids) else Extension.objects.none()
    return tuple(rows.order_by("pk").values_list("number", flat=True))


def dispositions(which: UnitSelection, rules: Rules, as_of: date) -> dict[str, Ints]:
    """The disposition of each unit for each directive in force: (rule, unit, sort, day), sorted."""
    directives = {rule.id: index for index, rule in enumerate(rules.rules) if rule.is_directive}
    if not directives:
        return {name: np.empty(0, np.int64) for name in ("rule", "unit", "sort", "on")}
    where, params = which.within("d.unit_id")
    # A disposition of an earlier revision of the paragraph still holds: by code, not by row.
    found = read(
        {
            "rule": "(array_position(%s::bigint[], now.id) - 1)::bigint",
            "unit": "d.unit_id",
            "sort": "(array_position(%s::text[], d.sort::text) - 1)::bigint",
            "on": day("d.on"),
            "id": "d.id",
        },
        "FROM scheduling_disposition d JOIN scheduling_limit was ON was.id = d.limit_id"
        " JOIN scheduling_limit now ON now.programme_id = was.programme_id AND now.code = was.code"
        f" WHERE now.id = ANY(%s) AND d.on <= %s AND {where}",
        [
            [rule.id for rule in rules.rules],
            list(DISPOSITIONS),
            sorted(directives),
            as_of,
            *params,
        ],
    )
    found["unit"] = which.kept(found["unit"])
    order = np.lexsort((found["id"], found["on"], found["unit"], found["rule"]))
    found = {name: column[order] for name, column in found.items()}
    last = last_of_each(found["rule"], found["unit"])
    return {name: column[last] for name, column in found.items()}
