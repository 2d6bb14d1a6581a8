"""Movements are recorded here and nowhere else, any number at once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import connection, transaction

from equipment.common.clashes import told_by_name
from equipment.keeping.judged.call import Act, Call, call_of, lock_call
from equipment.keeping.judged.chains import Chains, why_not_replace
from equipment.keeping.judged.fits import add_fits
from equipment.keeping.judged.picture import picture_of
from equipment.keeping.judged.totals import add_totals
from equipment.keeping.judged.unusable import segregated
from equipment.ledger.arrays import array_of
from equipment.ledger.facts import MovementFact, Recorded, RowsAsked, RowsRefused
from equipment.ledger.picture import Edit, Key, Link, Picture
from equipment.ledger.sweep import UNRECORDED, contradictions
from fleet.house import pace
from fleet.house.desks import ask
from fleet.house.refusals import Refusal
from fleet.models import User

from .derive import derive
from .freeing import free_gone, use_fitted
from .locks import not_before_the_last
from .repeats import recorded_before

INSERT = """
INSERT INTO equipment_movement (
    unit_id, sort, to_place_id, happened_at, precision, zone, day_order, aircraft_minutes,
    aircraft_cycles, log_page, document, reason, quantity, corrects_id, is_conforming, reasons,
    act_id, sender_at, recorded_at, recorded_by_id
)
SELECT unit_id, sort, place_id, happened_at, precision, zone, day_order, minutes, cycles, log_page,
       document, reason, quantity, corrects_id, is_conforming, reasons::jsonb, act_id,
       %s::timestamptz, %s::timestamptz, %s::bigint
