"""What grounds an aircraft is one answer: of its page, of the list, of the API, of the due list and the plan."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from equipment.availability.acts.fillings import Use, record_discharge
from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.findings.acts.open_items import close_item, open_item
from equipment.findings.acts.openings import Opening
from equipment.swaps.acts import abandon_swap
from fleet.aircraft.ports import groundings_of
from scheduling.allocation.facts.removals import removals_until
from scheduling.due import due_list
from scheduling.due.failed import failed_tests
from scheduling.due.lists.filters import DueFilters
from scheduling.models import WorkDone
from scheduling.planning.facts.fleet import plan_of
from scheduling.planning.facts.when import returns_from
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling import rules

pytestmark = pytest.mark.django_db
NOON = build.instant("2027-06-01 12:00")
TORN = TagFact("unserviceable", "defect", "Girt torn at the left end.")


@pytest.fixture(autouse=True)
def that_day():
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def slide(db):
    """Fitted on an aircraft, overhauled far from its limit, a bottle in it; the bottle is due earlier."""
    kind = build.a_kind("SLIDE")
    craft = rules.follows(build.an_aircraft(of_type=build.an_aircraft_type(kind=kind)))
    part = build.a_part("", "BOTTLE", kind=kind)
    part.positions.update(kind=build.a_kind("BOTTLE"))
    unit = build.a_unit(part)
    build.installed(unit, build.at_position(craft), "2027-01-10 08:00")
    unit.bottle = build.a_unit(build.a_part(kind=build.a_kind("BOTTLE"), removed="shop"))
    build.installed(unit.bottle, build.inside(unit, "BOTTLE"), "2027-01-10 08:00")
    unit.craft = craft
    runs = rules.every(36, first_from="first_installation")
    rules.a_rule("OVH", runs, work="OVERHAUL", kind=kind)
    rules.a_rule("HST", runs, work="HYDROSTATIC", kind=build.a_kind("BOTTLE"))
    rules.reckon()
    return unit


def tagged(unit, tag=TORN, at=NOON):
    by = build.a_person("technician")
    tag_unit(by=by, unit_id=unit.pk, tag=tag, tagged_at=at, act_id=uuid4(), at=NOON)


def inflated(unit):
    use = Use(build.day("2027-06-01"))
    by = build.a_person("technician")
    words = "Inflated in error at the gate."
    record_discharge(
        by=by, unit_id=unit.pk, use=use, words=words, act_id=uuid4(), at=NOON, is_inflation=True
    )


def failed(unit, work="OVERHAUL"):
    rules.done(work, "2027-05-31", unit_id=unit.pk, result="failed")


WAYS = {
    "tagged": (tagged, "Girt torn"),
    "inflated": (inflated, "deployed"),
    "failed its test": (failed, "failed"),
}


@pytest.fixture(params=WAYS, ids=lambda name: name.replace(" ", "_"))
def way(request, slide):
    act, words = WAYS[request.param]
    act(slide)
    return words


def reader():
    client = Client()
    client.force_login(build.a_person("controller"))
    return client


def on_page(craft):
    address = reverse("fleet:aircraft", args=[craft.registration])
    return reader().get(address).content.decode()


def groundings(craft):
    return groundings_of([craft.pk], rules.DAY).get(craft.pk, [])


def rows(**asked):
    return list(due_list.due_rows(filters=DueFilters(**asked), as_of=rules.DAY))


def unit_page(unit):
    address = reverse("equipment:unit", args=[unit.pk])
    return " ".join(reader().get(address).content.decode().split())


def test_the_page_of_a_unit_begins_with_what_it_grounds(slide, way):
    page = unit_page(slide)

    assert "Grounds its aircraft." in page
    assert "May stay" not in page
    assert way in page


def test_the_page_of_what_is_around_it_says_so_too(slide):
    assert "May stay in use until" in unit_page(slide)

    tagged(slide.bottle)

    assert "Grounds its aircraft." in unit_page(slide)
    assert "May stay" not in unit_page(slide)


def test_an_aircraft_that_nothing_on_record_grounds_is_not_called_releasable(slide):
    listed = reader().get(reverse("fleet:aircraft_list")).content.decode()

    assert groundings(slide.craft) == []
    assert "Not releasable" not in on_page(slide.craft)
    assert "nothing on record grounds it" in listed
    assert "releasable" not in listed.lower()


def test_its_page_says_at_once_that_it_is_not_releasable_and_why(slide, way):
    shown = on_page(slide.craft)

    assert "Not releasable" in shown
    assert way in shown
    assert slide.serial_number in shown


def test_so_does_the_list_of_aircraft(slide, way):
    other = rules.follows(build.an_aircraft())

    shown = reader().get(reverse("fleet:aircraft_list")).content.decode()

    of_each = {
        one.registration: shown.split(f">{one.registration}<")[1].split("</tr>")[0]
        for one in (slide.craft, other)
    }
    assert "not releasable" in of_each[slide.craft.registration]
    assert "not releasable" not in of_each[other.registration]


def test_so_does_the_api(slide, way, program):  # noqa: F811
    client = program("controller")

    one = client.get(f"/api/v1/aircraft/{slide.craft.registration}").json()
    (listed,) = client.get("/api/v1/aircraft").json()["results"]

    for shown in (one, listed):
        assert shown["is_grounded"] is True
        (why,) = shown["grounded_by"]
        assert way in why["sentence"]
        assert (why["position"], why["unit"]) == ("D1L-SLIDE", slide.pk)


def test_its_position_stands_on_top_of_the_due_list_and_the_bottle_inside_too(slide, way):
    sooner = build.a_unit(slide.part_number)
    craft = rules.follows(build.an_aircraft(of_type=slide.craft.aircraft_type))
    build.installed(sooner, build.at_position(craft), "2024-06-02 08:00")

    top = rows()[:2]

    assert {(row.band, row.unit_id) for row in top} == {
        ("unserviceable", slide.pk),
        ("unserviceable", slide.bottle.pk),
    }


def test_it_comes_off_now_by_the_plan(slide, way):
    until = rules.DAY + timedelta(days=90)

    (removal,) = removals_until(plan_of(rules.DAY), returns_from(rules.DAY), until)

    assert (removal.unit_id, removal.on) == (slide.pk, rules.DAY)


def test_the_bottle_alone_tagged_grounds_the_aircraft(slide):
    tagged(slide.bottle)

    (why,) = groundings(slide.craft)

    assert why.unit_id == slide.bottle.pk
    assert {row.unit_id for row in rows(band="unserviceable")} == {slide.bottle.pk}


def test_tagged_serviceable_again_it_grounds_nothing(slide):
    tagged(slide)
    tagged(slide, TagFact("serviceable"), NOON + timedelta(seconds=0))

    assert groundings(slide.craft) == []
    assert {row.band for row in rows()} == {"beyond-plan"}


def test_a_test_passed_after_all_grounds_nothing(slide):
    failed(slide)
    rules.done("OVERHAUL", "2027-06-01", unit_id=slide.pk)

    assert groundings(slide.craft) == []


def test_taken_off_it_grounds_nothing(slide, way):
    build.removed(slide, build.in_store(slide.craft.station), "2027-06-01 11:00")

    assert groundings(slide.craft) == []
    assert {row.band for row in rows()} == {"in-store"}


# --- by a document ----------------------------------------------------------------------------


def deferred(slide, until="2027-06-11", found="2027-06-01"):
    opening = Opening("MEL 25-62-01", "Door blocked.", build.day(found), build.day(until))
    return open_item(
        by=build.a_person("controller"),
        opening=opening,
        act_id=uuid4(),
        at=NOON,
        place=build.at_position(slide.craft),
    )


def test_left_so_by_a_document_it_grounds_nothing_until_that_ends(slide):
    tagged(slide)
    item = deferred(slide)

    assert groundings(slide.craft) == []
    assert not rows(grounds=True)
    of_units = [row for row in rows() if row.unit_id is not None]
    assert {row.band for row in of_units} == {"unserviceable"}
    assert groundings_of([slide.craft.pk], build.day("2027-06-12"))

    closing = {"words": "Not so.", "closed_on": rules.DAY, "act_id": uuid4(), "at": NOON}
    close_item(by=build.a_person("controller"), open_item_id=item.pk, **closing)

    assert groundings(slide.craft)
    assert rows(grounds=True)


def test_a_document_of_before_is_of_something_else(slide):
    deferred(slide, found="2027-05-20")
    tagged(slide)

    assert groundings(slide.craft)


# --- a filter and a count of its own ----------------------------------------------------------


@pytest.fixture
def spent(slide):
    """The slide past its limit, a spare past its limit in the store, and a bottle that may stay until emptied."""
    stays = build.a_kind("OXYGEN")
    runs = rules.every(36, first_from="first_installation", runs_out="until_emptied")
    rules.a_rule("OXY", runs, work="HYDROSTATIC", kind=stays)
    craft = rules.follows(build.an_aircraft(of_type=build.an_aircraft_type(kind=stays)))
    bottle = build.a_unit(build.a_part(kind=stays))
    build.installed(bottle, build.at_position(craft), "2024-01-10 08:00")
    old, spare = build.a_unit(slide.part_number), build.a_unit(slide.part_number)
    other = rules.follows(build.an_aircraft(of_type=slide.craft.aircraft_type))
    build.installed(old, build.at_position(other), "2024-01-10 08:00")
    build.installed(
        spare,
        build.at_position(build.an_aircraft(of_type=slide.craft.aircraft_type)),
        "2023-01-10 08:00",
    )
    build.removed(spare, build.in_store(other.station), "2023-02-10 08:00")
    rules.reckon()
    old.craft, bottle.craft = other, craft
    return old, bottle, spare


def test_what_grounds_is_told_from_spares_and_what_may_stay_until_emptied(spent):
    old, bottle, _ = spent

    overdue, grounding = rows(band="overdue"), rows(grounds=True)

    assert {row.unit_id for row in grounding} == {old.pk}
    assert bottle.pk in {row.unit_id for row in overdue}
    assert due_list.due_page(filters=DueFilters(), as_of=rules.DAY).grounding == 1
    assert groundings(bottle.craft) == []
    (why,) = groundings(old.craft)
    assert why.code == "limit_passed"


def test_the_due_list_s_page_and_api_count_it_and_narrow_to_it(spent, program):  # noqa: F811
    old, *_ = spent

    page = reader().get(reverse("scheduling:due_list"), {"grounds": "on"}).content.decode()
    shown = program("controller").get("/api/v1/due-items?grounds=true").json()

    assert "1</b> <span>grounds its aircraft" in " ".join(page.split()).replace("> <", "> <")
    assert shown["grounding"] == 1
    assert [row["unit"] for row in shown["results"]] == [old.pk]
    assert shown["results"][0]["grounds_aircraft"] is True


# --- as of another day ------------------------------------------------------------------------------


def test_a_swap_grounds_from_the_day_it_was_opened_to_the_day_it_ended():
    job = swaps.a_job()
    swap = job.open()
    abandon_swap(
        by=job.technician,
        swap_id=swap.pk,
        reason="Another aircraft.",
        act_id=uuid4(),
        at=build.instant("2027-06-04 09:00"),
    )

    def codes(day):
        return [
            each.code for each in groundings_of([job.aircraft.pk], build.day(day))[job.aircraft.pk]
        ]

    assert "swap_open" in codes("2027-06-01") and "swap_open" in codes("2027-06-03")
    assert job.aircraft.pk not in groundings_of([job.aircraft.pk], build.day("2027-05-31"))
    assert job.aircraft.pk not in groundings_of([job.aircraft.pk], build.day("2027-06-04"))


def test_what_does_not_conform_grounds_from_the_day_that_it_happened(slide):
    wrong = build.installed(build.a_unit(), build.at_position(slide.craft), "2027-05-20 08:00")
    assert not wrong.is_conforming

    assert "does_not_conform" in [each.code for each in groundings(slide.craft)]
    day_before = groundings_of([slide.craft.pk], build.day("2027-05-19"))
    assert slide.craft.pk not in day_before


# --- a work on the aircraft, or on a position of it ----------------------------------------------


@pytest.fixture(params=["aircraft", "position"])
def craft(request, slide):
    """The slide's aircraft, whose lights failed their test as a whole, or at one door."""
    place = build.at_position(slide.craft)
    subjects = {
        "aircraft": {"aircraft_id": slide.craft.pk},
        "position": {"position_id": place.aircraft_position_id},
    }
    slide.craft.tested = subjects[request.param]
    slide.craft.place = place if request.param == "position" else None
    rules.done("LIGHTS", "2027-05-31", result="failed", **slide.craft.tested)
    return slide.craft


