from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.keeping.record import record_movements, why_not_record
from equipment.ledger.facts import MovementFact, RowsRefused
from equipment.models import FittedPeriod, Movement, Place, Stay, Unit
from fleet.house.refusals import Refused
from fleet.house.signals import facts_changed
from fleet.models import UtilisationReading
from tests import builders as build

pytestmark = pytest.mark.django_db


def codes(recorded):
    return [reason.code for reason in recorded.reasons]


def now_at(unit):
    unit.refresh_from_db()
    return unit.place.sort if unit.place else None


def test_an_installed_unit_is_at_its_position():
    aircraft, slide = build.an_aircraft("D1L-SLIDE"), build.a_unit()

    done = build.installed(slide, build.at_position(aircraft), "2027-03-03")

    assert done.is_conforming
    assert now_at(slide) == "aircraft"
    assert slide.aircraft == aircraft
    assert FittedPeriod.objects.get().unit == slide


def test_the_same_act_again_gives_the_first_result():
    aircraft, slide, act = build.an_aircraft("D1L-SLIDE"), build.a_unit(), uuid4()
    first = build.installed(slide, build.at_position(aircraft), "2027-03-03", act_id=act)

    again = build.installed(slide, build.at_position(aircraft), "2027-03-03", act_id=act)

    assert (first.is_new, again.is_new) == (True, False)
    assert again.movement_id == first.movement_id
    assert Movement.objects.count() == 1


def test_what_is_inside_travels_along():
    aircraft = build.an_aircraft("D1L-SLIDE")
    slide, light = build.a_unit(build.a_part("", "LIGHT")), build.a_unit()
    build.installed(light, build.inside(slide), "2027-01-01")
    build.installed(slide, build.at_position(aircraft), "2027-03-03")

    light.refresh_from_db()

    assert light.aircraft == aircraft
    period = FittedPeriod.objects.get(unit=light)
    assert (period.depth, period.line_unit, period.from_at) == (
        1,
        light,
        build.instant("2027-03-03"),
    )


def test_what_comes_off_only_in_the_shop_comes_off_on_the_line_with_what_is_around_it():
    slide, light = (
        build.a_unit(build.a_part("", "LIGHT")),
        build.a_unit(build.a_part(removed="shop")),
    )
    build.installed(light, build.inside(slide), "2027-01-01")
    build.installed(slide, build.at_position(build.an_aircraft()), "2027-03-03")

    assert FittedPeriod.objects.get(unit=light).line_unit == slide


def test_the_totals_read_at_the_movements_are_the_periods():
    aircraft, slide, station = build.an_aircraft(), build.a_unit(), build.a_station()
    build.installed(
        slide, build.at_position(aircraft), "2027-03-03", aircraft_minutes=600, aircraft_cycles=9
    )
    build.removed(
        slide, build.in_store(station), "2027-04-03", aircraft_minutes=900, aircraft_cycles=12
    )

    period = FittedPeriod.objects.get()

    assert (period.from_minutes, period.to_minutes) == (600, 900)
    assert (period.from_cycles, period.to_cycles) == (9, 12)


def test_a_swap_in_one_act_leaves_the_position_never_empty():
    aircraft, station = build.an_aircraft(), build.a_station()
    old, new = build.a_unit(), build.a_unit()
    build.installed(old, build.at_position(aircraft), "2027-03-03")
    rows = [
        MovementFact(new.pk, "installed", build.at_position(aircraft), build.on("2027-04-03")),
        MovementFact(old.pk, "removed", build.in_store(station), build.on("2027-04-03")),
    ]

    done = record_movements(by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW)

    assert all(each.is_conforming for each in done)
    assert (now_at(old), now_at(new)) == ("store", "aircraft")


def test_a_late_fact_between_two_others_is_put_in_its_place():
    slide, station, first, second = (
        build.a_unit(),
        build.a_station(),
        build.an_aircraft(),
        build.an_aircraft(),
    )
    build.installed(slide, build.at_position(first), "2027-01-01")
    build.removed(slide, build.in_store(station), "2027-05-01")

    build.removed(slide, build.SHOP, "2027-02-01")
    build.installed(slide, build.at_position(second), "2027-03-01")

    stays = Stay.objects.filter(known__upper_inf=True).order_by("valid")
    assert [stay.place.sort for stay in stays] == ["aircraft", "shop", "aircraft", "store"]
    assert list(FittedPeriod.objects.order_by("from_at").values_list("aircraft", flat=True)) == [
        first.pk,
        second.pk,
    ]


