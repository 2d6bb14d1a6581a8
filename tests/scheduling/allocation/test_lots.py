"""A lot of n pieces serves n needs, alike in proposal, shortage and float; what is set aside of it is a lot of its own."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st

from equipment.models import Reservation, Stay, Unit
from fleet.house.refusals import Refused
from scheduling.allocation.acts.decide import accept_pairing, free_pairing, lock_pairing
from scheduling.allocation.facts.decisions import Decisions
from scheduling.allocation.facts.lots import cut_lots
from scheduling.allocation.facts.supplies import SupplyFact
from scheduling.allocation.reads.float import floats_shown
from scheduling.allocation.reads.judged import ranked, why_not_pair
from scheduling.allocation.reads.kept import Wanted, around
from scheduling.allocation.reads.needs_page import needs_shown
from scheduling.allocation.reads.shortage import families_shown
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, unit_of
from scheduling.matching.solving.proposal import propose
from scheduling.models import OfferedUnit, ProposedNeed
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.scheduling import rules as on
from tests.scheduling.matching.generated import a_need, a_supply
from tests.sweeps import many

from . import world as here


@pytest.fixture
def vests(db):
    return a_cabin_of_vests()


def a_cabin_of_vests(planes=3, each=6, store=20):
    """Each aircraft has a bin with a lot of vests due in July; a lot of twenty is in the store."""
    base = build.a_station("QBAS")
    kind = build.a_kind("VEST")
    part = build.a_part("VB-20", kind=kind, is_lot=True)
    of_type = build.an_aircraft_type("BIN", capacity=6, kind=kind)
    on.a_rule("VEST-OVH", on.every(36, first_from="manufacture"), work="OVERHAUL", kind=kind)
    aircraft = [on.follows(build.an_aircraft(of_type=of_type, station=base)) for _ in range(planes)]
    build.a_fit(part, aircraft[0], "BIN")
    world = here.World(base, base, part, build.a_person("stores"), aircraft)
    for at, one in enumerate(aircraft):
        fitted = build.a_unit(
            part, serial_number=f"OLD-{at}", quantity=each, manufactured_on=build.day("2024-08-01")
        )
        build.installed(fitted, build.at_position(one, "BIN"), "2024-09-01")
        here.planned(one, "C1", here.JULY + timedelta(days=at), base)
        here.planned(one, "C2", here.NOVEMBER, base)
    if store:
        world.fitted["lot"] = world.a_spare(serial_number="LOT-9", quantity=store)
    return world


def needs(run):
    return list(ProposedNeed.objects.select_related("run").filter(run=run).order_by("on", "key"))


def accepted(world, need, unit):
    return accept_pairing(
        by=world.clerk, ruling=here.ruling(need, unit), at=here.AT, as_of=here.DAY
    )


def test_a_lot_of_twenty_serves_three_bins_of_six(vests):
    run = vests.propose()

    assert [(need.pieces, need.unit_id) for need in needs(run)] == [(6, vests.fitted["lot"].pk)] * 3
    assert {need.unit_words for need in needs(run)} == {"VB-20 S/N LOT-9 (6 of its 20)"}
    assert run.short == 0


def test_what_is_too_few_for_a_bin_is_short_in_all_figures_alike(db, program):  # noqa: F811
    world = a_cabin_of_vests(planes=3, store=16)
    run = world.propose()

    assert run.short == 1
    [family], [spares] = families_shown(run), floats_shown(run)
    assert (family.lacking, len(family.short), spares.lacking) == (1, 1, 1)
    assert (spares.have, spares.spares) == (2, 3)
    assert sum(month.short for month in family.months) == 1
    by_api = program("controller").get("/api/v1/allocation/needs").json()["results"]
    assert [row["pieces"] for row in by_api] == [6, 6, 6]


def test_a_lot_smaller_than_the_bin_says_how_many_are_needed(db):
    world = a_cabin_of_vests(planes=1, store=4)
    run = world.propose()
    [need] = needs(run)

    at = around(need)
    able, unable = ranked(at)
    [no] = [one for one in unable if one.offer.source == "store"]

    assert (able, need.unit_id) == ([], None)
    assert [one.code for one in no.against] == ["too_few_pieces"]
    assert no.sentences == ("VB-20 S/N LOT-9: 4 left, and 6 pieces of one lot are needed.",)


def test_accepting_sets_aside_as_many_pieces_as_the_bin_takes(vests):
    first, second, _ = needs(vests.propose())
    lot = vests.fitted["lot"]

    ruling = accepted(vests, first, lot)

    held = Reservation.objects.get()
    new = Unit.objects.get(pk=held.unit_id)
    assert (ruling.unit_id, new.split_from, new.serial_number) == (new.pk, lot, "LOT-9-2")
    assert {unit: count for unit, count in now(lot, new)} == {lot.pk: 14, new.pk: 6}
    run = vests.propose()
    assert [need.unit_id for need in needs(run)] == [new.pk, lot.pk, lot.pk]
    accepted(vests, second, lot)
    assert Reservation.objects.filter(ended_at=None).count() == 2


def now(*units):
    return Stay.objects.filter(
        unit__in=units, known__upper_inf=True, valid__upper_inf=True
    ).values_list("unit", "quantity")


def test_what_is_freed_stays_a_lot_of_its_own_and_serves_again(vests):
    first, *_ = needs(vests.propose())
    ruling = accepted(vests, first, vests.fitted["lot"])

    free_pairing(by=vests.clerk, ruling=here.ruling(first, ruling.unit), at=here.AT, as_of=here.DAY)

    run = vests.propose()
    assert run.short == 0
    assert ruling.unit_id in {need.unit_id for need in needs(run)}


def test_a_lot_is_held_to_several_needs_each_with_its_own_pieces(vests):
    lot = vests.fitted["lot"]
    third, second, _ = reversed(needs(vests.propose()))
    for need in (third, second):
        lock_pairing(by=vests.clerk, ruling=here.ruling(need, lot), at=here.AT, as_of=here.DAY)

    run = vests.propose()

    assert run.short == 0
    assert len(run.locked) == 2
    assert len({key for _, key in run.locked}) == 2


def test_a_refused_acceptance_splits_nothing(vests):
    first, *_ = needs(vests.propose())
    lot = vests.fitted["lot"]
    build.moved(lot, "quarantined", build.in_quarantine(vests.base), "2027-05-30")

    with pytest.raises(Refused, match="quarantine"):
        accepted(vests, first, lot)

    assert not Unit.objects.exclude(split_from=None).exists()


def test_every_offer_of_a_lot_is_judged_by_the_reasons_of_the_lot(vests):
    run = vests.propose()
    rows = OfferedUnit.objects.filter(run=run, source="store")
    assert [row.pieces for row in rows] == [6, 6, 6]
    for need in needs(run):
        at = around(need)
        assert why_not_pair(at, at.key_of(vests.fitted["lot"].pk)) == []


# --- a lot comes off, units by themselves may go there --------------------------------------------


@pytest.fixture
def bin_of_six(db):
    """Six vests of a lot come off; vests with numbers of their own may go there, and five are in the store."""
    world = a_cabin_of_vests(planes=1, store=0)
    single = build.a_part("VS-1", kind=build.a_kind("VEST"))
    build.a_fit(single, world.aircraft[0], "BIN")
    for _ in range(5):
        world.a_spare(part=single)
    return world


def test_six_pieces_that_come_off_are_six_needs_each_with_its_unit(bin_of_six, program):  # noqa: F811
    run = bin_of_six.propose()

    assert [need.key.rsplit(") ")[1] for need in needs(run)] == [f"{at} of 6" for at in range(1, 7)]
    units = [need.unit_id for need in needs(run) if need.unit_id]
    assert len(units) == len(set(units)) == 5
    assert (run.needs, run.short) == (6, 1)
    [family], [spares] = families_shown(run), floats_shown(run)
    assert (family.lacking, spares.lacking, spares.have, spares.spares) == (1, 1, 5, 6)


def test_each_of_the_six_is_accepted_and_freed_by_itself(bin_of_six, client):
    first, second, *_ = needs(bin_of_six.propose())
    unit = Unit.objects.get(pk=first.unit_id)
    accepted(bin_of_six, first, unit)

    run = bin_of_six.propose()
    states = [shown.state for shown in needs_shown(run, Wanted(), 1).needs]
    assert (states.count("set_aside"), states.count("proposed"), states.count("short")) == (1, 4, 1)
    assert needs_shown(run, Wanted(), 1).counts == {"short": 1, "proposed": 4, "set_aside": 1}
    accepted(bin_of_six, second, Unit.objects.get(pk=second.unit_id))
    client.force_login(bin_of_six.clerk)
    page = client.get(reverse("scheduling:allocation"), {"off": second.off})
    assert page.context["told"].shown.row.key == second.key
    assert page.context["told"].shown.accepted.unit_id == second.unit_id

    free_pairing(by=bin_of_six.clerk, ruling=here.ruling(first, unit), at=here.AT, as_of=here.DAY)

    held = Reservation.objects.filter(ended_at=None)
    assert list(held.values_list("unit", flat=True)) == [second.unit_id]


@pytest.mark.parametrize("off", ["x", "1-x", "-1", "9" * 30, "1-" + "9" * 30, ""])
def test_an_address_that_names_nothing_is_told_so(bin_of_six, client, off):
    bin_of_six.propose()
    client.force_login(bin_of_six.clerk)

    page = client.get(reverse("scheduling:allocation"), {"off": off})

    assert (page.status_code, page.context["is_gone"]) == (200, bool(off))


# --- cutting alone ----------------------------------------------------------------------------


def cut(sizes, lots):
    wanted = [
        a_need(f"n{at}", on=a_need().on + timedelta(days=at), quantity=size)
        for at, size in enumerate(sizes)
    ]
    whole = [
        SupplyFact(a_supply(str(at + 1), quantity=count), at + 1, "VEST", (), is_lot=True)
        for at, count in enumerate(lots)
    ]
    supplies, _, _ = cut_lots(wanted, whole, Decisions())
    facts = Facts(tuple(wanted), tuple(fact.supply for fact in supplies))
    return facts, propose(columns_of(facts))


SIZES = st.lists(st.integers(1, 6), max_size=6)
LOTS = st.lists(st.integers(1, 20), max_size=4)


@settings(max_examples=many(400, 60), deadline=None)
@given(size=st.integers(1, 6), count=st.integers(0, 7), lots=LOTS)
def test_needs_of_one_size_are_met_as_many_as_can_be(size, count, lots):
    _, proposal = cut([size] * count, lots)

    assert len(proposal.pairs) == min(count, sum(lot // size for lot in lots))


@settings(max_examples=many(400, 60), deadline=None)
@given(sizes=SIZES, lots=LOTS)
def test_no_lot_serves_more_pieces_than_it_has(sizes, lots):
    facts, proposal = cut(sizes, lots)

    asked = {need.key: need.quantity for need in facts.needs}
    taken = dict.fromkeys(range(1, len(lots) + 1), 0)
    for need, key in proposal.pairs.items():
        taken[unit_of(key)] += asked[need]
    assert all(taken[unit] <= lots[unit - 1] for unit in taken)
    if sizes and lots and min(sizes) <= max(lots):
        assert proposal.pairs
