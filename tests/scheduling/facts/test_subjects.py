"""Limits about positions, aircraft and samples of units: who is due, when, and what restarts it."""

from __future__ import annotations

import pytest

from scheduling.models import DueItem
from scheduling.programme.acts.allowances import NewExtension, grant_extensions
from tests import builders as build
from tests.scheduling import rules as on

pytestmark = pytest.mark.django_db


@pytest.fixture
def aircraft():
    return on.follows(build.an_aircraft("D1L-SLIDE", "D1R-SLIDE", "ELT-1"))


# --- positions -----------------------------------------------------------------------------------


def deactivated(position, when):
    """By its document, and the column that keeps the latest state."""
    on.stated(position, "deactivated", when)
    position.is_active = False
    position.save()


def test_each_listed_position_is_due_whatever_is_fitted_there(aircraft):
    limit = on.girt_fittings()

    on.reckon()

    found = DueItem.objects.filter(limit=limit)
    assert {(row.position_id, row.aircraft_id, row.unit_id) for row in found} == {
        (on.position(aircraft, code).pk, aircraft.pk, None) for code in ("D1L-SLIDE", "D1R-SLIDE")
    }
    # 14 July 2025 and 24 months.
    assert {row.due_on.isoformat() for row in found} == {"2027-07-14"}


def test_a_work_at_one_position_restarts_it_alone_and_at_once(aircraft):
    limit = on.girt_fittings()
    left, right = (on.position(aircraft, code) for code in ("D1L-SLIDE", "D1R-SLIDE"))
    on.reckon()

    on.done("INSPECT", "2027-05-20", position_id=left.pk)

    assert on.due(limit, position=left) == "2029-05-20"  # 24 months from the work
    assert on.due(limit, position=right) == "2027-07-14"
    assert not DueItem.objects.stale().exists()


def test_the_same_work_on_the_aircraft_or_the_slide_there_restarts_no_position(aircraft):
    limit, slide = on.girt_fittings(), build.a_unit()
    build.installed(slide, build.at_position(aircraft), "2026-03-03")
    on.reckon()

    on.done("INSPECT", "2027-05-20", aircraft_id=aircraft.pk)
    on.done("INSPECT", "2027-05-20", unit_id=slide.pk)

    assert on.due(limit, position=on.position(aircraft, "D1L-SLIDE")) == "2027-07-14"


@pytest.mark.parametrize("state", ["deactivated", "absent"])
def test_a_position_that_is_not_active_on_the_day_has_no_item(aircraft, state):
    limit, left = on.girt_fittings(), on.position(aircraft, "D1L-SLIDE")
    on.stated(left, state, "2027-05-01")
    on.stated(left, "active", "2027-09-01")

    on.reckon()

    assert not on.is_item(limit, position=left)
    assert on.is_item(limit, position=on.position(aircraft, "D1R-SLIDE"))
    for day in ("2027-04-30", "2027-09-01"):
        assert left.pk in {one.position_id for one in on.on_another_day(day)}


def test_a_position_deactivated_since_was_due_before_its_first_state(aircraft):
    on.girt_fittings()
    left = on.position(aircraft, "D1L-SLIDE")
    deactivated(left, "2027-05-01")

    assert left.pk in {one.position_id for one in on.on_another_day("2027-04-30")}


def test_a_unit_fitted_at_a_deactivated_position_is_said_and_keeps_its_item_as_a_spare(aircraft):
    slide = build.a_unit(manufactured_on=build.day("2025-08-02"))
    limit = on.a_rule("OVH", on.every(36, first_from="manufacture"), parts=[slide.part_number])
    build.moved(slide, "received", build.in_store(aircraft.station), "2026-01-05")
    deactivated(on.position(aircraft, "D1L-SLIDE"), "2027-01-01")
    on.reckon()

    told = build.installed(slide, build.at_position(aircraft), "2027-05-20")

    assert not told.is_conforming
    assert "position_deactivated" in {reason.code for reason in told.reasons}
    found = on.item(limit, unit=slide)
    assert (found.due_on.isoformat(), found.aircraft_id) == ("2028-08-02", None)


def test_a_unit_whose_position_is_deactivated_around_it_stays_due_there(aircraft):
    slide = build.a_unit(manufactured_on=build.day("2025-08-02"))
    limit = on.a_rule("OVH", on.every(36, first_from="manufacture"), positions=["D1L-SLIDE"])
    build.installed(slide, build.at_position(aircraft), "2026-03-03")
    deactivated(on.position(aircraft, "D1L-SLIDE"), "2027-01-01")

    on.reckon()

    found = on.item(limit, unit=slide)
    assert (found.due_on.isoformat(), found.aircraft_id) == ("2028-08-02", aircraft.pk)


# --- aircraft ------------------------------------------------------------------------------------


def test_an_aircraft_is_due_itself_and_restarted_by_a_work_on_it(aircraft):
    limit, sister = on.lighting_test(), on.follows(build.an_aircraft("D1L-SLIDE"))
    on.reckon()
    assert on.due(limit, aircraft=aircraft) == "2027-06-30"

    on.done("FUNCTION", "2027-02-28", aircraft_id=aircraft.pk)
    on.done("FUNCTION", "2027-03-01", position_id=on.position(aircraft, "ELT-1").pk)

    found = on.item(limit, aircraft=aircraft)
    assert (found.unit_id, found.position_id) == (None, None)
    # The last of February is 28 days in 2028 no more than the start says: 28 February.
    assert found.due_on.isoformat() == "2028-02-28"
    assert on.due(limit, aircraft=sister) == "2027-06-30"


def test_an_aircraft_of_no_programme_has_no_item_and_one_that_follows_gets_it(aircraft):
    limit, other = on.lighting_test(), build.an_aircraft("D1L-SLIDE")
    on.reckon()
    assert not on.is_item(limit, aircraft=other)

    on.follows(other)

    on.reckon()
    assert on.due(limit, aircraft=other) == "2027-06-30"


def test_an_extension_of_a_position_moves_its_item_at_once(aircraft):
    limit, left = on.girt_fittings(is_extendable=True), on.position(aircraft, "D1L-SLIDE")
    on.reckon()

    row = NewExtension(
        limit.programme_id,
        "GIRT",
        "EXT-7",
        build.day("2027-05-20"),
        "VAR-7",
        "C. Marsh",
        position_id=left.pk,
        days=20,
    )
    grant_extensions(by=build.a_person("controller"), rows=[row], now=build.NOW)

    assert (
        on.due(limit, position=left) == "2027-08-03"
    )  # 14 July and 20 days: 17 to 31 July, 3 more
    assert on.due(limit, position=on.position(aircraft, "D1R-SLIDE")) == "2027-07-14"


# --- rules that end ------------------------------------------------------------------------------


def test_items_of_a_rule_that_is_withdrawn_are_gone_at_the_next_drain(aircraft):
    limit = on.girt_fittings()
    on.reckon()

    limit.until_on = build.day("2027-05-31")
    limit.save(update_fields=["until_on"])
    on.drained()

    assert not on.is_item(limit)
