"""Two units that turn out to be one."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from datetime import datetime

from django.db import connection, transaction

from equipment.common.clashes import told_by_name
from equipment.keeping.judged.chains import positions_ever_held
from equipment.keeping.judged.shape import kept_units
from equipment.ledger.facts import Entered, MergeFact, RowsRefused
from equipment.models import UnitMerge
from fleet.acts.act import Act
from fleet.house.desks import ask
from fleet.house.refusals import Refusal
from fleet.models import User

from .derive import derive
from .locks import lock, not_before_the_last

INSERT = """
INSERT INTO equipment_unitmerge (kept_id, absorbed_id, reason, document, recorded_at, recorded_by_id)
SELECT kept_id, absorbed_id, reason, document, %s::timestamptz, %s::bigint
FROM unnest(%s::bigint[], %s::bigint[], %s::text[], %s::text[]) AS brought (kept_id, absorbed_id, reason, document)
RETURNING absorbed_id, id
"""
# Those absorbed before by the absorbed one are the kept one's too; and a kept one that the same call had
# absorbed is the one that it became: every record names the unit that it is in one step.
POINT = """
UPDATE equipment_unit u SET merged_into_id = coalesce(k.merged_into_id, k.id)
FROM unnest(%s::bigint[], %s::bigint[]) AS brought (kept_id, absorbed_id)
JOIN equipment_unit k ON k.id = brought.kept_id
WHERE coalesce(u.merged_into_id, u.id) = brought.absorbed_id
"""
# Both hold something in the same inner position in the same time; or one was inside the other.
CLASHES = """
WITH RECURSIVE pair AS (
    SELECT * FROM unnest(%(kept)s::bigint[], %(absorbed)s::bigint[]) AS brought (kept_id, absorbed_id)
), held AS (
    SELECT coalesce(o.merged_into_id, o.id) AS unit_id, p.part_position_id, s.valid
    FROM equipment_unit o
    JOIN equipment_place p ON p.parent_unit_id = o.id
    JOIN equipment_stay s ON s.place_id = p.id AND upper_inf(s.known)
    WHERE coalesce(o.merged_into_id, o.id) IN (SELECT kept_id FROM pair UNION SELECT absorbed_id FROM pair)
), outwards AS (
    SELECT p.kept_id, p.absorbed_id, own.id AS own_id, own.id AS at_id, NULL::tstzrange AS valid, 0 AS depth
    FROM pair p, LATERAL (VALUES (p.kept_id), (p.absorbed_id)) own (id)
    UNION ALL
    SELECT w.kept_id, w.absorbed_id, w.own_id, coalesce(o.merged_into_id, o.id),
           coalesce(w.valid * s.valid, s.valid), w.depth + 1
    FROM outwards w
    JOIN equipment_stay s ON s.unit_id = w.at_id AND upper_inf(s.known) AND (w.valid IS NULL OR s.valid && w.valid)
    JOIN equipment_place p ON p.id = s.place_id AND p.sort = 'inside'
    JOIN equipment_unit o ON o.id = p.parent_unit_id
    WHERE w.depth < 32
)
SELECT p.absorbed_id, 'both_hold_the_same_position'
FROM pair p
JOIN held k ON k.unit_id = p.kept_id
JOIN held a ON a.unit_id = p.absorbed_id AND a.part_position_id = k.part_position_id AND a.valid && k.valid
UNION
SELECT absorbed_id, 'inside_itself' FROM outwards
WHERE depth > 0 AND at_id <> own_id AND at_id IN (kept_id, absorbed_id)
"""
WORDS = {
    "both_hold_the_same_position": (
        "Both hold a unit in the same inner position in the same time: record first which of these"
        " came off, or merge them first.",
        "absorbed",
    ),
    "inside_itself": ("One is recorded inside the other: correct that first.", "absorbed"),
}


def merge_units(*, by: User, rows: Sequence[MergeFact], at: datetime) -> list[Entered]:
    """This will join units that turned out to be one: the absorbed one's movements are the kept one's.

    What our records said before stays readable. Doing it again changes nothing. Refuses
    (:class:`RowsRefused`) unknown units, a unit with itself, one absorbed by another already, one
    inside the other, and two that hold something in the same inner position in the same time.
    """
    ask(by, "merge_units")
    if not rows:
        return []
    with told_by_name(), transaction.atomic():
        named = {unit for row in rows for unit in (row.kept_id, row.absorbed_id)}
        kept = kept_units(named)
        everyone = set(kept.values()) | set(kept)
        lock(places=positions_ever_held(everyone), units=everyone, is_nesting=True)
        kept = kept_units(named)
        before = dict(
            UnitMerge.objects.filter(absorbed__in=[row.absorbed_id for row in rows]).values_list(
                "absorbed", "pk"
            )
        )
        new = [i for i, row in enumerate(rows) if not _is_done(row, kept, before)]
        _refuse(rows, new, kept, before)
        made = _join([rows[i] for i in new], kept, everyone, by=by, at=at) if new else {}
    found = before | made
    return [Entered(found[row.absorbed_id], is_new=row.absorbed_id in made) for row in rows]


def _is_done(row: MergeFact, kept: dict[int, int], before: dict[int, int]) -> bool:
    return row.absorbed_id in before and kept.get(row.absorbed_id) == kept.get(row.kept_id)


def _refuse(
    rows: Sequence[MergeFact], new: list[int], kept: dict[int, int], before: dict[int, int]
) -> None:
    often = Counter(rows[i].absorbed_id for i in new)
    wrong: dict[int, list[Refusal]] = {}
    into: dict[int, int] = {}
    for i in new:
        row = rows[i]
        if row.kept_id not in kept or row.absorbed_id not in kept:
            told = ("unknown_unit", "There is no such unit: look it up again.", "absorbed")
        elif _end_of(kept[row.kept_id], into) == row.absorbed_id:
            told = ("same_unit", "These are one unit already: name two.", "absorbed")
        elif row.absorbed_id in before or often[row.absorbed_id] > 1:
            told = (
                "merged_already",
                "This one was absorbed by another unit: look that up.",
                "absorbed",
            )
        else:
            into[row.absorbed_id] = kept[row.kept_id]
            continue
        wrong[i] = [Refusal(*told)]
    if not wrong and new:
        wrong = _clashes(rows, new, into)
    if wrong:
        raise RowsRefused(wrong)


def _end_of(unit: int, into: dict[int, int]) -> int:
    """The unit that one becomes by the call's merges."""
    while unit in into:
        unit = into[unit]
    return unit


