"""A proposal is kept whole, people decide, and what no longer holds is proposed anew."""

from __future__ import annotations

from copy import deepcopy
from datetime import timedelta
from functools import partial
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction

from equipment.models import Reservation, Title, UnitTag
from fleet.house.refusals import Refused
from fleet.models import Notice
from scheduling.allocation.acts.decide import (
    accept_pairing,
    forbid_pairing,
    free_pairing,
    lock_pairing,
)
from scheduling.allocation.acts.make import latest_run, make_proposal, renew_if_stale
from scheduling.allocation.reads import kept
from scheduling.allocation.reads import shortage as shortage_page
from scheduling.allocation.reads.float import chances_shown, floats_shown
from scheduling.allocation.reads.judged import effect_of, judged, ranked
from scheduling.models import PairingRuling, ProposalRun, ProposedNeed
from tests import builders as build
from tests.equipment.stores.world import code_of

from . import world as here

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def a_world(one_stage):
    return here.a_world()


@pytest.fixture
def world(a_world, db):
    return deepcopy(a_world)


def decided(act, world, need, unit, by=None, **more):
    when = {"at": here.AT + timedelta(hours=1), "as_of": here.DAY}
    return act(by=by or world.clerk, ruling=here.ruling(need, unit, **more), **when)


accepted, locked = partial(decided, accept_pairing), partial(decided, lock_pairing)
forbidden, freed = partial(decided, forbid_pairing), partial(decided, free_pairing)


def now_at(aircraft):
    return here.need_at(latest_run(), aircraft)


def tagged(unit, sort="unserviceable"):
    return UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort=sort,
        why="defect",
        tagged_at=here.AT - timedelta(hours=2),
        recorded_at=here.AT,
        recorded_by=build.a_person("stores"),
    )


def test_two_needs_and_one_unit_leave_one_short(world):
    spare = world.a_spare()

    run = world.propose()

    assert (run.needs, run.short) == (2, 1)
    [met] = ProposedNeed.objects.filter(run=run, unit=spare.pk)
    assert met.unit_words == f"HS-100 S/N {spare.serial_number}"


def test_what_became_incomplete_since_the_proposal_is_not_accepted(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])
    build.PartPosition.objects.create(
        part_number=world.slide, code="LIGHT", name="Light", kind=build.a_kind()
    )

    assert code_of(accepted, world, need, spare) == "unit_incomplete"
    assert not Reservation.objects.exists()


def test_accepting_sets_the_unit_aside_for_the_position_and_the_day(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    ruling = accepted(world, need, spare)

    held = Reservation.objects.get()
    assert ruling.reservation == held
    assert (held.unit_id, held.place_id, held.need_on) == (spare.pk, need.place_id, here.JULY)
    assert now_at(world.aircraft[0]).unit_id == spare.pk
    assert now_at(world.aircraft[1]).unit_id is None


def test_the_same_act_twice_is_done_once(world):
    spare, act_id = world.a_spare(), uuid4()
    need = here.need_at(world.propose(), world.aircraft[0])

    first, again = (accepted(world, need, spare, act_id=act_id) for _ in range(2))

    assert first == again
    assert Reservation.objects.count() == PairingRuling.objects.count() == 1


def test_an_act_id_used_for_something_else_is_refused(world):
    spare, act_id = world.a_spare(), uuid4()
    run = world.propose()
    forbidden(world, here.need_at(run, world.aircraft[0]), spare, act_id=act_id)

    need = now_at(world.aircraft[1])

    assert code_of(forbidden, world, need, spare, act_id=act_id) == "act_id_used"


def test_the_second_clerk_sees_who_has_the_unit_and_what_is_next_best(world):
    best, next_best = world.a_spare(), world.a_spare(made="2027-02-10")
    run = world.propose()
    accepted(world, here.need_at(run, world.aircraft[0]), best)

    with pytest.raises(Refused) as refused:
        accepted(world, now_at(world.aircraft[1]), best, by=build.a_person("stores"))

    assert refused.value.code == "reserved_elsewhere"
    said = refused.value.message
    assert world.clerk.shown_name in said
    assert f"Next best: HS-100 S/N {next_best.serial_number}" in said
    assert now_at(world.aircraft[1]).unit_id == next_best.pk


def test_a_need_has_one_unit(world):
    first, second = world.a_spare(), world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])
    accepted(world, need, first)

    assert code_of(accepted, world, need, second) == "need_is_met"