def test_movements_of_one_day_follow_their_order():
    slide, station = build.a_unit(), build.a_station()
    build.moved(slide, "sent", build.SHOP, "2027-03-03", day_order=2)
    build.moved(slide, "received", build.in_store(station), "2027-03-03", day_order=1)

    assert now_at(slide) == "shop"
    assert Stay.objects.filter(known__upper_inf=True).count() == 1


def test_a_day_alone_begins_where_it_happened():
    slide = build.a_unit()
    fact = MovementFact(slide.pk, "sent", build.SHOP, build.on("2027-06-01", "Pacific/Auckland"))
    record_movements(by=build.a_person(), rows=[fact], act_id=uuid4(), at=build.NOW)

    movement = Movement.objects.get()

    assert movement.happened_at == build.instant("2027-05-31 12:00")
    assert (movement.precision, movement.zone) == ("day", "Pacific/Auckland")


# --- what contradicts is kept, with its reasons -----------------------------------------------


def a_full_position():
    aircraft = build.an_aircraft()
    build.installed(build.a_unit(), build.at_position(aircraft), "2027-03-03")
    return build.a_unit(), "installed", build.at_position(aircraft), "2027-04-01", {}


def fitted_elsewhere():
    slide = build.a_unit()
    build.installed(slide, build.at_position(build.an_aircraft()), "2027-03-03")
    return slide, "installed", build.at_position(build.an_aircraft()), "2027-04-01", {}


def never_fitted():
    slide, station = build.a_unit(), build.a_station()
    build.moved(slide, "received", build.in_store(station), "2027-03-03")
    return slide, "removed", build.in_store(station), "2027-04-01", {}


def never_heard_of():
    return build.a_unit(), "removed", build.in_store(build.a_station()), "2027-04-01", {}


def scrapped():
    slide, station = build.a_unit(), build.a_station()
    build.moved(slide, "received", build.in_store(station), "2027-03-01")
    build.moved(slide, "scrapped", build.SCRAPPED, "2027-03-03")
    return slide, "installed", build.at_position(build.an_aircraft()), "2027-04-01", {}


def in_quarantine():
    slide, station = build.a_unit(), build.a_station()
    build.moved(slide, "quarantined", build.in_quarantine(station), "2027-03-01")
    return slide, "installed", build.at_position(build.an_aircraft()), "2027-04-01", {}


def not_in_quarantine():
    slide = build.a_unit()
    build.moved(slide, "sent", build.SHOP, "2027-03-01")
    return slide, "released", build.in_store(build.a_station()), "2027-04-01", {}


def inside_itself():
    outer, inner = build.a_unit(build.a_part("", "LIGHT")), build.a_unit(build.a_part("", "LIGHT"))
    build.installed(inner, build.inside(outer), "2027-03-01")
    return outer, "installed", build.inside(inner), "2027-04-01", {}


def not_listed():
    aircraft = build.an_aircraft()
    build.a_fit(build.a_part(), aircraft, "D1L-SLIDE")
    return build.a_unit(), "installed", build.at_position(aircraft), "2027-04-01", {}


def listed_for_other_aircraft():
    part, aircraft = build.a_part(), build.an_aircraft(msn="998")
    build.a_fit(part, aircraft, "D1L-SLIDE", msn_from="1042")
    return build.a_unit(part), "installed", build.at_position(aircraft), "2027-04-01", {}


def not_yet_made():
    slide = build.a_unit(manufactured_on=build.day("2027-04-02"))
    return slide, "installed", build.at_position(build.an_aircraft()), "2027-04-01", {}


def totals_less_than_before():
    aircraft, slide = build.an_aircraft(), build.a_unit()
    to = build.at_position(aircraft)
    build.installed(slide, to, "2027-03-01", aircraft_minutes=6000)
    build.removed(slide, build.SHOP, "2027-03-10", aircraft_minutes=6100)
    return build.a_unit(), "installed", to, "2027-04-01", {"aircraft_minutes": 5999}


def totals_more_than_a_later_reading():
    aircraft = build.an_aircraft()
    UtilisationReading.objects.create(
        aircraft=aircraft,
        measure=build.the_hours(),
        read_at=build.instant("2027-05-01"),
        total=7000,
        act_id=uuid4(),
        recorded_at=build.NOW,
    )
    to = build.at_position(aircraft)
    return build.a_unit(), "installed", to, "2027-04-01", {"aircraft_minutes": 7001}


