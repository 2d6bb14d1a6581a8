"""Hours and cycles since new and since overhaul (91.417(a)(2)(iii), 121.380(a)(2)(iv)), reckoned by hand beside.

The aircraft reads 10 000:00 h and 5 000 cycles on 1 March 2027, 10 300:00 h and 5 100 cycles on 1 May.
"""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.models import Certificate, LifeStatement
from equipment.swaps.printed.paper import swap_paper
from equipment.units import labels
from equipment.units.lives import since_new_words, since_overhaul_words
from fleet.models import Measure, UtilisationReading
from scheduling.answers.lives import lives_of
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
MARCH, MAY, JUNE = (build.day(f"2027-0{month}-01") for month in (3, 5, 6))


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(build.NOW, tick=False):
        yield


def the_cycles():
    named = {"name": "Flight cycles", "unit": "count", "counted_on": "aircraft"}
    return Measure.objects.get_or_create(code="cycles", defaults=named)[0]


@pytest.fixture
def fitted(db):
    """A unit on the aircraft since 1 March, whose totals are read then and on 1 May."""
    unit = build.a_unit()
    aircraft = build.an_aircraft("D1L-SLIDE")
    measures = build.the_hours(), the_cycles()
    for on, hours, cycles in ((MARCH, 10_000, 5_000), (MAY, 10_300, 5_100)):
        for measure, total in zip(measures, (hours * 60, cycles), strict=True):
            UtilisationReading.objects.create(
                aircraft=aircraft,
                measure=measure,
                read_at=build.instant(f"{on} 00:00"),
                total=total,
                is_date_only=False,
                act_id=uuid4(),
                recorded_at=build.NOW,
                recorded_by=build.a_person("controller"),
            )
    read = {"aircraft_minutes": 600_000, "aircraft_cycles": 5_000}
    build.installed(unit, build.at_position(aircraft), "2027-03-01 00:00", **read)
    return unit


def stated(unit, on, hours, cycles, since="new"):
    for measure, total in ((build.the_hours(), hours * 60), (the_cycles(), cycles)):
        LifeStatement.objects.create(
            unit=unit,
            measure=measure,
            stated_on=build.day(on),
            total=total,
            since=since,
            source="Form 1 C-1",
            quality="certificate",
            recorded_at=build.NOW,
        )


def overhauled(unit, on, **more):
    work = Work.objects.get_or_create(code="OVH", defaults={"name": "Overhaul"})[0]
    return WorkDone.objects.create(
        work=work, unit=unit, done_on=build.day(on), act_id=uuid4(), recorded_at=build.NOW, **more
    )


def paper(unit, on, status="Overhauled"):
    return Certificate.objects.create(
        unit=unit,
        form="Form 1",
        tracking_number="C-533",
        issued_on=build.day(on),
        issuer="Lee Shore",
        status=status,
        recorded_at=build.NOW,
    )


def life(unit, on=JUNE):
    return lives_of([unit.pk], on)[unit.pk]


def test_since_new_is_the_latest_statement_and_what_was_flown_since(fitted):
    stated(fitted, "2027-02-01", 4_000, 900)

    told = life(fitted)

    # 4 000 h + (10 300 - 10 000) h; 900 + (5 100 - 5 000).
    assert (told.minutes, told.cycles) == (4_300 * 60, 1_000)
    assert since_new_words(told).replace("\u202f", " ") == "4 300:00 h, 1 000 cycles"


def test_without_a_statement_it_is_not_known_and_says_for_lack_of_what(fitted):
    told = life(fitted)

    assert (told.minutes, told.cycles) == (None, None)
    assert since_new_words(told) == ("not known, for lack of a life statement (total since new)")


def test_never_overhauled_by_our_records_says_so(fitted):
    assert life(fitted).overhaul is None
    assert since_overhaul_words(life(fitted)) == "no overhaul on record"


def test_since_an_overhaul_certified_before_it_was_fitted_all_that_it_flew_counts(fitted):
    paper(fitted, "2027-02-01")

    last = life(fitted).overhaul

    assert (last.on, last.minutes, last.cycles) == (build.day("2027-02-01"), 300 * 60, 100)
    assert "Form 1 C-533, Lee Shore, 1 Feb 2027" in since_overhaul_words(life(fitted))


def test_another_status_than_overhauled_is_none(fitted):
    paper(fitted, "2027-02-01", status="Inspected/Tested")

    assert life(fitted).overhaul is None


