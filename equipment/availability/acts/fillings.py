"""A bottle is filled; a slide is inflated; a bottle is discharged: each use of a counted life."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from equipment.availability.bottles import bottle_facts, measure_of, standing_of
from equipment.common.said import UNIT_ID, unit_row
from equipment.common.texts import derived_act_id
from equipment.common.wording import unit_words
from equipment.judging.fillings import why_not_fill
from equipment.keeping.derive import tell_condition
from equipment.keeping.freeing import free_failed
from equipment.keeping.papers import state_asked
from equipment.ledger.facts import LifeStatementFact
from equipment.models import Filling, LifeStatement, Unit, UnitTag
from fleet.acts.act import Act
from fleet.acts.answers import shown
from fleet.acts.fields import choice, day, text, within, yes_no
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.moments import refuse_future
from fleet.house.refusals import Refusal, Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words

from .units import lock_unit

FILLING, INFLATION, DISCHARGE = "filling", "inflation", "discharge"


@dataclass(frozen=True, slots=True)
class Use:
    """A filling, inflation or discharge: the day, and what was read of it.

    People write pressure and temperature with their unit; the act takes them in psi and °F.
    """

    done_on: date = day("Day")
    document: str = text("Document", 80, default="")
    psig: float | None = text("Pressure shown (psi or bar)", 60, default=None, name="pressure")
    temperature_f: float | None = text(
        "Temperature (°F or °C)", 60, default=None, name="temperature"
    )
    is_empty: bool = yes_no("It was completely empty before", help="It was found completely empty.")


@transaction.atomic
def record_filling(*, by: User, unit_id: int, use: Use, act_id: UUID, at: datetime) -> Filling:
    """This will record that a bottle was filled, count it, and so move what its fillings limit.

    Refuses by 49 CFR 180.205(c) past its requalification (``requalification_due``) or its service
    life (``life_ended``), past its most fillings (``fillings_used_up``), one filled more than every
    other day whose fillings since new are not on record (``fillings_unknown``), an oxygen bottle found
    empty (``empty_oxygen``), and a day that has not come or lies before the latest count.
    """
    ask(by, "record_filling")
    said, rows = {"unit_id": unit_id, "use": use}, Filling.objects.filter(act_id=act_id)
    if not claim(act_id, "record_filling", said, by=by, at=at, earlier=[rows]):
        return what_was_done(rows.filter(sort=FILLING))
    unit = lock_unit(unit_id)
    refuse_future(use.done_on, at, "done_on")
    problems = why_not_fill(bottle_facts(unit, use.done_on, is_empty=use.is_empty), use.done_on)
    if problems:
        raise Refused.all_of([Refusal(each.code, each.sentence, "done_on") for each in problems])
    return _count(unit, FILLING, use, by=by, act_id=act_id, at=at)


@transaction.atomic
def record_discharge(
    *, by: User, unit_id: int, use: Use, words: str, act_id: UUID, at: datetime, is_inflation: bool
) -> Filling:
    """This will record that a slide was inflated (deployed), or a bottle discharged: it is tagged
    unserviceable until the shop has had it, what it was set aside for is freed, and the aircraft that
    it is on is grounded.

    Refuses without saying how it happened, an unknown unit, and a day that has not come.
    """
    ask(by, "record_discharge")
    sort, rows = INFLATION if is_inflation else DISCHARGE, Filling.objects.filter(act_id=act_id)
    told = {"unit_id": unit_id, "use": use, "words": words, "is_inflation": is_inflation}
    if not claim(act_id, "record_discharge", told, by=by, at=at, earlier=[rows]):
        return what_was_done(rows.filter(sort=sort))
    said = refuse_blank(words, "Say how it happened.", "words", 300)
    unit = lock_unit(unit_id)
    refuse_future(use.done_on, at, "done_on")
    made = _count(unit, sort, use, by=by, act_id=act_id, at=at)
    UnitTag.objects.create(
        act_id=derived_act_id(act_id, "tag"),
        unit=unit,
        sort="unserviceable",
        why="deployed" if is_inflation else "discharged",
        words=said,
        actions_needed="To the shop: overhaul before it is used again.",
        tagged_at=min(_noon(use.done_on), at),
        recorded_at=at,
        recorded_by=by,
    )
    became = "was deployed" if is_inflation else "was discharged"
    free_failed(unit_ids=[unit.pk], words=f"{became}: {said}", by=by, at=at)
    tell_condition([unit.pk])
    return made


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12), ZoneInfo("UTC"))


def _count(unit: Unit, sort: str, use: Use, *, by: User, act_id: UUID, at: datetime) -> Filling:
    """The use with its number in the unit's life; one more of the measure that counts it."""
    measure = measure_of(sort)
    before = standing_of(unit, measure)
    _refuse_before(unit, before, use)
    earlier = Filling.objects.filter(unit=unit, sort=sort).order_by("-number").first()
    number = max(before.total if before else 0, earlier.number if earlier else 0) + 1
    made = Filling.objects.create(
        act_id=act_id,
        unit=unit,
        sort=sort,
        done_on=use.done_on,
        number=number,
        psig=use.psig,
        temperature_f=use.temperature_f,
        document=use.document.strip()[:80],
        recorded_at=at,
        recorded_by=by,
    )
    if measure is not None:
        is_same_day = before is not None and before.stated_on == use.done_on
        fact = LifeStatementFact(
            unit.pk,
            measure.pk,
            use.done_on,
            number,
            f"{made.get_sort_display()} {number}",
            "own_record",
            corrects=before.pk if before is not None and is_same_day else None,
        )
        state_asked(by=by, rows=[fact], at=at)
    return made