CONTRADICTIONS = [
    (a_full_position, "position_full", "since 3 Mar 2027"),
    (fitted_elsewhere, "unit_recorded_elsewhere", "since 3 Mar 2027"),
    (never_fitted, "not_installed", "but at store"),
    (never_heard_of, "nothing_recorded_before", "record first where it was"),
    (scrapped, "unit_scrapped", "scrapped since 3 Mar 2027"),
    (in_quarantine, "unit_quarantined", "quarantine"),
    (not_in_quarantine, "not_in_quarantine", "shop"),
    (inside_itself, "inside_itself", "inside itself"),
    (not_listed, "part_does_not_fit", "not listed"),
    (listed_for_other_aircraft, "part_does_not_fit", "on this aircraft"),
    (not_yet_made, "before_manufacture", "2 Apr 2027"),
    (totals_less_than_before, "totals_run_backwards", "101:40 read earlier"),
    (totals_more_than_a_later_reading, "totals_run_backwards", "116:40"),
]


@pytest.mark.parametrize(
    ("case", "code", "words"), CONTRADICTIONS, ids=lambda x: getattr(x, "__name__", None)
)
def test_a_person_is_taken_at_their_word_and_what_contradicts_moves_nothing(case, code, words):
    unit, sort, to, when, more = case()
    before = now_at(unit)

    done = build.moved(unit, sort, to, when, **more)

    assert codes(done) == [code]
    assert words in done.reasons[0].message
    assert now_at(unit) == before
    kept = Movement.objects.nonconforming().get()
    assert (kept.pk, kept.reasons[0]["code"]) == (done.movement_id, code)


@pytest.mark.parametrize(
    ("case", "code", "words"), CONTRADICTIONS, ids=lambda x: getattr(x, "__name__", None)
)
def test_a_sheet_is_refused_with_the_same_code_and_keeps_nothing(case, code, words):
    unit, sort, to, when, more = case()
    before = Movement.objects.count()

    with pytest.raises(RowsRefused) as refused:
        build.moved(unit, sort, to, when, is_strict=True, **more)

    assert [reason.code for reason in refused.value.by_row[0]] == [code]
    assert Movement.objects.count() == before


def test_asking_why_not_keeps_nothing_not_even_a_place():
    unit, sort, to, when, _ = a_full_position()
    before = Place.objects.count()
    elsewhere = MovementFact(build.a_unit().pk, "sent", build.SHOP, build.on(when))

    found = why_not_record(
        rows=[MovementFact(unit.pk, sort, to, build.on(when)), elsewhere], at=build.NOW
    )

    assert [reason.code for reason in found[0]] == ["position_full"]
    assert Place.objects.count() == before


def test_an_alternate_fits_where_the_part_it_stands_for_does():
    part, other, aircraft = build.a_part(), build.a_part(), build.an_aircraft()
    build.a_fit(part, aircraft, "D1L-SLIDE")
    part.alternates.create(alternate=other)

    done = build.installed(build.a_unit(other), build.at_position(aircraft), "2027-04-01")

    assert done.is_conforming


# --- what says nothing is refused whoever says it ---------------------------------------------


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"unit_id": 10**9}, "unknown_unit"),
        ({"to": 10**9}, "unknown_place"),
        ({"sort": "teleported"}, "unknown_sort"),
        ({"sort": "installed"}, "place_does_not_suit"),
        ({"when": build.on("2027-06-02")}, "in_the_future"),
        ({"aircraft_minutes": -1}, "out_of_range"),
        ({"document": "x" * 81}, "too_long"),
    ],
)
def test_a_row_without_unit_place_or_time_is_refused(changes, code):
    facts = {
        "unit_id": build.a_unit().pk,
        "sort": "sent",
        "to": build.SHOP,
        "when": build.on("2027-03-03"),
    }

    with pytest.raises(RowsRefused) as refused:
        record_movements(
            by=build.a_person(),
            rows=[MovementFact(**facts | changes)],
            act_id=uuid4(),
            at=build.NOW,
        )

    assert refused.value.code == code


def test_one_act_moves_a_unit_once():
    slide = build.a_unit()
    rows = [
        MovementFact(slide.pk, "sent", build.SHOP, build.on(day))
        for day in ("2027-03-03", "2027-03-04")
    ]

    with pytest.raises(RowsRefused) as refused:
        record_movements(by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW)

    assert list(refused.value.by_row) == [1]


@pytest.mark.parametrize(
    ("role", "sort", "is_allowed"),
    [
        ("technician", "sent", True),
        ("stores", "received", True),
        ("technician", "received", False),
        ("auditor", "sent", False),
        ("administrator", "sent", False),
    ],
)
def test_who_may_record_is_asked_inside(role, sort, is_allowed):
    slide, person = build.a_unit(), build.a_person(role)
    to = build.SHOP if sort == "sent" else build.in_store(build.a_station())

    def record():
        return build.moved(slide, sort, to, "2027-03-03", by=person)

    if is_allowed:
        assert record().is_conforming
        return
    with pytest.raises(Refused) as refused:
        record()
    assert refused.value.code == "not_permitted"


# --- many at once, and who is told ------------------------------------------------------------


