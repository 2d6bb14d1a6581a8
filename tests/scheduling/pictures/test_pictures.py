"""Pictures against figures worked by hand: months ahead, life thrown away, overdue, reliability; and their files."""

from __future__ import annotations

import csv
import io
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from equipment.models import StoresRule, UnitTag
from fleet.drawing.bars import spans, stacks
from fleet.drawing.time import month_after
from fleet.house.pages import today
from fleet.models import Aircraft, Measure, UtilisationReading
from scheduling.allocation.reads.float import chances_shown
from scheduling.allocation.reads.removals import unplanned_by_kind
from scheduling.models import DayCounted, DueItem, WorkDone, WorkJudged
from scheduling.pictures.acts.keeping import (
    count_day,
    count_past_month,
    judge_works,
    keep_for_pictures,
)
from scheduling.pictures.reads.early import early_changes
from scheduling.pictures.reads.months import months_ahead
from scheduling.pictures.reads.reliability import reliability
from scheduling.pictures.reads.slots import SlotDays
from scheduling.pictures.reads.trend import overdue_trend
from scheduling.planning.acts.hangars import NewCapacity, state_hangar
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import (
    a_check,
    an_aircraft,
    due_in,
    in_days,
    overhauls,
    reckoned,
)
from tests.scheduling.rules import done

pytestmark = pytest.mark.django_db


@pytest.fixture
def fleet():
    overhauls()
    return an_aircraft()


def read_csv(code):
    answer = signed_in(build.a_person("auditor")).get(
        reverse("scheduling:picture_file", args=[code, "csv"])
    )
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


# --- the months ahead -------------------------------------------------------------------------


def test_each_job_is_in_the_month_of_its_last_day_and_the_checks_in_theirs(fleet):
    due = {
        position: due_in(fleet, position, days)
        for position, days in (("D1L-SLIDE", 100), ("D2L-SLIDE", 200))
    }
    late = due_in(fleet, "D1R-SLIDE", -2)
    check = a_check(fleet, 90, "A1")
    a_check(fleet, 190, "A2")
    a_check(fleet, 400, "A9")
    reckoned()

    told = months_ahead(today())

    by_month = {month.month: month for month in told.months}
    for unit, days in zip(due.values(), (100, 200), strict=True):
        on = DueItem.objects.get(unit=unit).due_on
        assert on == in_days(days)
        assert by_month[month_after(on, 0)].total == 1
    held = by_month[month_after(check.starts_on, 0)]
    assert (held.checks, held.ground_days, held.placed) == (1, 3, 1)
    assert sum(month.total for month in told.months) == 2 and told.now == 1
    assert late.serial_number  # it is to be done now, in no month


def test_a_months_checks_are_held_against_the_slots_of_its_hangars(fleet):
    """Two checks of three days share one slot on one of them; where nobody has said what a hangar holds, that is
    said, and no slots are thought of."""
    first = month_after(today(), 2)
    hangar = a_check(fleet, (first - today()).days + 9, "A1").station
    other = build.an_aircraft()
    a_check(other, (first - today()).days + 11, "A2", station=hangar)
    elsewhere = build.a_station("ELS")
    a_check(other, (first - today()).days + 20, "A3", station=elsewhere)
    reckoned()

    def of_month():
        return next(month.slots for month in months_ahead(today()).months if month.month == first)

    assert of_month() == SlotDays(held=None, taken=0, over=0, unsaid=3)
    state_hangar(
        by=build.a_person("controller"),
        capacity=NewCapacity(station_id=hangar.pk, from_on=first + timedelta(days=1), slots=1),
        act_id=uuid4(),
        at=timezone.now(),
    )

    days = (month_after(first, 1) - first).days
    assert of_month() == SlotDays(held=days - 1, taken=6, over=1, unsaid=1)


def test_what_waits_for_a_return_to_service_is_not_said_to_be_overdue(fleet):
    due_in(fleet, "D1L-SLIDE", 100)
    Aircraft.objects.filter(pk=fleet.pk).update(status=Aircraft.PARKED)
    reckoned()

    told = months_ahead(today())

    assert (told.now, told.parked) == (0, 1)


def test_what_fits_no_check_is_said_in_its_month(fleet):
    due_in(fleet, "D1L-SLIDE", 100)
    a_check(fleet, 150, "A1")
    reckoned()

    told = months_ahead(today())

    [month] = [each for each in told.months if each.total]
    assert (month.month, month.unmet) == (month_after(in_days(100), 0), 1)
    rows = read_csv("ahead")
    assert [row["Fit no check"] for row in rows if row["Due in all"] == "1"] == ["1"]


