"""A bottle as it stands on a day: its limits, its fillings, its gas; whether it may stay in service."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, OuterRef

from equipment.availability.ports import bottle_limits_of
from equipment.judging.fillings import BottleFacts, must_count_fillings, why_not_fill, why_not_stay
from equipment.judging.verdicts import Problem
from equipment.ledger.nesting import inside_now
from equipment.models import BottleChart, CylinderDesign, Filling, LifeStatement, Unit
from equipment.segregation.shop_first import condemned_by, condemned_words
from fleet.models import Measure

FILLING = "filling"
# Over which *on average* is taken: from the first filling on record, at least four weeks, at most a year.
LEAST_DAYS, MOST_DAYS = 28, 364


@dataclass(frozen=True, slots=True)
class BottleStanding:
    """A bottle past its requalification or not: why it may not be filled, why it may not stay.

    ``is_past_test`` with nothing against its staying: it may remain until it is emptied.
    """

    why_not_fill: tuple[Problem, ...]
    why_not_stay: tuple[Problem, ...]
    is_past_test: bool


def bottle_facts(unit: Unit, on: date, *, is_empty: bool) -> BottleFacts:
    """What a filling that day, or staying in service, is judged by."""
    limits = bottle_limits_of(unit.pk, on)
    charts = BottleChart.objects.filter(part_number=unit.part_number_id, from_on__lte=on)
    chart = charts.order_by("-from_on", "-pk").first()
    count = standing_of(unit, measure_of(FILLING))
    so_far = count.total if count is not None else None
    most = None
    if limits.fillings_left is not None:
        most = (so_far or 0) + limits.fillings_left
        if _is_filled_often(unit, on) and not _is_counted_from_new(unit):
            so_far = None
    filled = Filling.objects.filter(unit=unit, sort=FILLING, done_on__lte=on)
    latest = filled.order_by("done_on", "pk").last()
    return BottleFacts(
        gas=chart.gas if chart else "",
        requalify_by=limits.requalify_by,
        is_test_required=limits.is_test_required,
        life_ends_on=limits.life_ends_on,
        fillings=so_far,
        most_fillings=most,
        is_empty=is_empty,
        filled_on=latest.done_on if latest else None,
        condemned=condemned_words(by) if (by := condemned_by(unit.pk)) else "",
        failed=limits.failed,
    )


def bottle_standing(unit: Unit, on: date) -> BottleStanding | None:
    """How a bottle stands on a day; None of what was never filled here and has no chart."""
    uses = Filling.objects.filter(unit=unit, done_on__lte=on)
    latest = uses.order_by("done_on", "pk").last()
    has_chart = BottleChart.objects.filter(part_number=unit.part_number_id).exists()
    if latest is None and not has_chart:
        return None
    facts = bottle_facts(unit, on, is_empty=latest is not None and latest.sort != FILLING)
    is_past = facts.is_test_required and facts.requalify_by is not None and on > facts.requalify_by
    return BottleStanding(
        tuple(why_not_fill(facts, on)), tuple(why_not_stay(facts, on)), is_past_test=is_past
    )


def _is_filled_often(unit: Unit, on: date) -> bool:
    """Whether it is filled more than once every other day on average, the filling of that day among them."""
    since = on - timedelta(days=MOST_DAYS)
    days = Filling.objects.filter(unit=unit, sort=FILLING, done_on__gt=since, done_on__lte=on)
    done = list(days.order_by("done_on").values_list("done_on", flat=True))
    if not done:
        return False
    return must_count_fillings(len(done) + 1, max((on - done[0]).days + 1, LEAST_DAYS))


def _is_counted_from_new(unit: Unit) -> bool:
    """Whether somebody else's record stands at the beginning of the count: ours begins with its first
    filling here."""
    stated = LifeStatement.objects.filter(unit=unit, measure=measure_of(FILLING), since="new")
    return stated.exclude(quality="own_record").exists()


def measure_of(sort: str) -> Measure | None:
    """The measure that counts fillings, or inflations."""
    return Measure.objects.filter(counts=sort).order_by("pk").first()


def standing_of(unit: Unit, measure: Measure | None) -> LifeStatement | None:
    """The latest total of the measure that no other corrects."""
    if measure is None:
        return None
    rows = LifeStatement.objects.filter(unit=unit, measure=measure, since="new", corrected_by=None)
    return rows.order_by("-stated_on", "-pk").first()


def is_bottle(unit: Unit) -> bool:
    """Whether our records know a unit as one that is filled: by its part's chart or specification, or by a
    filling on record. What they know nothing of may be one all the same. One question."""
    return _has_bottle([unit.pk])


def is_inflated(unit: Unit) -> bool:
    """Whether a unit, or something in it, is one that is filled: it can be discharged or inflated."""
    return _has_bottle(inside_now([unit.pk])[unit.pk])


def _has_bottle(unit_ids: Sequence[int]) -> bool:
    of_part = {"part_number": OuterRef("part_number")}
    known = (
        Exists(BottleChart.objects.filter(**of_part))
        | Exists(CylinderDesign.objects.filter(**of_part))
        | Exists(Filling.objects.filter(unit=OuterRef("pk")))
    )
    return Unit.objects.filter(known, pk__in=unit_ids).exists()
