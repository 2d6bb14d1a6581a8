"""Mistakes of the ledger: a movement replaced, a movement that never happened, one taken up again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from uuid import UUID

from django.db import connection, transaction

from equipment.common.clashes import told_by_name
from equipment.common.doors.examples import MOVEMENT_SENT
from equipment.keeping.judged.chains import Chains, chains_of, positions_ever_held, why_not_replace
from equipment.keeping.judged.picture import picture_of
from equipment.ledger.facts import (
    AnnulmentFact,
    Entered,
    MovementFact,
    Recorded,
    RowsRefused,
    When,
)
from equipment.ledger.picture import Edit
from equipment.ledger.sweep import contradictions
from equipment.models import Correction, Movement
from fleet.acts.act import Act
from fleet.acts.fields import number, part, yes_no
from fleet.acts.repeats import USED, differs
from fleet.house.desks import ask
from fleet.house.refusals import Refusal
from fleet.models import User

from .derive import derive
from .locks import lock, not_before_the_last
from .record import record_movements

INSERT = """
INSERT INTO equipment_correction (movement_id, reason, act_id, recorded_at, recorded_by_id)
SELECT movement_id, reason, act_id, %s::timestamptz, %s::bigint
FROM unnest(%s::bigint[], %s::text[], %s::uuid[]) AS brought (movement_id, reason, act_id)
RETURNING act_id, id
"""


def correct_movement(
    *,
    by: User,
    movement_id: int,
    fact: MovementFact,
    act_id: UUID,
    at: datetime,
    is_confirmed: bool = False,
) -> Recorded:
    """This will replace a movement by what really happened; ``fact.unit_id`` may be another unit.

    The replacement that contradicts the records is asked about (:class:`RowsAsked`); confirmed, it is
    kept and changes nothing: what it corrects stays in force. Refuses one already corrected or annulled, naming the later one.
    """
    fact = replace(fact, corrects=movement_id)
    (done,) = record_movements(
        by=by, rows=[fact], act_id=act_id, at=at, asks_first=not is_confirmed
    )
    return done


def reconcile_movements(
    *, by: User, movement_ids: Sequence[int], act_id: UUID, at: datetime
) -> list[Recorded]:
    """This will take up again, as they were said, movements kept as not conforming.

    Refused, with the reasons, if they contradict the records still: record first what is missing.
    """
    ask(by, "correct_movement")
    found = Movement.objects.in_bulk(list(movement_ids))
    if unknown := [i for i, key in enumerate(movement_ids) if key not in found]:
        raise RowsRefused({row: [_UNKNOWN] for row in unknown})
    rows = [_said_again(found[key]) for key in movement_ids]
    return record_movements(by=by, rows=rows, act_id=act_id, at=at, is_strict=True)


def _said_again(movement: Movement) -> MovementFact:
    return MovementFact(
        unit_id=movement.unit_id,
        sort=movement.sort,
        to=movement.to_place_id,
        when=When(movement.happened_at, movement.precision, movement.zone),
        day_order=movement.day_order,
        aircraft_minutes=movement.aircraft_minutes,
        aircraft_cycles=movement.aircraft_cycles,
        log_page=movement.log_page,
        document=movement.document,
        reason=movement.reason,
        quantity=movement.quantity,
        corrects=movement.pk,
    )


def annul_movements(*, by: User, rows: Sequence[AnnulmentFact], at: datetime) -> list[Entered]:
    """This will record that movements never happened; what came before them lasts on.

    Refuses (:class:`RowsRefused`) where that contradicts what is recorded since: annul or correct
    the other in the same call. The same act again gives the first result.
    """
    ask(by, "correct_movement")
    if not rows:
        return []
    with told_by_name(), transaction.atomic():
        named = [row.movement_id for row in rows]
        chains = chains_of(named)
        units = chains.every_unit()
        lock(places=positions_ever_held(units), units=units, is_nesting=True)
        before = _annulled_before(rows)
        new = [index for index, row in enumerate(rows) if row.act_id not in before]
        _refuse_contradictions(rows, new, chains)
        ids = _insert_annulments([rows[i] for i in new], chains, by=by, at=at) if new else {}
    return [
        Entered(before[row.act_id], is_new=False)
        if row.act_id in before
        else Entered(ids[row.act_id])
        for row in rows
    ]


def _annulled_before(rows: Sequence[AnnulmentFact]) -> dict[UUID, int]:
    """The annulments of the same acts; refuses an act that annulled something else, or said otherwise."""
    found = Correction.objects.filter(act_id__in=[row.act_id for row in rows])
    kept = {each.act_id: each for each in found}
    others = [
        i
        for i, row in enumerate(rows)
        if row.act_id in kept and differs(asdict(row), vars(kept[row.act_id]))
    ]
    if others:
        raise RowsRefused({i: [USED] for i in others})
    return {act: each.pk for act, each in kept.items()}


_UNKNOWN = Refusal("unknown_movement", "There is no such movement: look it up again.", "corrects")


def _refuse_contradictions(rows: Sequence[AnnulmentFact], new: list[int], chains: Chains) -> None:
    wrong = why_not_replace([rows[i].movement_id for i in new], is_annulment=True)
    if wrong:
        raise RowsRefused(
            {i: [wrong[rows[i].movement_id]] for i in new if rows[i].movement_id in wrong}
        )
    edits = []
    for i in new:
        units = chains.units_of(rows[i].movement_id)
        taken = frozenset({rows[i].movement_id})
        edits.append(Edit(row=i, unit_id=min(units), units=units, removes=taken))
    if edits and (found := contradictions(picture_of(chains.every_unit(), []), edits)):
        raise RowsRefused(found)


def _insert_annulments(
    rows: Sequence[AnnulmentFact], chains: Chains, *, by: User, at: datetime
) -> dict[UUID, int]:
    units = chains.every_unit()
    at = not_before_the_last(at, places=positions_ever_held(units), units=units)
    columns = zip(*((row.movement_id, row.reason, row.act_id) for row in rows), strict=True)
    with connection.cursor() as cursor:
        cursor.execute(INSERT, [at, by.pk, *(list(column) for column in columns)])
        ids: dict[UUID, int] = dict(cursor.fetchall())
    derive(units, at=at)
    return ids


@dataclass(frozen=True, slots=True)
class Corrected:
    """What really happened, in the place of the movement that is corrected."""

    movement_id: int = number("The movement that is corrected", least=1)
    fact: MovementFact = part("What really happened", MovementFact, name="movement")
    is_confirmed: bool = yes_no(
        "It is really so: record it as it is", help="Though it was asked about (`confirm_first`)."
    )


# --- declared ---------------------------------------------------------------------------------

CORRECT_MOVEMENT = Act(
    name="correct_movement",
    does=correct_movement,
    said=Corrected,
    tag="Movements",
    summary="Correct a movement",
    description="Replaces a movement by what really happened; the replaced one stays readable. What "
    "contradicts the records is asked about (`confirm_first`); confirmed, it is kept and changes nothing.",
    address="movements/<int:movement_id>/correction",
    in_address=("movement_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a02",
        "movement": {**MOVEMENT_SENT, "log_page": "4711/4"},
    },
)
ANNUL_MOVEMENT = Act(
    name="annul_movement",
    who="correct_movement",
    does=annul_movements,
    said=AnnulmentFact,
    as_="rows",
    in_rows=True,
    id_in_row=True,
    tag="Movements",
    summary="Annul a movement",
    description="Records that a movement never happened; what came before it lasts on.",
    address="movements/<int:movement_id>/annulment",
    in_address=("movement_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a03",
        "reason": "Entered for the wrong aircraft.",
    },
)