# --- life thrown away -------------------------------------------------------------------------


def test_a_work_is_judged_by_the_list_of_the_evening_before(fleet):
    unit = build.a_unit()
    build.installed(unit, build.at_position(fleet, "D1L-SLIDE"), "2020-01-05")
    first = in_days(-300)
    done("OVERHAUL", first.isoformat(), unit_id=unit.pk)
    done("OVERHAUL", in_days(-40).isoformat(), unit_id=unit.pk)
    reckoned()

    judge_works(today(), timezone.now())

    until = first.replace(year=first.year + 1)
    judged = WorkJudged.objects.get(work_done__done_on=in_days(-40))
    assert judged.due_on == until
    told = early_changes(today())
    [part] = told.parts
    assert part.days == (until - in_days(-40)).days and (part.early, part.unknown) == (1, 1)
    assert sum(told.days_by_month) == part.days and told.waiting == 0


def test_a_work_after_its_day_threw_nothing_away_and_judging_again_changes_nothing(fleet):
    unit = build.a_unit()
    build.installed(unit, build.at_position(fleet, "D1L-SLIDE"), "2020-01-05")
    done("OVERHAUL", in_days(-500).isoformat(), unit_id=unit.pk)
    done("OVERHAUL", in_days(-20).isoformat(), unit_id=unit.pk)
    reckoned()

    made = [judge_works(today(), timezone.now()) for _ in range(2)]

    [part] = early_changes(today()).parts
    assert made[1] == 0 and (part.late, part.days) == (1, 0)


def test_what_is_not_judged_yet_is_said(fleet):
    unit = build.a_unit()
    build.installed(unit, build.at_position(fleet, "D1L-SLIDE"), "2020-01-05")
    done("OVERHAUL", in_days(-40).isoformat(), unit_id=unit.pk)
    reckoned()

    page = signed_in(build.a_person("auditor")).get(reverse("scheduling:picture", args=["early"]))

    assert early_changes(today()).waiting == WorkDone.objects.count() == 1
    assert "Not all of it yet" in page.content.decode()


# --- overdue ----------------------------------------------------------------------------------


def test_a_day_is_counted_once_as_its_list_says_and_a_past_month_as_now_reckoned(fleet):
    due_in(fleet, "D1L-SLIDE", -3)
    due_in(fleet, "D1R-SLIDE", 100)
    reckoned()

    made = [count_day(today(), timezone.now()) for _ in range(2)]
    made += [count_past_month(today(), timezone.now()) for _ in range(2)]

    assert made == [1, 0, 1, 1]
    [row] = DayCounted.objects.filter(day=today())
    assert (row.overdue, row.is_later) == (1, False) and row.items >= 2
    later = DayCounted.objects.filter(is_later=True)
    assert later.count() == 2 and all(each.day.day == 1 for each in later)
    assert len(overdue_trend(today()).rows) == 3


def test_nothing_is_kept_while_the_days_list_is_not_made(fleet):
    due_in(fleet, "D1L-SLIDE", -3)

    assert keep_for_pictures(today(), timezone.now()) == 0
    assert not DayCounted.objects.exists()


# --- reliability ------------------------------------------------------------------------------


def flown(craft, *readings):
    hours = Measure.objects.get_or_create(
        code="FH", defaults={"name": "flight hours", "unit": "minutes", "counted_on": "aircraft"}
    )[0]
    for days, total in readings:
        UtilisationReading.objects.create(
            aircraft=craft,
            measure=hours,
            read_at=timezone.now() + timedelta(days=days),
            total=total,
            act_id=uuid4(),
            recorded_at=build.NOW,
        )


def came_off(unit, craft, days, why):
    build.removed(unit, build.in_store(craft.station), in_days(days).isoformat())
    if why:
        at = timezone.now() + timedelta(days=days)
        UnitTag.objects.create(
            act_id=uuid4(),
            unit=unit,
            sort="unserviceable",
            why=why,
            tagged_at=at,
            recorded_at=at,
            recorded_by=build.a_person("technician"),
        )


@pytest.fixture
def record(fleet):
    """Four units on for a year, of which one came off for a defect, one by its limit, one nobody says why."""
    part = build.a_part()
    flown(fleet, (-366, 0), (-1, 60 * 1000))
    units = [build.a_unit(part) for _ in range(3)]
    for unit, position in zip(units, ("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE"), strict=True):
        build.installed(unit, build.at_position(fleet, position), in_days(-366).isoformat())
    for unit, why in zip(units, ("defect", "limit", ""), strict=True):
        came_off(unit, fleet, -1, why)
    return part