def test_from_the_total_recorded_at_the_overhaul(fitted):
    stated(fitted, "2027-02-01", 4_000, 900)
    overhauled(fitted, "2026-12-01", total_minutes=3_900 * 60, total_cycles=880)

    last = life(fitted).overhaul

    # 4 300 h now - 3 900 h then; 1 000 - 880.
    assert (last.minutes, last.cycles) == (400 * 60, 120)


def test_a_work_alone_of_before_our_records_is_not_guessed_from(fitted):
    overhauled(fitted, "2026-12-01")

    last = life(fitted).overhaul

    assert (last.minutes, last.cycles) == (None, None)
    assert "for lack of the total at the start of the interval" in since_overhaul_words(
        life(fitted)
    )


def test_an_overhaul_while_it_was_on_our_records_counts_from_its_day(fitted):
    store = build.in_store(build.a_station())
    read = {"aircraft_minutes": 10_100 * 60, "aircraft_cycles": 5_030}
    build.removed(fitted, store, "2027-03-20 10:00", **read)
    overhauled(fitted, "2027-04-01")
    aircraft = build.an_aircraft("D1L-SLIDE")
    again = {"aircraft_minutes": 6_000, "aircraft_cycles": 10}
    build.installed(fitted, build.at_position(aircraft), "2027-04-10 10:00", **again)
    off = {"aircraft_minutes": 6_000 + 50 * 60, "aircraft_cycles": 31}
    build.removed(fitted, store, "2027-05-10 10:00", **off)

    last = life(fitted).overhaul

    assert (last.on, last.minutes, last.cycles) == (build.day("2027-04-01"), 50 * 60, 21)


def test_a_later_statement_since_overhaul_wins(fitted):
    paper(fitted, "2027-01-01")
    stated(fitted, "2027-02-01", 10, 4, since="overhaul")

    last = life(fitted).overhaul

    assert (last.minutes, last.cycles) == (310 * 60, 104)


def test_a_statement_of_before_the_overhaul_counts_no_longer(fitted):
    stated(fitted, "2026-11-01", 2_000, 400, since="overhaul")
    paper(fitted, "2027-02-01")

    assert life(fitted).overhaul.minutes == 300 * 60


def test_any_number_of_units_costs_the_same(fitted, django_assert_max_num_queries):
    others = [build.a_unit().pk for _ in range(5)]

    with django_assert_max_num_queries(45):
        found = lives_of([fitted.pk, *others], JUNE)

    assert len(found) == 6


# --- shown ------------------------------------------------------------------------------------


def test_the_page_label_tag_and_api_show_both(fitted, program):  # noqa: F811
    stated(fitted, "2027-02-01", 4_000, 900)
    paper(fitted, "2027-02-01")

    page = signed_in(build.a_person("auditor")).get(reverse("equipment:unit", args=[fitted.pk]))
    label = dict(labels.unit_label(fitted.pk, on=JUNE, at=build.NOW, is_demonstration=False).lines)
    told = program("auditor").get(f"/api/v1/units/{fitted.pk}/in-service?on=2027-06-01").json()

    words = page.content.decode().replace("\u202f", " ")
    assert "In service since new" in words and "4 300:00 h, 1 000 cycles" in words
    assert (
        "In service since overhaul" in words and "300:00 h, 100 cycles, since 1 Feb 2027" in words
    )
    assert label["Since overhaul"].startswith("300:00 h, 100 cycles")
    assert (told["minutes"], told["overhaul"]["cycles"]) == (4_300 * 60, 100)


def test_a_swap_says_them_of_both_units_as_they_came_off_and_went_on(program):  # noqa: F811
    job = swaps.a_job(swaps.SHORT)
    stated(job.old, "2027-02-01", 4_000, 900)
    stated(job.new, "2027-02-01", 70, 12)
    job.open()
    job.take_off(minutes=10_000 * 60, cycles=5_000)
    job.put_on(minutes=10_000 * 60, cycles=5_000)

    release = signed_in(job.certifier).get(reverse("equipment:swap", args=[job.swap.pk]))
    told = program("auditor").get(f"/api/v1/swaps/{job.swap.pk}").json()["rests_on"]["in_service"]
    printed = dict(swap_paper(job.swap.pk, address="x", is_demonstration=False).facts)

    assert release.status_code == 200
    assert {each["role"]: each["unit"] for each in told} == {"off": job.old.pk, "on": job.new.pk}
    by_role = {each["role"]: each["life"]["minutes"] for each in told}
    assert by_role["on"] == 70 * 60
    assert printed["Went on, since new"] == "70:00 h, 12 cycles"
    assert printed["Came off, since overhaul"].startswith(("no overhaul", "not known", "0:00"))
