"""A condemnation made by mistake: it counts everywhere whatever is tagged later, until another person takes it
back by name."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.availability.acts.condemned import CondemnedByMistake, take_back_condemnation
from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.availability.acts.using import why_not_use_unit
from equipment.leaving.acts.scrap import Scrapped, scrap_unit
from equipment.models import TagTakenBack, Unit, UnitTag
from equipment.segregation.shop_first import condemned_by, counting_tag
from equipment.stores.reads.unit import told
from equipment.swaps.reads.start import candidates_at
from equipment.swaps.reads.whereabouts import tags_of
from equipment.units import labels
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import ProposedNeed
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.builders_swaps import place_row
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit
from tests.scheduling.allocation import world as allocation

pytestmark = pytest.mark.django_db
CONDEMNED = TagFact("unsalvageable", "defect", "Fabric porous.")
NOW = {"on": TODAY, "at": AT, "is_demonstration": False}


@pytest.fixture(autouse=True)
def noon(time_machine):
    time_machine.move_to(AT, tick=False)


def tagged(unit, tag, at="2027-05-01 10:00", by=None):
    by = by or build.a_person("technician")
    moment = build.instant(at)
    return tag_unit(by=by, unit_id=unit.pk, tag=tag, tagged_at=moment, act_id=uuid4(), at=AT)


@pytest.fixture
def condemned(db):
    unit = a_stocked_unit()
    tagged(unit, CONDEMNED)
    return Unit.objects.get(pk=unit.pk)


def taken_back(unit, by=None, **more):
    said = {"reason": "The tag was meant for S/N 7.", "document": "QTL 117", **more}
    mistake = CondemnedByMistake(unit.pk, **said)
    by = by or build.a_person("controller")
    return take_back_condemnation(by=by, mistake=mistake, act_id=uuid4(), at=AT)


def code_of(act, *args, **more):
    with pytest.raises(Refused) as refused:
        act(*args, **more)
    return refused.value.code


def reasons(unit):
    found = why_not_use_unit(unit_id=unit.pk, place=None, need_on=TODAY, at=AT)
    return {each.code for each in found}


# --- meanwhile --------------------------------------------------------------------------------


def test_a_later_tag_changes_nothing_on_tag_label_page_and_stock(condemned):
    later = tagged(condemned, TagFact("unserviceable", "removed_good"), "2027-05-20 10:00")

    hung = counting_tag(condemned.pk, AT)
    told_here = told(condemned, TODAY, AT)

    assert hung.sort == "unsalvageable" and later != hung
    assert labels.unit_tag(hung, **NOW).title == "Unsalvageable"
    assert labels.unit_label(condemned.pk, **NOW).title == "Unserviceable"
    assert told_here.tag == hung
    assert [(line.tag.sort, line.counts) for line in tags_of([condemned.pk])] == [
        ("unserviceable", False),
        ("unsalvageable", True),
    ]


def test_the_tag_that_a_program_prints_is_the_one_that_counts(condemned, program):  # noqa: F811
    tagged(condemned, TagFact("unserviceable", "removed_good"), "2027-05-20 10:00")
    hung = counting_tag(condemned.pk, AT)

    by_page = signed_in(build.a_person("stores")).get(
        reverse("equipment:stores_hung_tag", args=[condemned.pk])
    )
    by_program = program("stores").get(f"/api/v1/stores/units/{condemned.pk}/hung-tag")

    for answer in (by_page, by_program):
        assert answer.status_code == 200
        assert f"tag-{hung.pk}" in answer["Content-Disposition"]


def test_it_is_no_supply_and_no_candidate(condemned):
    world = allocation.a_world(planes=1)
    spare = world.a_spare()
    place = build.at_position(world.aircraft[0])
    assert ProposedNeed.objects.filter(run=world.propose(), unit=spare).exists()

    tagged(spare, CONDEMNED)
    tagged(spare, TagFact("unserviceable", "removed_good"), "2027-05-20 10:00")

    assert not ProposedNeed.objects.filter(run=world.propose(), unit=spare).exists()
    [candidate] = candidates_at(place_row(place), but=None)
    assert "unsalvageable" in " ".join(candidate.why_not)


# --- taken back -------------------------------------------------------------------------------


def test_taken_back_it_is_unserviceable_until_somebody_tags_it_serviceable(condemned):
    made = taken_back(condemned)

    assert (made.reason, made.document) == ("The tag was meant for S/N 7.", "QTL 117")
    assert condemned_by(condemned.pk) is None
    assert reasons(condemned) == {"unit_unserviceable"}
    tagged(condemned, TagFact("serviceable", words="Looked at."), "2027-06-01 12:00")
    assert reasons(condemned) == set()


def test_the_history_keeps_the_tag_and_who_took_it_back(condemned):
    made = taken_back(condemned)

    told_of = {line.tag.sort: line for line in tags_of([condemned.pk])}

    assert UnitTag.objects.filter(sort="unsalvageable").exists()
    assert "A mistake, taken back by" in told_of["unsalvageable"].taken_back
    assert made.document in told_of["unsalvageable"].taken_back
    assert told_of["unserviceable"].counts


def test_who_condemned_it_does_not_take_it_back_while_another_may(as_owner):
    unit, controller = a_stocked_unit(), build.a_person("controller")
    tagged(unit, CONDEMNED, by=controller)
    with as_owner():
        User.objects.exclude(pk=controller.pk).update(is_active=False)
    assert taken_back(unit, by=controller).taken_back_by == controller

    tagged(unit, CONDEMNED, "2027-05-02 10:00", by=controller)
    build.a_person("certifying")

    assert code_of(taken_back, unit, by=controller) == "same_person"


@pytest.mark.parametrize("role", ["technician", "inspector", "stores", "administrator"])
def test_no_other_role_takes_it_back(condemned, role):
    assert code_of(taken_back, condemned, by=build.a_person(role)) == "not_permitted"


@pytest.mark.parametrize(
    ("said", "code"), [({"reason": " "}, "missing"), ({"document": ""}, "missing")]
)
def test_it_says_why_and_by_which_document(condemned, said, code):
    assert code_of(taken_back, condemned, **said) == code
    assert not TagTakenBack.objects.exists()


def test_what_is_not_condemned_and_what_was_made_unusable_is_not_taken_back():
    good, gone = a_stocked_unit(), a_stocked_unit()
    scrap = Scrapped(gone.pk, "Torn.", "cut", "Ola Voe", "none", TODAY)
    scrap_unit(by=build.a_person("stores"), scrap=scrap, act_id=uuid4(), at=AT)

    assert code_of(taken_back, good) == "not_condemned"
    assert code_of(taken_back, gone) == "unit_scrapped"


def test_by_page_and_by_program(condemned, program):  # noqa: F811
    other = a_stocked_unit()
    tagged(other, CONDEMNED)
    desk = signed_in(build.a_person("controller"))
    address = reverse("equipment:unit_condemned_by_mistake", args=[condemned.pk])
    said = {"reason": "Meant for S/N 7.", "document": "QTL 117"}

    way = desk.get(reverse("equipment:unit", args=[condemned.pk])).content.decode()
    unsaid = desk.post(address, {**said, "document": "", "act_id": str(uuid4())})
    done = desk.post(address, {**said, "act_id": str(uuid4())})
    sent = {**said, "unit": other.pk, "act_id": str(uuid4())}
    by_program = program("controller").post("/api/v1/condemnations-taken-back", sent, format="json")
    refused = program("technician").post(
        "/api/v1/condemnations-taken-back", {**sent, "act_id": str(uuid4())}, format="json"
    )

    assert address in way
    assert (unsaid.status_code, done.status_code) == (422, 302)
    assert (by_program.status_code, refused.status_code) == (201, 403)
    assert {condemned_by(condemned.pk), condemned_by(other.pk)} == {None}


def test_deployed_and_tagged_otherwise_since_it_still_waits_for_the_shop():
    unit = a_stocked_unit()
    tagged(unit, TagFact("unserviceable", "deployed"))
    tagged(unit, TagFact("unserviceable", "information", "Papers missing."), "2027-05-02 10:00")

    assert code_of(tagged, unit, TagFact("serviceable", words="Papers found.")) == (
        "shop_must_see_it"
    )
