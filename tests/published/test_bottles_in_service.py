"""Bottles filled, kept and emptied, through the product (published-facts section 1; 49 CFR 180.205(c), (i))."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.fillings import Use, record_discharge, record_filling
from equipment.models import LifeStatement
from fleet.house.refusals import Refused
from fleet.models import Measure
from scheduling.models import Amount, Clock, Limit, Programme, Work, WorkDone
from tests import builders as build

pytestmark = pytest.mark.django_db
NOW = build.instant("2026-10-05 12:00")


def a_limit(programme, kind, code, measure, amount, **clock):
    work = Work.objects.create(code=code, name=code.title())
    limit = Limit.objects.create(
        programme=programme,
        code=code,
        revision="1",
        title=code.title(),
        kind=kind,
        work=work,
        document="49 CFR 180",
        document_revision="2015",
        recorded_at=NOW,
    )
    made = Clock.objects.create(limit=limit, seq=1, measure=measure, **clock)
    Amount.objects.create(clock=made, seq=1, value=amount)
    return work


@pytest.fixture
def bottle(db):
    """Tested in September 2021, every five years, on an aircraft; 4,380 fillings."""
    part = build.a_part(kind=build.a_kind("OXY"))
    programme = Programme.objects.create(code="MP", name="MP", revision="1", govern_spares=True)
    Measure.objects.create(
        code="FILL", name="fillings", unit="count", counted_on="unit", counts="filling"
    )
    test = a_limit(
        programme,
        part.kind,
        "HYDRO",
        "months",
        60,
        counts_from="last_done",
        rounds="month_end",
        runs_out="until_emptied",
    )
    a_limit(
        programme,
        part.kind,
        "FILLS",
        "FILL",
        4380,
        counts_from="manufacture",
        runs_out="end_of_life",
    )
    unit = build.a_unit(part, manufactured_on=build.day("2016-09-01"))
    WorkDone.objects.create(
        work=test,
        unit=unit,
        done_on=build.day("2021-09-01"),
        precision="month",
        act_id=uuid4(),
        recorded_at=NOW,
    )
    return unit


def filled(unit, on, **more):
    use = Use(build.day(on), document="QWO-1", **more)
    by = build.a_person("technician")
    return record_filling(by=by, unit_id=unit.pk, use=use, act_id=uuid4(), at=NOW)


def page_of(unit, client):
    client.force_login(build.a_person("auditor"))
    with time_machine.travel(NOW, tick=False):
        return client.get(reverse("equipment:unit", args=[unit.pk])).content.decode()


def test_hy_15_filled_before_due_it_stays_until_emptied_and_is_not_refilled(bottle, client):
    filled(bottle, "2026-09-12")

    with pytest.raises(Refused) as refused:
        filled(bottle, "2026-10-05")

    assert refused.value.code == "requalification_due"
    page = page_of(bottle, client)
    assert "it may stay in service until it is emptied" in page
    assert "Not to be filled." in page


def test_hy_15_once_emptied_it_may_not_stay(bottle, client):
    filled(bottle, "2026-09-12")
    record_discharge(
        by=build.a_person("technician"),
        unit_id=bottle.pk,
        use=Use(build.day("2026-10-02")),
        words="Used in flight.",
        act_id=uuid4(),
        at=NOW,
        is_inflation=False,
    )

    page = page_of(bottle, client)

    assert "May not stay in service." in page
    assert "It is empty" in page


def test_a_bottle_of_which_no_filling_is_on_record_is_not_said_to_be_full(bottle, client):
    # No filling is known, so it cannot be said that it was before the test fell due.
    bottle.part_number.charts.create(
        revision="1",
        gas="oxygen",
        charge_psig=1850,
        points=[[0, 1450, 1580], [100, 1920, 2060]],
        document="QCMM",
        from_on=build.day("2020-01-01"),
        recorded_at=NOW,
    )

    assert "When it was filled is not recorded" in page_of(bottle, client)


def test_a_stricter_programmes_day_is_kept_by_the_filling(bottle, as_owner):
    # Seen: due 1 September by the programme, filled on the 30th.
    with as_owner():
        Clock.objects.filter(limit__code="HYDRO").update(rounds="day", month_only_stamp="start")

    filled(bottle, "2026-09-01")
    with pytest.raises(Refused) as refused:
        filled(bottle, "2026-09-30")

    assert refused.value.code == "requalification_due"


def daily(unit, days, every=1):
    first = build.day("2026-07-01")
    for step in range(days):
        filled(unit, (first + timedelta(days=step * every)).isoformat())


def test_hy_05_filled_daily_it_must_be_counted_from_new(bottle):
    # "more than once every other day": 14 in four weeks are not, the 15th is.
    daily(bottle, 14)

    with pytest.raises(Refused) as refused:
        filled(bottle, "2026-07-15")

    assert refused.value.code == "fillings_unknown"


def test_hy_05_with_a_count_on_record_it_may_be_filled_daily(bottle):
    LifeStatement.objects.create(
        unit=bottle,
        measure=Measure.objects.get(),
        stated_on=build.day("2026-06-30"),
        total=900,
        source="log card",
        quality="certificate",
        recorded_at=NOW,
    )
    daily(bottle, 14)

    assert filled(bottle, "2026-07-15").number == 915


def test_hy_05_filled_weekly_the_count_is_optional(bottle):
    daily(bottle, 8, every=7)

    assert filled(bottle, "2026-09-01").number == 9