@pytest.mark.parametrize("role", ["technician", "auditor", "inspector"])
def test_others_than_stores_and_controllers_decide_nothing(world, role):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])

    for act in (accepted, locked, forbidden, freed):
        assert code_of(act, world, need, spare, by=build.a_person(role)) == "not_permitted"


def test_what_may_not_be_issued_may_not_be_accepted(world):
    bad, good = world.a_spare(has_certificate=False), world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])
    assert code_of(accepted, world, need, bad) == "no_certificate"

    tagged(good)

    assert code_of(accepted, world, need, good) == "unit_unserviceable"
    assert not Reservation.objects.exists()


def test_a_unit_that_is_to_come_can_be_locked_but_not_accepted(world):
    spare = world.a_spare()
    build.moved(spare, "sent", build.SHOP, "2027-05-10")
    need = here.need_at(world.propose(), world.aircraft[1])
    assert code_of(accepted, world, need, spare) == "unit_not_in_store"

    locked(world, need, spare)

    assert now_at(world.aircraft[1]).unit_id == spare.pk
    assert now_at(world.aircraft[0]).unit_id is None


def test_what_is_forbidden_is_not_proposed_until_it_is_freed(world):
    spare = world.a_spare()
    first, second = (here.need_at(world.propose(), one) for one in world.aircraft)
    for need in (first, second):
        forbidden(world, need, spare)
    assert latest_run().short == 2

    freed(world, second, spare)

    assert now_at(world.aircraft[1]).unit_id == spare.pk


def test_freeing_what_was_accepted_gives_the_unit_back(world):
    spare = world.a_spare()
    need = here.need_at(world.propose(), world.aircraft[0])
    accepted(world, need, spare)

    freed(world, need, spare)

    assert Reservation.objects.get().ended_how == "freed"
    assert code_of(freed, world, need, spare) == "nothing_decided"


def test_a_unit_that_fails_is_freed_and_whoever_accepted_it_is_told(world):
    spare, other = world.a_spare(), world.a_spare(made="2027-02-10")
    accepted(world, here.need_at(world.propose(), world.aircraft[0]), spare)
    tagged(spare)

    make_proposal(as_of=here.DAY, at=here.AT + timedelta(hours=2))

    assert Reservation.objects.get().ended_how == "failed"
    [notice] = Notice.objects.filter(to=world.clerk)
    assert "no longer set aside" in notice.words
    assert str(spare.serial_number) in notice.words
    assert other.pk in {now_at(one).unit_id for one in world.aircraft}


def test_a_check_that_moves_takes_what_still_fits_along(world):
    spare = world.a_spare()
    accepted(world, here.need_at(world.propose(), world.aircraft[0]), spare)
    later = here.JULY + timedelta(days=7)
    here.planned(world.aircraft[0], "C1", here.JULY, world.base, is_cancelled=True)
    here.planned(world.aircraft[0], "C1", later, world.base)

    make_proposal(as_of=here.DAY, at=here.AT + timedelta(hours=2))

    held = Reservation.objects.get()
    assert (held.need_on, held.ended_at) == (later, None)
    assert "still covers it" in Notice.objects.get(to=world.clerk).words


def test_a_proposal_is_renewed_only_when_facts_differ(world):
    world.a_spare()
    world.propose()
    assert renew_if_stale(as_of=here.DAY, at=here.AT) is None

    here.a_way(world.base, world.outstation)

    assert kept.is_stale(kept.current(), here.DAY)
    assert renew_if_stale(as_of=here.DAY, at=here.AT) is not None
    assert not kept.is_stale(kept.current(), here.DAY)


def test_a_proposal_that_breaks_off_leaves_the_one_before(world, monkeypatch):
    world.a_spare()
    before = world.propose()

    def broken(rows, **options):
        raise DatabaseError("the server went away")

    with monkeypatch.context() as patch:
        patch.setattr(ProposedNeed.objects, "bulk_create", broken)
        with pytest.raises(DatabaseError), transaction.atomic():
            make_proposal(as_of=here.DAY, at=here.AT)

    assert kept.current() == before
    assert ProposalRun.objects.count() == 1


