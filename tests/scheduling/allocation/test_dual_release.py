"""A proposal leaves out a unit without a dual release where the aircraft's rules ask for one, as setting aside does."""

from __future__ import annotations

import pytest
import time_machine

from equipment.models import Certificate, RuleSet
from fleet.house.refusals import Refused
from scheduling.allocation.acts.decide import accept_pairing
from scheduling.allocation.facts.stamps import stamp_of
from scheduling.models import OfferedUnit
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in
from tests.scheduling.allocation import world as here

pytestmark = pytest.mark.django_db
WORDS = "no certificate released under the rules of both authorities"


@pytest.fixture(autouse=True)
def that_day():
    with time_machine.travel(here.AT, tick=False):
        yield


@pytest.fixture
def two():
    """Two aircraft in July, the first's own rules ask for a dual release; one spare of one authority."""
    world = here.a_world()
    swaps.a_rule_set(needs_dual_release=True, aircraft=world.aircraft[0])
    world.spare = world.a_spare()
    return world


def met_by(world):
    run = world.propose()
    offered = OfferedUnit.objects.filter(run=run).exclude(for_key="")
    return {row.for_key.split()[0]: row.unit_id for row in offered}


def test_it_is_proposed_for_the_aircraft_whose_rules_do_not_ask(two):
    first, second = (each.registration for each in two.aircraft)

    assert met_by(two) == {second: two.spare.pk}
    assert first not in met_by(two)


def test_with_a_certificate_of_both_authorities_it_covers_either(two, as_owner):
    with as_owner():
        Certificate.objects.filter(unit=two.spare).update(is_dual_release=True)
    second = two.a_spare()

    assert met_by(two) == {
        two.aircraft[0].registration: two.spare.pk,
        two.aircraft[1].registration: second.pk,
    }


@pytest.mark.parametrize(("from_on", "asks"), [("2027-07-05", True), ("2027-07-06", False)])
def test_rules_of_the_programme_ask_from_their_first_day_on(from_on, asks, as_owner):
    # The slide comes off at the check of 5 July.
    world = here.a_world(planes=1)
    rules = swaps.a_rule_set(needs_dual_release=True, programme="narrow-mp")
    with as_owner():
        RuleSet.objects.filter(pk=rules.pk).update(from_on=build.day(from_on))

    [fact] = world.gathered().needs.values()

    assert (fact.need.dual_release != "") is asks


def test_accepting_page_and_api_say_the_same_reason(two):
    need = here.need_at(two.propose(), two.aircraft[0])
    client = signed_in(two.clerk)

    with pytest.raises(Refused) as refused:
        ruling = here.ruling(need, two.spare)
        accept_pairing(by=two.clerk, ruling=ruling, at=here.AT, as_of=here.DAY)
    page = client.get("/allocation/", {"off": need.unit_off_id}).content.decode()
    asked = {"need": need.key, "unit": two.spare.pk}
    [told] = client.get("/api/v1/allocation/why", asked).json()["units"]

    assert [each.code for each in refused.value.refusals] == ["no_dual_release"]
    assert WORDS in refused.value.refusals[0].message and WORDS in page
    assert (told["may"], [each["code"] for each in told["against"]]) == (False, ["no_dual_release"])


def test_later_rules_make_a_kept_proposal_stale(two):
    before = stamp_of(here.DAY)
    swaps.a_rule_set(needs_dual_release=True)

    assert stamp_of(here.DAY) != before
