"""What is inside a unit is due at the place and with the unit that comes off on the line."""

from __future__ import annotations

import pytest

from scheduling.due.due_list import due_rows
from scheduling.due.exports import COLUMNS, cells
from scheduling.due.lists.filters import DueFilters
from tests import builders as build
from tests.equipment.stores.world import certified
from tests.scheduling import rules as on

pytestmark = pytest.mark.django_db
# A light made in May 2020, twelve years: 4 May 2032 from the 4th.
LIGHT_DUE = "2032-05-04"


def twelve_years(part):
    return on.a_rule(f"LIFE-{part}", on.every(144, first_from="manufacture"), parts=[part])


def made_in_2020(part):
    return build.a_unit(part, manufactured_on=build.day("2020-05-04"))


@pytest.fixture
def aircraft():
    return on.follows(build.an_aircraft("D1L-SLIDE", "D1R-SLIDE"))


def a_slide_with_a_light(aircraft, code="D1L-SLIDE", removed="shop"):
    light = made_in_2020(build.a_part(removed=removed))
    slide = build.a_unit(build.a_part("", "LIGHT"))
    build.installed(slide, build.at_position(aircraft, code), "2026-03-03")
    build.installed(light, build.inside(slide), "2026-02-02")
    for unit in (slide, light):
        certified(unit)
    return slide, light


def where(found):
    return found.line_unit_id, found.position_id, found.aircraft_id