def test_a_work_that_failed_grounds_on_page_list_and_api(craft, program):  # noqa: F811
    [grounding] = groundings(craft)

    assert grounding.code == "work_failed"
    assert "of 31 May 2027 failed, and has not passed since" in grounding.sentence
    assert "failed, and has not passed since" in on_page(craft)
    answer = program("controller").get(f"/api/v1/aircraft/{craft.registration}").json()
    assert "work_failed" in str(answer)
    assert groundings_of([craft.pk], build.day("2027-05-30")).get(craft.pk, []) == []


def test_passed_since_it_grounds_nothing(craft):
    rules.done("LIGHTS", "2027-06-01", **craft.tested)

    assert groundings(craft) == []


def test_withdrawn_it_grounds_nothing(craft):
    failed_one = WorkDone.objects.get(result="failed", unit=None)
    rules.done("LIGHTS", "2027-05-31", corrects_id=failed_one.pk, is_annulment=True, **craft.tested)

    assert groundings(craft) == []


def test_another_subject_that_passed_does_not_answer_for_it(craft):
    other = {"aircraft_id": craft.pk} if "position_id" in craft.tested else None
    if other is None:
        other = {"position_id": build.at_position(craft).aircraft_position_id}

    rules.done("LIGHTS", "2027-06-01", **other)

    assert [each.code for each in groundings(craft)] == ["work_failed"]