def test_removals_are_told_by_cause_with_hours_and_the_exact_interval(record):
    [part] = reliability(today()).parts

    assert (part.removals, part.unplanned, part.planned, part.unsaid) == (3, 1, 1, 1)
    assert part.minutes / 60 == pytest.approx(3000, rel=0.01)
    assert part.rate == pytest.approx(1 / 3, rel=0.01)
    # Of one event the exact limits of the mean are 0.0253 and 5.572 (Garwood 1936).
    assert part.hours_between.least == pytest.approx(3000 / 5.572, rel=0.01)
    assert part.hours_between.most == pytest.approx(3000 / 0.0253, rel=0.01)
    assert part.least_if_unsaid == pytest.approx(3000 / 7.225, rel=0.01)


def test_an_aircraft_that_was_never_read_is_named_as_such(fleet):
    unit = build.a_unit()
    build.installed(unit, build.at_position(fleet, "D1L-SLIDE"), in_days(-300).isoformat())
    came_off(unit, fleet, -10, "defect")

    told = reliability(today())
    page = signed_in(build.a_person("auditor")).get(
        reverse("scheduling:picture", args=["reliability"])
    )

    assert told.unread == 1 and told.parts[0].rate is None
    assert "without a reading of flight hours" in page.content.decode()


def test_the_float_takes_its_rate_from_the_record_where_the_operator_states_none(record):
    rule = StoresRule.objects.create(kind=record.kind, turn_days=73, unplanned_a_year=0)

    [one] = chances_shown(unplanned_by_kind(today()))
    assert one.is_of_record and one.removals_a_year == pytest.approx(0.5, rel=0.01)
    assert one.mean == pytest.approx(0.1, rel=0.01)

    StoresRule.objects.filter(pk=rule.pk).update(unplanned_a_year="9.5")
    [one] = chances_shown(unplanned_by_kind(today()))
    assert (one.removals_a_year, one.is_of_record, one.differs) == (9.5, False, "more than")


# --- as they are read -------------------------------------------------------------------------


@pytest.mark.parametrize("code", ["ahead", "early", "overdue", "reliability"])
def test_each_picture_has_its_numbers_beneath_and_as_files_and_asks_no_more_of_more(code, record):
    due_in(an_aircraft(), "D1L-SLIDE", 50)
    reckoned()
    keep_for_pictures(today(), timezone.now())
    client = signed_in(build.a_person("auditor"))
    address = reverse("scheduling:picture", args=[code])
    client.get(address)
    with CaptureQueriesContext(connection) as few:
        page = client.get(address).content.decode()
    assert "<table" in page and "<svg" in page
    assert "http" not in page.split("<main")[1].replace("http-equiv", "")
    for form in ("pdf", "xlsx", "csv"):
        assert client.get(reverse("scheduling:picture_file", args=[code, form])).status_code == 200
    for days in (20, 80, 120):
        due_in(an_aircraft(), "D1L-SLIDE", days)
    reckoned()
    with CaptureQueriesContext(connection) as many:
        client.get(address)
    assert len(many) <= len(few) + 1


def test_an_empty_house_says_what_will_stand_there():
    client = signed_in(build.a_person("auditor"))

    for code in ("ahead", "early", "overdue", "reliability"):
        page = client.get(reverse("scheduling:picture", args=[code]))
        assert page.status_code == 200 and 'class="empty"' in page.content.decode()
    assert client.get("/pictures/nonsense/").status_code == 404


# --- geometry ---------------------------------------------------------------------------------


def test_a_bar_is_as_high_as_its_parts_together_under_a_round_top():
    drawn = stacks(
        ["a", "b"], [("x", "solid", [30, 0]), ("y", "dots", [12, 8])], [(20, "m"), (0, "n")]
    )

    assert [words for _, words in drawn.steps] == ["0", "12.5", "25", "37.5", "50"]
    first = drawn.stacks[0].pieces
    assert [(piece.y, piece.height) for piece in first] == [("40%", "60%"), ("16%", "24%")]
    assert drawn.stacks[0].mark_y == "60%" and len(drawn.stacks[1].pieces) == 1


def test_an_interval_without_an_end_is_open_and_the_scale_goes_by_tens():
    drawn, marks = spans([(100.0, 1000.0, 10_000.0), (500.0, None, None)])

    assert (drawn[0].is_open, drawn[1].is_open, drawn[1].at) == (False, True, "")
    assert marks[0][1] == "100" and float(drawn[0].at.rstrip("%")) == pytest.approx(33.33, abs=0.01)