def test_a_ruling_is_never_changed(world):
    spare = world.a_spare()
    made = forbidden(world, here.need_at(world.propose(), world.aircraft[0]), spare)

    with pytest.raises(DatabaseError), transaction.atomic():
        PairingRuling.objects.filter(pk=made.pk).update(sort="lock")


def test_what_a_decision_would_change_is_said_before_it_is_taken(world):
    spare = world.a_spare()
    run = world.propose()
    met = ProposedNeed.objects.select_related("run").get(run=run, unit=spare.pk)
    other = ProposedNeed.objects.select_related("run").get(run=run, unit=None)

    words = effect_of(other, str(spare.pk), "accept").sentences

    unit = f"HS-100 S/N {spare.serial_number}"
    assert f"{other.key} is met, by {unit}." in words
    assert f"{met.key} becomes short: {unit} is no longer proposed for it." in words
    assert effect_of(met, str(spare.pk), "accept").sentences == ("Nothing else changes.",)


def test_every_unit_says_why_or_why_not(world):
    good, bare = world.a_spare(), world.a_spare(has_certificate=False)
    at = kept.around(here.need_at(world.propose(), world.aircraft[0]))

    able, unable = ranked(at)

    assert [one.offer.unit_id for one in able] == [good.pk]
    assert judged(at, str(bare.pk)).against[0].code == "no_certificate"
    # the two fitted ones come back too late
    assert {code.code for one in unable for code in one.against} == {
        "no_certificate",
        "arrives_late",
    }


def test_a_short_need_names_its_cures_the_cheapest_first(world):
    here.a_way(world.base, world.outstation)
    world.a_spare(world.outstation)
    here.a_rule_of_stock(hurry_days=20)
    sent = world.a_spare()
    build.moved(sent, "sent", build.SHOP, "2027-05-26")  # back on 10 July, five days late

    family = shortage_page.families_shown(world.propose())[0]

    assert [len(family.short), family.needs] == [2, 2]
    sorts = [cure.sort for cure in family.short[0].cures]
    assert sorts == ["hurry", "lend", "move_check"]
    assert "short" in family.words


def test_the_float_is_as_many_as_the_needs_that_prove_it(world):
    [family] = floats_shown(world.propose())

    assert (family.spares, family.have, family.lacking) == (2, 0, 2)
    assert len(family.proof) == family.spares
    served = [out.key for lane in family.lanes for out in lane.outs]
    assert len(family.lanes) == family.spares
    assert sorted(served) == sorted(key for chain in family.chains for key in chain)
    assert sum(out.is_proof for lane in family.lanes for out in lane.outs) == family.spares
    assert family.on == here.JULY
    assert sorted(key for chain in family.chains for key in chain) == sorted(
        f"{one.registration} D1L-SLIDE" for one in world.aircraft
    )


def test_a_spare_that_its_owner_keeps_for_others_is_not_among_those_at_hand(world):
    spare = world.a_spare()
    [family] = floats_shown(world.propose())
    assert (family.have, family.lacking) == (1, 1)
    title = {"sort": "pool_loan", "owner": "Pool", "restriction": "MSN 99999 only"}
    Title.objects.create(unit=spare, from_on=build.day("2027-01-01"), recorded_at=here.AT, **title)

    [family] = floats_shown(world.propose())

    assert (family.have, family.lacking) == (0, 2)


def test_a_spare_serves_again_after_the_turn_time(world):
    here.planned(world.aircraft[1], "C1", here.JULY, world.base, is_cancelled=True)
    here.planned(world.aircraft[1], "C0", here.DAY, world.base)
    here.a_rule_of_stock(turn_days=20)

    [family] = floats_shown(world.propose())

    assert (family.needs, family.spares) == (2, 1)


def test_chance_is_said_apart_by_the_rule_of_its_kind(world):
    here.a_rule_of_stock(turn_days=73, unplanned_a_year=5, fill_rate="0.9")

    [one] = chances_shown()

    assert one.mean == pytest.approx(1.0)
    # Poisson with mean 1: at most two away in 0.9197 of removals, at most one in 0.7358
    assert one.cover.spares == 3
    assert one.cover.fill_rate == pytest.approx(0.9197, abs=1e-4)