def _clashes(
    rows: Sequence[MergeFact], new: list[int], into: dict[int, int]
) -> dict[int, list[Refusal]]:
    """Of all that become one by the call, any two that cannot be, told of the later one."""
    one: dict[int, list[int]] = defaultdict(list)
    pairs: list[tuple[int, int]] = []
    for i in new:
        absorbed = rows[i].absorbed_id
        end = _end_of(absorbed, into)
        pairs += [(other, absorbed) for other in (end, *one[end])]
        one[end].append(absorbed)
    kept, gone = ([pair[side] for pair in pairs] for side in (0, 1))
    with connection.cursor() as cursor:
        cursor.execute(CLASHES, {"kept": kept, "absorbed": gone})
        found = dict(cursor.fetchall())
    return {
        i: [Refusal(code, *WORDS[code])]
        for i in new
        if (code := found.get(rows[i].absorbed_id)) is not None
    }


def _join(
    rows: Sequence[MergeFact], kept: dict[int, int], everyone: set[int], *, by: User, at: datetime
) -> dict[int, int]:
    at = not_before_the_last(at, places=positions_ever_held(everyone), units=everyone)
    made: dict[int, int] = {}
    with connection.cursor() as cursor:
        cursor.execute(
            INSERT,
            [
                at,
                by.pk,
                [kept[row.kept_id] for row in rows],
                [row.absorbed_id for row in rows],
                [row.reason for row in rows],
                [row.document for row in rows],
            ],
        )
        made = dict(cursor.fetchall())
        # One by one: in one call a unit may absorb and then be absorbed.
        for row in rows:
            cursor.execute(POINT, [[kept[row.kept_id]], [row.absorbed_id]])
    derive(everyone, at=at)
    return made


# --- declared ---------------------------------------------------------------------------------

MERGE_UNITS = Act(
    name="merge_units",
    does=merge_units,
    said=MergeFact,
    as_="rows",
    in_rows=True,
    known_by="the two units",
    tag="Units",
    summary="Join two units that are one",
    description="Records that two units turned out to be one: the absorbed one's movements are the "
    "kept one's. What the records said before stays readable.",
    address="merges",
    example={
        "kept": 512,
        "absorbed": 733,
        "reason": "The plate was read wrongly at receipt.",
        "document": "QN-118",
    },
)