def _refuse_before(unit: Unit, before: LifeStatement | None, use: Use) -> None:
    """A use before the latest count is in that count already, or the count is wrong."""
    if before is not None and before.stated_on > use.done_on:
        words = (
            f"{unit_words(unit)} has a count of {before.total} as of {day_words(before.stated_on)}:"
            " correct that, or give the right day."
        )
        raise Refused("later_count_on_record", words, "done_on")


@dataclass(frozen=True, slots=True)
class Filled:
    """A bottle was filled."""

    unit_id: int = unit_row(help=UNIT_ID)
    use: Use = within(Use)


@dataclass(frozen=True, slots=True)
class Discharged:
    """A slide was inflated, or a bottle discharged: which of the two, and how it happened."""

    unit_id: int = unit_row(help=UNIT_ID)
    sort: str = choice("What happened", ((INFLATION, INFLATION), (DISCHARGE, DISCHARGE)))
    words: str = text("How", 300, needed="Say how it happened.", help="How it happened.")
    use: Use = within(Use)


def _record_as_said(*, sort: str, **told: Any) -> Filling:
    """The discharge by the name that people give it."""
    return record_discharge(is_inflation=sort == INFLATION, **told)


@dataclass(frozen=True, slots=True, kw_only=True)
class FillingShown:
    id: int
    unit: int = shown("unit_id")
    sort: str = shown(help="filling, inflation or discharge.")
    number: int = shown(help="The how-manieth of the unit's life.")
    done_on: date
    psig: float | None
    temperature_f: float | None
    document: str


# --- declared ---------------------------------------------------------------------------------

_SHOWN = {
    "id": 15,
    "unit": 512,
    "sort": FILLING,
    "number": 78,
    "done_on": "2024-03-03",
    "psig": 3002.3,
    "temperature_f": 69.8,
    "document": "WO-2231",
}
RECORD_FILLING = Act(
    name="record_filling",
    does=record_filling,
    said=Filled,
    tag="Beside a swap",
    summary="Record a filling",
    description="Records that a bottle was filled, and counts it. Refused past the month of its "
    "requalification or its service life, and once more than its most fillings.",
    address="fillings",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c02",
        "unit": 512,
        "done_on": "2024-03-03",
        "document": "WO-2231",
        "pressure": "207 bar",
        "temperature": "21 °C",
    },
    shows=FillingShown,
    answer=_SHOWN,
)
RECORD_DISCHARGE = Act(
    name="record_discharge",
    does=_record_as_said,
    said=Discharged,
    tag="Beside a swap",
    summary="Record an inflation or a discharge",
    description="Records that a slide was inflated or a bottle discharged: it is tagged "
    "unserviceable until the shop has had it.",
    address="discharges",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c03",
        "unit": 512,
        "sort": "inflation",
        "done_on": "2024-03-03",
        "words": "Door opened from inside with the slide armed.",
    },
    shows=FillingShown,
    answer={**_SHOWN, "sort": INFLATION},
)