def test_a_light_that_comes_out_in_the_shop_only_is_due_with_its_slide(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    limit = twelve_years(light.part_number)

    on.reckon()

    assert on.due(limit) == LIGHT_DUE
    assert where(on.item(limit, unit=light)) == (
        slide.pk,
        on.position(aircraft, "D1L-SLIDE").pk,
        aircraft.pk,
    )


def test_a_light_that_comes_out_on_the_line_is_due_by_itself(aircraft):
    _, light = a_slide_with_a_light(aircraft, removed="line")
    limit = twelve_years(light.part_number)

    on.reckon()

    assert on.item(limit).line_unit_id == light.pk
    assert on.item(limit).position_id == on.position(aircraft, "D1L-SLIDE").pk


def test_a_cartridge_in_a_bottle_in_a_slide_is_due_with_the_nearest_that_comes_off(aircraft):
    for removed in ("shop", "line"):
        cartridge = made_in_2020(build.a_part(removed="shop"))
        bottle = build.a_unit(build.a_part("", "CARTRIDGE", removed=removed))
        slide = build.a_unit(build.a_part("", "BOTTLE"))
        code = {"shop": "D1L-SLIDE", "line": "D1R-SLIDE"}[removed]
        build.installed(cartridge, build.inside(bottle, "CARTRIDGE"), "2026-01-05")
        build.installed(bottle, build.inside(slide, "BOTTLE"), "2026-01-06")
        build.installed(slide, build.at_position(aircraft, code), "2026-01-07")
        limit = twelve_years(cartridge.part_number)

        on.reckon()

        off = {"shop": slide, "line": bottle}[removed]
        assert where(on.item(limit)) == (off.pk, on.position(aircraft, code).pk, aircraft.pk)


def test_a_light_moved_to_another_slide_is_due_there_at_once(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    limit = twelve_years(light.part_number)
    other = build.a_unit(slide.part_number)
    build.installed(other, build.at_position(aircraft, "D1R-SLIDE"), "2026-03-03")
    on.reckon()

    build.removed(light, build.in_store(build.a_station()), "2027-05-20")
    build.installed(light, build.inside(other), "2027-05-25")

    assert where(on.item(limit)) == (
        other.pk,
        on.position(aircraft, "D1R-SLIDE").pk,
        aircraft.pk,
    )
    assert on.due(limit) == LIGHT_DUE


def test_a_slide_taken_to_store_takes_its_light_along(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    limit, station = twelve_years(light.part_number), build.a_station()
    on.reckon()

    build.removed(slide, build.in_store(station), "2027-05-20")

    found = on.item(limit)
    assert where(found) == (slide.pk, None, None)
    assert (found.station_id, on.due(limit)) == (station.pk, LIGHT_DUE)
    assert [one.line_unit_id for one in on.everything_stored()] == [slide.pk]


def test_three_deep_in_store_each_is_due_with_the_nearest_that_comes_off():
    station = build.a_station()
    cartridge = made_in_2020(build.a_part(removed="shop"))
    bottle = build.a_unit(build.a_part("", "CARTRIDGE", removed="shop"))
    slide = build.a_unit(build.a_part("", "BOTTLE"))
    build.moved(slide, "received", build.in_store(station), "2026-01-05")
    build.installed(bottle, build.inside(slide, "BOTTLE"), "2026-01-06")
    build.installed(cartridge, build.inside(bottle, "CARTRIDGE"), "2026-01-07")
    limit = twelve_years(cartridge.part_number)

    on.reckon()

    assert on.item(limit).line_unit_id == slide.pk
    # A day before the cartridge went in it was by itself.
    assert {one.line_unit_id for one in on.on_another_day("2026-01-06")} == {cartridge.pk}


def test_a_loose_light_is_due_by_itself():
    light = made_in_2020(build.a_part(removed="shop"))
    build.moved(light, "received", build.in_store(build.a_station()), "2026-01-05")
    limit = twelve_years(light.part_number)

    on.reckon()

    assert on.item(limit).line_unit_id == light.pk


def test_a_slide_put_back_after_a_visit_has_its_light_at_its_new_place(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    limit = twelve_years(light.part_number)
    on.reckon()

    build.removed(slide, build.in_store(build.a_station()), "2027-05-20")
    build.installed(slide, build.at_position(aircraft, "D1R-SLIDE"), "2027-05-25")

    assert where(on.item(limit)) == (
        slide.pk,
        on.position(aircraft, "D1R-SLIDE").pk,
        aircraft.pk,
    )


# --- said at the slide, and at what is inside it -----------------------------------------------------


def notes_of(rows, limit):
    [row] = [row for row in rows if row.limit == limit.code]
    return row.notes


@pytest.mark.parametrize("as_of", [on.DAY, build.day("2027-06-02")])
def test_a_slide_says_what_inside_it_takes_it_off_earlier(aircraft, as_of):
    """Its own overhaul is due on 3 March 2038: the light of May 2032 comes first."""
    slide, light = a_slide_with_a_light(aircraft)
    inner, outer = twelve_years(light.part_number), overhaul(slide.part_number)
    on.reckon()

    rows = list(due_rows(filters=DueFilters(), as_of=as_of))

    light_named, slide_named = (
        f"{u.part_number.number} S/N {u.serial_number}" for u in (light, slide)
    )
    words = f"comes off by 4 May 2032 for Inspect of {light_named} inside it"
    assert notes_of(rows, outer) == (words,)
    assert notes_of(rows, inner) == (f"{slide_named} comes off for it",)


def test_a_slide_says_nothing_of_what_outlasts_it(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    twelve_years(light.part_number)
    outer = overhaul(slide.part_number, months=36)
    on.reckon()

    assert notes_of(due_rows(filters=DueFilters(), as_of=on.DAY), outer) == ()


def test_a_file_says_which_unit_comes_off(aircraft):
    slide, light = a_slide_with_a_light(aircraft)
    inner = twelve_years(light.part_number)
    on.reckon()

    [row] = due_rows(filters=DueFilters(), as_of=on.DAY)

    told = dict(zip(COLUMNS, cells(row), strict=True))
    assert row.limit == inner.code
    assert told["Comes off part number"] == slide.part_number.number
    assert told["Comes off serial number"] == slide.serial_number


@pytest.mark.parametrize("has_own", [True, False])
def test_a_slides_own_page_says_what_inside_it_takes_it_off(aircraft, client, has_own):
    slide, light = a_slide_with_a_light(aircraft)
    twelve_years(light.part_number)
    if has_own:
        overhaul(slide.part_number)
    on.reckon()
    client.force_login(build.a_person("controller"))

    page = client.get(f"/units/{slide.pk}/").content.decode()

    assert "Comes off by 4 May 2032 for Inspect of" in page


def overhaul(part, months=144):
    first = {"first_from": "given_date", "given_on": build.day("2026-03-03")}
    return on.a_rule(f"OH-{part}", on.every(months, **first), parts=[part], work="OVERHAUL")
