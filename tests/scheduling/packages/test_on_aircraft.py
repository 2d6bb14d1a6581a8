"""A work on the aircraft as such: recorded from the package's item, and no clock restarts without who, authorisation
and document."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from fleet.house.pages import today
from fleet.house.refusals import Refused
from scheduling.models import WorkDone
from scheduling.packages.acts.on_aircraft import record_aircraft_work
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.packages.hangar import LIGHTS, Aboard, Hangar
from tests.scheduling.planning.world import in_days, reckoned
from tests.scheduling.rules import a_rule, every

pytestmark = pytest.mark.django_db


@pytest.fixture
def hangar():
    return Aboard()


def refusal(act, **more):
    with pytest.raises(Refused) as told:
        act(**more)
    return told.value.code, told.value.field


def test_passed_it_makes_the_item_done_and_its_clock_runs_anew(hangar):
    before = hangar.aboard.standing.state, hangar.due()
    again = uuid4()

    made = hangar.record(act_id=again)

    after = hangar.aboard.standing
    assert before[0] == "open" and before[1] < in_days(90)
    assert after.state == "done" and "T. Arden" in after.words and "WO-7" in after.words
    assert hangar.due() > in_days(360)
    assert (made.authorisation, made.limit_code, made.aircraft) == (
        "Q-B1-204",
        LIGHTS,
        hangar.craft,
    )
    assert refusal(hangar.record) == ("item_ended", "item")
    sent_again = record_aircraft_work(
        by=hangar.controller, aircraft_work=hangar.said(), act_id=again, at=timezone.now()
    )
    assert sent_again == made


def test_failed_it_is_kept_and_the_item_is_not_done_nor_its_clock_moved(hangar):
    before = hangar.due()

    hangar.record(result="failed")

    standing = hangar.aboard.standing
    assert standing.state == "open" and standing.words.startswith("Failed: ")
    assert hangar.due() == before
    hangar.record(document="WO-8")
    assert hangar.aboard.standing.state == "done"


@pytest.mark.parametrize("field", ["who", "authorisation", "document"])
def test_no_clock_restarts_without_who_authorisation_and_document(hangar, field):
    works = WorkDone.objects.count()

    assert refusal(hangar.record, **{field: "  "})[1] == field
    assert WorkDone.objects.count() == works and hangar.aboard.standing.state == "open"


def test_a_day_before_the_package_or_to_come_is_refused_at_its_field(hangar):
    for day, code in ((-1, "work_before_handover"), (2, "work_in_future")):
        assert refusal(hangar.record, done_on=in_days(day)) == (code, "done_on")


def test_only_an_item_of_the_aircraft_is_recorded_so_and_only_by_who_may(hangar):
    of_unit = replace(hangar.said(), item_id=hangar.item(hangar.look).row.pk)
    with pytest.raises(Refused, match="unit or a position"):
        record_aircraft_work(
            by=hangar.controller, aircraft_work=of_unit, act_id=uuid4(), at=timezone.now()
        )
    for role in ("technician", "stores", "auditor"):
        assert refusal(hangar.record, by=build.a_person(role))[0] == "not_permitted"


def test_a_work_recorded_for_one_limit_alone_does_not_show_another_as_done():
    """Both limits ask for the same work; the record restarts but one of the clocks."""
    hangar = Hangar()
    a_rule("SL-LOOK-2", every(6), work="LOOK")
    reckoned()
    hangar.hand_over()

    hangar.do("LOOK", hangar.look, limit_code="SL-LOOK")

    states = {each.row.works[0]["limit"]: each.standing.state for each in hangar.package().items}
    assert (states["SL-LOOK"], states["SL-LOOK-2"]) == ("done", "open")
    hangar.do("LOOK", hangar.look)
    assert {each.standing.state for each in hangar.package().items if "Look" in each.row.words} == {
        "done"
    }


def test_the_page_and_programs_record_alike(hangar):
    desk = signed_in(hangar.controller)
    package = reverse("scheduling:check_package", args=[hangar.check.pk])
    page = reverse("scheduling:package_aircraft_work", args=[hangar.aboard.row.pk])
    door = f"/api/v1/plan/package-items/{hangar.aboard.row.pk}/aircraft-work"
    facts = {"who": "T. Arden", "authorisation": "", "document": "WO-7", "result": "failed"}
    sent = {"act_id": str(uuid4()), "done_on": today().isoformat(), **facts}

    assert page in desk.get(package).content.decode()
    lacking = desk.post(page, sent)
    assert lacking.status_code in (400, 422) and "WO-7" in lacking.content.decode()
    told = desk.post(door, sent, content_type="application/json")
    assert told.status_code in (400, 422) and "authorisation" in told.content.decode()
    assert not WorkDone.objects.filter(document="WO-7").exists()
    sent["authorisation"] = "Q-B1-204"
    told = desk.post(door, sent, content_type="application/json")
    assert told.status_code == 201, told.content
    assert (told.json()["limit"], told.json()["authorisation"]) == (LIGHTS, "Q-B1-204")
    passed = {**sent, "act_id": str(uuid4()), "result": "passed"}
    assert "clock runs anew" in desk.post(page, passed, follow=True).content.decode()
    assert hangar.aboard.standing.state == "done"
    assert page not in signed_in(hangar.technician).get(package).content.decode()


def test_from_paper_offers_no_way_around_the_authorisation(hangar):
    desk = signed_in(hangar.controller)
    row = hangar.aboard.row
    sent = {
        "act_id": str(uuid4()),
        "of": f"FUNCTION aircraft {hangar.craft.pk} {LIGHTS}",
        "done_on": today().isoformat(),
        "who": "T. Arden",
        "document": "WO-7",
        "result": "passed",
    }

    desk.post(reverse("scheduling:package_done", args=[row.pk]), sent)

    assert hangar.aboard.standing.state == "open"
