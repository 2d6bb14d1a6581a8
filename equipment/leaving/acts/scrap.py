"""A unit in stock is made unusable before a witness, condemned and scrapped."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.availability.acts.units import lock_unit, refuse_not_at, when_on
from equipment.common.said import unit_row
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Place, Scrapping, Unit, UnitTag
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, number, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User

from .allowed import refuse_leaving


@transaction.atomic
def scrap_unit(*, by: User, scrap: Scrapped, act_id: UUID, at: datetime) -> Scrapping:
    """This will tag a unit unsalvageable, which nobody lifts, and record that it is scrapped: how it was made
    unusable, who saw it, its final record.

    Refuses what is in no store or quarantine, what is set aside, a suspected part (it is evidence), a day to
    come, and one without words, witness or final record, or whose witness is who records it.
    """
    ask(by, "scrap_unit")
    rows = Scrapping.objects.filter(act_id=act_id)
    if done := done_before(act_id, "scrap_unit", {"scrap": scrap}, rows, by=by, at=at):
        return done
    unit = lock_unit(scrap.unit_id)
    when = _when(unit, scrap.scrapped_on, at)
    facts = _facts(by, scrap)
    refuse_leaving(unit, scrap.scrapped_on, at)
    tag = _condemned(by, unit, facts["why"], act_id, at)
    move = MovementFact(
        unit.pk,
        "scrapped",
        PlaceAt(Place.GONE, name="scrapped"),
        when,
        document=facts["document"],
        reason=facts["why"],
    )
    moved = record_asked(by=by, rows=[move], act_id=uuid5(act_id, "moved"), at=at, is_strict=True)[
        0
    ]
    return Scrapping.objects.create(
        act_id=act_id,
        unit=unit,
        movement_id=moved.movement_id,
        tag=tag,
        mutilation=scrap.mutilation,
        total_minutes=scrap.total_minutes,
        total_cycles=scrap.total_cycles,
        scrapped_on=scrap.scrapped_on,
        recorded_at=at,
        recorded_by=by,
        **facts,
    )


def _when(unit: Unit, on: date, at: datetime) -> When:
    """The day, where the unit is; refuses what is in no stock, and a day to come."""
    place = refuse_not_at(unit, "unit_not_in_store", Place.STORE, Place.QUARANTINE)
    assert place.station is not None
    when = when_on(on, place.station.time_zone, at)
    if reasons := why_future(when.here, at, "scrapped_on"):
        raise Refused.all_of(reasons)
    return when


def _condemned(by: User, unit: Unit, why: str, act_id: UUID, at: datetime) -> UnitTag:
    """The tag that nobody lifts."""
    return tag_unit(
        by=by,
        unit_id=unit.pk,
        tag=TagFact("unsalvageable", words=f"Scrapped: {why}"[:300]),
        tagged_at=at,
        act_id=uuid5(act_id, "tag"),
        at=at,
    )


def _facts(by: User, scrap: Scrapped) -> dict[str, str]:
    if scrap.mutilation not in dict(Scrapping.MUTILATIONS):
        raise Refused("unknown_mutilation", "Choose how it was made unusable.", "mutilation")
    witness = refuse_blank(scrap.witness, "Name who saw it made unusable.", "witness", 120)
    own = {by.shown_name.casefold(), by.username.casefold()}
    if witness.casefold() in own:
        words = "The witness is somebody else than who records it."
        raise Refused("witness_is_oneself", words, "witness")
    record = "Give its final record: hours, cycles, last works; or that it has none."
    return {
        "why": refuse_blank(scrap.why, "Say why it is scrapped.", "why", 200),
        "witness": witness,
        "final_record": refuse_blank(scrap.final_record, record, "final_record", 300),
        "document": refuse_long(scrap.document, "document", 80),
    }


@dataclass(frozen=True, slots=True)
class Scrapped:
    """A unit is scrapped from the shelf."""

    unit_id: int = unit_row()
    why: str = text("Why it is scrapped", 200)
    mutilation: str = choice("It was made unusable", Scrapping.MUTILATIONS)
    witness: str = text("Witness", 120, hint="Who saw it done; not who records it.")
    final_record: str = text(
        "Final record", 300, hint="Hours, cycles, last works; of what has no limit of life: none."
    )
    scrapped_on: date = day("Scrapped on")
    total_minutes: int | None = number("Total time, in minutes", default=None)
    total_cycles: int | None = number("Total cycles", default=None)
    document: str = text("Document", 80, default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrappingShown:
    id: int
    unit: int = shown("unit_id")
    movement: int = shown("movement_id")
    tag: int = shown("tag_id")
    mutilation: str
    witness: str
    final_record: str
    scrapped_on: date


# --- declared ---------------------------------------------------------------------------------

SCRAP_UNIT = Act(
    name="scrap_unit",
    does=scrap_unit,
    said=Scrapped,
    as_="scrap",
    tag="Stores",
    summary="Scrap a unit from the shelf",
    description="A unit in a store or quarantine was made unusable before a witness: it is condemned and scrapped, "
    "with its final record.",
    address="stores/scrappings",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 812,
        "why": "Life limit reached.",
        "mutilation": "cut",
        "witness": "R. Oake",
        "final_record": "41 210 h, 9 020 cycles; last overhaul 2019-04.",
        "scrapped_on": "2024-03-01",
        "document": "SCR-11",
    },
    shows=ScrappingShown,
    answer={
        "id": 3,
        "unit": 812,
        "movement": 9130,
        "tag": 62,
        "mutilation": "cut",
        "witness": "R. Oake",
        "final_record": "41 210 h, 9 020 cycles; last overhaul 2019-04.",
        "scrapped_on": "2024-03-01",
    },
)