def test_a_history_brought_in_any_order_in_one_call_is_one_history():
    slide, aircraft, station = build.a_unit(), build.an_aircraft(), build.a_station()
    told = [
        ("removed", build.in_quarantine(station), "2027-04-01"),
        ("received", build.in_store(station), "2027-01-01"),
        ("installed", build.at_position(aircraft), "2027-02-01"),
        ("released", build.in_store(station), "2027-05-01"),
    ]
    rows = [
        MovementFact(slide.pk, sort, to, build.on(when), act_id=uuid4()) for sort, to, when in told
    ]

    done = record_movements(
        by=build.a_person(), rows=rows, act_id=uuid4(), at=build.NOW, is_strict=True
    )

    assert all(each.is_conforming for each in done)
    assert now_at(slide) == "store"
    assert Stay.objects.count() == 4


def test_of_many_rows_only_those_that_contradict_are_refused():
    aircraft = build.an_aircraft()
    slides = [build.a_unit() for _ in range(3)]
    days = ("2027-03-03", "2027-03-02", "2027-03-04")
    rows = [
        MovementFact(slide.pk, "installed", build.at_position(aircraft), build.on(when))
        for slide, when in zip(slides, days, strict=True)
    ]

    found = why_not_record(rows=rows, at=build.NOW)

    assert set(found) == {0, 2}


def test_many_rows_take_as_many_statements_as_few():
    def statements(count):
        aircraft = build.an_aircraft(*[f"P{i}" for i in range(count)])
        rows = [
            MovementFact(
                build.a_unit().pk,
                "installed",
                build.at_position(aircraft, f"P{i}"),
                build.on("2027-03-03"),
            )
            for i in range(count)
        ]
        person = build.a_person()
        with CaptureQueriesContext(
            connection,
        ) as asked:
            record_movements(by=person, rows=rows, act_id=uuid4(), at=build.NOW)
        return len(
            [
                q
                for q in asked.captured_queries
                if "equipment_" in q["sql"] and "scheduling_" not in q["sql"]
            ]
        )

    assert statements(2) == statements(40)


def test_one_installation_asks_the_ledger_a_bounded_number_of_questions():
    aircraft, slide, person = build.an_aircraft(), build.a_unit(), build.a_person()
    fact = MovementFact(slide.pk, "installed", build.at_position(aircraft), build.on("2027-03-03"))

    with CaptureQueriesContext(connection) as asked:
        record_movements(by=person, rows=[fact], act_id=uuid4(), at=build.NOW)

    # What follows in the due items is asked by the scheduling app, with its own tables.
    asked_before = [query["sql"] for query in asked.captured_queries]
    told = next(i for i, sql in enumerate(asked_before) if "scheduling_" in sql)
    assert told <= 29


@pytest.mark.parametrize("text", ['a "b" \\ {c},d', "NULL", " édge — ☃ ", "'; --", "%s"])
def test_what_is_written_is_kept_to_the_letter(text):
    slide = build.a_unit()

    build.moved(slide, "sent", build.SHOP, "2027-03-03", document=text, reason=text, log_page=text)

    kept = Movement.objects.get()
    assert (kept.document, kept.reason, kept.log_page) == (text, text, text)


def test_stamps_rise_of_what_moved_and_all_inside_and_of_nothing_else():
    slide, light, other = build.a_unit(build.a_part("", "LIGHT")), build.a_unit(), build.a_unit()
    build.installed(light, build.inside(slide), "2027-01-01")
    before = dict(Unit.objects.values_list("pk", "facts_stamp"))

    build.moved(slide, "sent", build.SHOP, "2027-03-03")

    after = dict(Unit.objects.values_list("pk", "facts_stamp"))
    assert {pk for pk in after if after[pk] != before[pk]} == {slide.pk, light.pk}
    assert other.pk in after


def test_upper_apps_are_told_which_units_and_aircraft():
    heard = []

    def listen(**told):
        heard.append((told["unit_ids"], told["aircraft_ids"]))

    aircraft, slide = build.an_aircraft(), build.a_unit()
    facts_changed.connect(listen)
    try:
        build.installed(slide, build.at_position(aircraft), "2027-03-03")
    finally:
        facts_changed.disconnect(listen)

    assert heard == [([slide.pk], [aircraft.pk])]


def test_a_clock_that_lags_records_nothing_before_what_was_known_already():
    slide = build.a_unit()
    build.moved(slide, "sent", build.SHOP, "2027-03-03", at=build.NOW)

    build.moved(
        slide,
        "returned",
        build.in_store(build.a_station()),
        "2027-03-04",
        at=build.NOW - timedelta(hours=1),
    )

    assert Movement.objects.latest("pk").recorded_at == build.NOW