def test_another_limit_s_test_that_passed_does_not_answer_for_it(craft):
    """One work may be asked for by several limits: lights and beacon have their own function test."""
    rules.done("FUNCTION", "2027-05-31", result="failed", limit_code="LIGHTS", **craft.tested)
    rules.done("LIGHTS", "2027-06-01", **craft.tested)
    assert [each.code for each in groundings(craft)] == ["work_failed"]

    rules.done("FUNCTION", "2027-06-01", limit_code="BEACON", **craft.tested)
    assert [each.code for each in groundings(craft)] == ["work_failed"]

    rules.done("FUNCTION", "2027-06-01", limit_code="LIGHTS", **craft.tested)
    assert groundings(craft) == []


def test_nor_does_it_of_a_unit(slide):
    rules.done("OVERHAUL", "2027-05-31", unit_id=slide.pk, result="failed", limit_code="OVH")
    rules.done("OVERHAUL", "2027-06-01", unit_id=slide.pk, limit_code="OTHER")
    assert groundings(slide.craft)
    assert failed_tests([slide.pk], rules.DAY)

    rules.done("OVERHAUL", "2027-06-01", unit_id=slide.pk)

    assert groundings(slide.craft) == []
    assert failed_tests([slide.pk], rules.DAY) == {}


def test_an_open_item_of_something_else_hides_no_failed_work_of_the_aircraft(slide):
    slide.craft.tested, slide.craft.place = {"aircraft_id": slide.craft.pk}, None
    rules.done("LIGHTS", "2027-05-31", result="failed", **slide.craft.tested)

    opened(slide.craft, "2027-05-31", words="Seat 3A does not recline.")

    [grounding] = groundings(slide.craft)
    assert "No open item of the aircraft that is in force names it" in grounding.sentence


def opened(craft, found, words="Lights out."):
    where = {"place": craft.place} if craft.place else {"aircraft_id": craft.pk}
    days = build.day(found), build.day("2027-06-09")
    opening = Opening("MEL 33-51-01", words, *days)
    return open_item(
        by=build.a_person("controller"), opening=opening, act_id=uuid4(), at=NOON, **where
    )


def test_what_a_document_lets_stay_since_grounds_nothing_until_that_ends(craft):
    before = opened(craft, "2027-05-20")
    assert groundings(craft)  # it is of something else
    closing = {
        "words": "Done.",
        "closed_on": build.day("2027-05-21"),
        "act_id": uuid4(),
        "at": NOON,
    }
    close_item(by=build.a_person("controller"), open_item_id=before.pk, **closing)

    opened(craft, "2027-05-31")

    assert groundings(craft) == []
    later = groundings_of([craft.pk], build.day("2027-06-10"))[craft.pk]
    assert {"work_failed", "open_item_expired"} == {each.code for each in later}
