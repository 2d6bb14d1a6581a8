"""What somebody read on a unit in its place. It moves nothing and is reconciled later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.clashes import told_by_name
from equipment.keeping.places import place_ids
from equipment.ledger.facts import Entered, RowsRefused, SightingFact
from equipment.models import Sighting, Unit
from fleet.acts.act import Act
from fleet.acts.repeats import USED, differs
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refusal
from fleet.models import User

READ = (
    "part_number_read",
    "serial_number_read",
    "expiry_read",
    "gauge_read",
    "pin_read",
    "note",
)


def record_sightings(
    *, by: User, rows: Sequence[SightingFact], at: datetime, walk_round_id: int | None = None
) -> list[Entered]:
    """This will record what was read, in the order of ``rows``; the same act again gives the first.

    ``walk_round_id`` is the walk-round on which it was. Refuses (:class:`RowsRefused`) one that says nothing, an unknown unit or place, a time to come,
    one that settles a sighting that is not there or was settled before, and an act's id that was used for another.
    """
    ask(by, "record_sighting")
    if not rows:
        return []
    with told_by_name(), transaction.atomic():
        acts = [row.act_id for row in rows]
        before = {each.act_id: each for each in Sighting.objects.filter(act_id__in=acts)}
        fresh = {row.act_id: row for row in rows if row.act_id not in before}
        places = _places_of(rows)
        said = {row.act_id: _said(row, places[row.act_id], walk_round_id) for row in rows}
        _refuse_others(acts, said, before)
        _refuse(rows, fresh, places, at)
        made = {act: Sighting(**said[act], recorded_at=at, recorded_by=by) for act in fresh}
        Sighting.objects.bulk_create(list(made.values()))
    return [
        Entered(before[act].pk, is_new=False) if act in before else Entered(made[act].pk)
        for act in acts
    ]


def _refuse_others(
    acts: Sequence[UUID], said: Mapping[UUID, Mapping[str, Any]], before: Mapping[UUID, Sighting]
) -> None:
    known = [(i, act) for i, act in enumerate(acts) if act in before]
    if wrong := [i for i, act in known if differs(said[act], vars(before[act]))]:
        raise RowsRefused({i: [USED] for i in wrong})


def _places_of(rows: Sequence[SightingFact]) -> dict[UUID, int | None]:
    placed = [row for row in rows if row.place is not None]
    keys = place_ids([row.place for row in placed if row.place is not None])
    found = dict(zip((row.act_id for row in placed), keys, strict=True))
    return {row.act_id: found.get(row.act_id) for row in rows}


def _refuse(
    rows: Sequence[SightingFact],
    fresh: dict[UUID, SightingFact],
    places: dict[UUID, int | None],
    at: datetime,
) -> None:
    units = {row.unit_id for row in fresh.values() if row.unit_id is not None}
    known = set(Unit.objects.filter(pk__in=units).values_list("pk", flat=True))
    named = {row.reconciles for row in fresh.values() if row.reconciles is not None}
    open_ones = set(
        Sighting.objects.filter(pk__in=named, reconciled_by=None).values_list("pk", flat=True)
    )
    wrong: dict[int, list[Refusal]] = {}
    for i, row in enumerate(rows):
        if row.act_id in fresh:
            wrong[i] = _why_not(row, known, places[row.act_id], open_ones, at)
    if any(wrong.values()):
        raise RowsRefused(wrong)


def _why_not(
    row: SightingFact, known: set[int], place: int | None, open_ones: set[int], at: datetime
) -> list[Refusal]:
    found = []
    if not any(getattr(row, name) for name in READ):
        words = "A sighting says what was read: give a number, a date, a gauge, a pin or a note."
        found.append(Refusal("nothing_read", words, "note"))
    if row.unit_id is not None and row.unit_id not in known:
        found.append(Refusal("unknown_unit", "There is no such unit: look it up again.", "unit"))
    if row.place is not None and place is None:
        found.append(Refusal("unknown_place", "There is no such place: look it up again.", "place"))
    found += why_future(row.when.here, at, "happened_on", "record what was seen, when it has.")
    if row.reconciles is not None and row.reconciles not in open_ones:
        words = "The sighting to settle is not there, or was settled before: look it up again."
        found.append(Refusal("sighting_not_open", words, "reconciles"))
    return found


def _said(row: SightingFact, place: int | None, walk_round_id: int | None) -> dict[str, Any]:
    """A sighting by column, as it is kept and as it is compared."""
    return {
        "act_id": row.act_id,
        "seen_at": row.when.at,
        "precision": row.when.precision,
        "place_id": place,
        "unit_id": row.unit_id,
        "reconciles_id": row.reconciles,
        "walk_round_id": walk_round_id,
        **{name: getattr(row, name) for name in READ},
    }


# --- declared ---------------------------------------------------------------------------------

RECORD_SIGHTING = Act(
    name="record_sighting",
    does=record_sightings,
    said=SightingFact,
    as_="rows",
    in_rows=True,
    id_in_row=True,
    tag="Papers",
    summary="Record a sighting",
    description="Records what somebody read on a unit in its place. It moves nothing and is "
    "reconciled later.",
    address="sightings",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6a04",
        "happened_at": "2024-03-03T05:40:00Z",
        "zone": "Europe/London",
        "place": {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"},
        "serial_number_read": "A00713",
        "gauge_read": "in the green",
    },
)