FROM unnest(
    %s::bigint[], %s::text[], %s::bigint[], %s::timestamptz[], %s::text[], %s::text[], %s::smallint[],
    %s::bigint[], %s::bigint[], %s::text[], %s::text[], %s::text[], %s::integer[], %s::bigint[],
    %s::boolean[], %s::text[], %s::uuid[]
) WITH ORDINALITY AS brought (
    unit_id, sort, place_id, happened_at, precision, zone, day_order, minutes, cycles, log_page,
    document, reason, quantity, corrects_id, is_conforming, reasons, act_id, line
)
ORDER BY line
RETURNING act_id, unit_id, id
"""


def record_movements(
    *,
    by: User,
    rows: Sequence[MovementFact],
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
    is_strict: bool = False,
    asks_first: bool = False,
) -> list[Recorded]:
    """This will record movements, in the order of ``rows``, and what follows from them.

    A row that contradicts the records is kept as not conforming, with its reasons, and moves
    nothing; when ``is_strict``, such rows are refused and nothing is recorded
    (:class:`RowsRefused`); when it ``asks_first``, they are asked about (:class:`RowsAsked`) and nothing
    is recorded until that was confirmed. Refuses either way: an unknown unit, place or corrected movement, a
    date after ``at``, a place that a movement of this sort cannot lead to, and an act's id that was
    used for other rows (``act_id_used``).
    """
    _ask_for(by, rows)
    return record_asked(
        by=by,
        rows=rows,
        act_id=act_id,
        at=at,
        sender_at=sender_at,
        is_strict=is_strict,
        asks_first=asks_first,
        is_last_word=True,
    )


def record_asked(
    *,
    by: User,
    rows: Sequence[MovementFact],
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
    is_strict: bool = False,
    asks_first: bool = False,
    is_last_word: bool = False,
) -> list[Recorded]:
    """The same for an act that has asked for its own permission, such as one of a swap's.

    What may be used is then judged by that act too, unless this is the ``is_last_word`` on it.
    """
    if not rows:
        return []
    with told_by_name(), transaction.atomic():
        call = call_of(rows, act_id, at)
        lock_call(call)
        before = recorded_before(call)
        new = [row for row in range(len(rows)) if call.act_of(row) not in before]
        pace.reached(0.15, "judging each line against the records")
        edits, reasons = _judged(call, new, at, is_last_word=is_last_word)
        if is_strict and reasons:
            raise RowsRefused(reasons)
        if asks_first and any(reasons.values()):
            raise RowsAsked(reasons)
        done = _insert(call, edits, reasons, by=by, at=at, sender_at=sender_at) | before
        good = [(call.units[row], call.rows[row].sort) for row in edits if row not in reasons]
        free_gone(moved=good, by=by, at=at)
        if is_last_word:
            use_fitted(fitted=_fitted(call, edits, reasons), by=by, at=at)
        return [done[call.act_of(row)] for row in range(len(rows))]


def _fitted(
    call: Call, edits: dict[int, Edit], reasons: dict[int, list[Refusal]]
) -> set[tuple[int, int]]:
    """(unit, place) of each installation that conforms."""
    good = (row for row in edits if row not in reasons and call.rows[row].sort == "installed")
    return {(call.units[row], call.places[row]) for row in good}


def why_not_record(*, rows: Sequence[MovementFact], at: datetime) -> dict[int, list[Refusal]]:
    """Every reason against each row, by its index, without recording anything."""
    if not rows:
        return {}
    with transaction.atomic():
        # Places that are made to answer the question are not kept.
        before = transaction.savepoint()
        try:
            _, found = _judged(
                call_of(rows, UUID(int=0), at), list(range(len(rows))), at, is_last_word=False
            )
        except RowsRefused as refused:
            found = refused.by_row
        transaction.savepoint_rollback(before)
    return found


def _ask_for(by: User, rows: Sequence[MovementFact]) -> None:
    sorts = {row.sort for row in rows if row.corrects is None}
    if "received" in sorts:
        ask(by, "receive_unit")
    if sorts - {"received"} or not rows:
        ask(by, "record_movement")
    if any(row.corrects is not None for row in rows):
        ask(by, "correct_movement")


def _judged(
    call: Call, new: list[int], at: datetime, *, is_last_word: bool
) -> tuple[dict[int, Edit], dict[int, list[Refusal]]]:
    """What each new row would change, and every reason against it."""
    if not new:
        return {}, {}
    _refuse_forks(call, new)
    corrected = call.corrected(new)
    installed = [call.places[row] for row in new if call.rows[row].sort == "installed"]
    picture = picture_of(
        {call.units[row] for row in new} | corrected.every_unit(),
        [*(call.places[row] for row in new), *call.mirrors.values()],
    )
    picture.mirrors = call.mirrors
    edits = {row: _edit(call, row, picture, corrected) for row in new}
    if installed:
        add_fits(picture, installed)
    add_totals(picture, edits.values())
    return edits, _reasons(
        picture, edits, segregated(call, edits, at=at, is_last_word=is_last_word)
    )


def _reasons(
    picture: Picture, edits: dict[int, Edit], unusable: dict[int, list[Refusal]]
) -> dict[int, list[Refusal]]:
    """Every reason against each row; what may not be used moves nothing that later rows stand on."""
    found = contradictions(picture, [edit for row, edit in edits.items() if row not in unusable])
    if unusable:
        also = contradictions(picture, list(edits.values()))
        found |= {row: [*also.get(row, ()), *reasons] for row, reasons in unusable.items()}
    return found


def _refuse_forks(call: Call, new: list[int]) -> None:
    named = {row: fact.corrects for row in new if (fact := call.rows[row]).corrects is not None}
    wrong = why_not_replace(list(named.values()), is_annulment=False)
    if wrong:
        raise RowsRefused({row: [wrong[m]] for row, m in named.items() if m in wrong})


def _edit(call: Call, row: int, picture: Picture, corrected: Chains) -> Edit:
    fact, unit = call.rows[row], call.units[row]
    return Edit(
        row=row,
        unit_id=unit,
        units=corrected.units_of(fact.corrects) | {unit},
        sort=fact.sort,
        link=Link(
            Key(fact.when.at, fact.day_order, UNRECORDED + row),
            call.places[row],
            fact.when.day,
            picture.units[unit].quantity if fact.quantity is None else fact.quantity,
        ),
        removes=corrected.replaced_by(fact.corrects),
        precision=fact.when.precision,
        minutes=fact.aircraft_minutes,
        cycles=fact.aircraft_cycles,
        off=fact.off,
    )


def _insert(
    call: Call,
    edits: dict[int, Edit],
    reasons: dict[int, list[Refusal]],
    *,
    by: User,
    at: datetime,
    sender_at: datetime | None,
) -> dict[Act, Recorded]:
    if not edits:
        return {}
    units = set().union(*(edit.units for edit in edits.values()))
    at = not_before_the_last(at, places=[call.places[row] for row in edits], units=units)
    rows = (_columns(call, edit, reasons.get(row, [])) for row, edit in edits.items())
    columns = [array_of(column) for column in zip(*rows, strict=True)]
    pace.reached(0.35, "writing")
    with connection.cursor() as cursor:
        cursor.execute(INSERT, [sender_at, at, by.pk, *columns])
        ids = {(act, unit): movement for act, unit, movement in cursor.fetchall()}
    pace.reached(0.65, "working out where each unit is")
    derive(units, at=at)
    pace.reached(0.95, "ending")
    done = {}
    for row in edits:
        act, found = call.act_of(row), tuple(reasons.get(row, ()))
        done[act] = Recorded(ids[act], call.units[row], not found, found)
    return done


def _columns(call: Call, edit: Edit, reasons: list[Refusal]) -> tuple[Any, ...]:
    fact, link = call.rows[edit.row], edit.link
    assert link is not None
    return (
        edit.unit_id,
        fact.sort,
        link.place_id,
        link.key.at,
        fact.when.precision,
        fact.when.zone,
        fact.day_order,
        fact.aircraft_minutes,
        fact.aircraft_cycles,
        fact.log_page,
        fact.document,
        fact.reason,
        link.quantity,
        fact.corrects,
        not reasons,
        json.dumps([asdict(reason) for reason in reasons]),
        call.act_of(edit.row)[0],
    )
