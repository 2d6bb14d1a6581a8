"""How many spares are short is one figure, of shortage and float, on pages and by API, over small random worlds."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from equipment.models import Fit, StoresRule, Title
from scheduling.allocation.reads.float import chances_shown, floats_shown
from scheduling.allocation.reads.shortage import families_shown
from scheduling.allocation.reads.to_own import to_own
from scheduling.models import ProposedNeed
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.sweeps import many

from . import world as here

pytestmark = pytest.mark.django_db

#: What can be the matter with a spare: each keeps it from some needs, or from all.
SPARES = {
    "good": {},
    "old": {"made": "2024-08-01"},
    "without a certificate": {"has_certificate": False},
    "elsewhere": {"far": True},
    "kept for another": {"restriction": "MSN 99999 only"},
    "due back soon": {"return_by": here.DAY + timedelta(days=10)},
    "of no known date": {"made": None},
}


def a_spare(world, what):
    told = dict(SPARES[what])
    title = {name: told.pop(name) for name in ("restriction", "return_by") if name in told}
    if told.pop("far", False):
        told["station"] = world.outstation
    if told.get("made", "") is None:
        told.pop("made")
        unit = build.a_unit(world.slide, manufactured_on=None)
        build.moved(unit, "received", build.in_store(world.base), "2027-03-01")
        here.certified(unit)
        return
    unit = world.a_spare(**told)
    if title:
        Title.objects.create(
            unit=unit,
            sort="pool_loan",
            owner="Pool",
            from_on=build.day("2027-01-01"),
            recorded_at=here.AT,
            **title,
        )


@pytest.mark.sweep
@settings(
    max_examples=many(15, 6),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    planes=st.integers(1, 3),
    spares=st.lists(st.sampled_from(sorted(SPARES)), max_size=4),
    turn=st.sampled_from([20, 400]),
)
def test_both_say_one_figure_in_any_small_world(db, program, planes, spares, turn):  # noqa: F811
    with build.undone():
        world = here.a_world(planes=planes)
        here.a_rule_of_stock(turn_days=turn)
        for what in spares:
            a_spare(world, what)
        run = world.propose()

        by_float = {one.name: one.lacking for one in floats_shown(run)}
        by_shortage = {one.name: one.lacking for one in families_shown(run)}
        by_need = {one.name: len(one.short) for one in families_shown(run)}
        by_month = {one.name: sum(m.short for m in one.months) for one in families_shown(run)}

        assert by_float == by_shortage == by_need == by_month
        assert sum(by_float.values()) == run.short
        for one in floats_shown(run):
            used = ProposedNeed.objects.filter(run=run, family=one.name, unit__in=_spares())
            assert used.count() <= one.have <= len(spares)


def _spares():
    return build.Unit.objects.filter(place__sort="store").values("pk")


@pytest.mark.parametrize(
    ("what", "have", "short"),
    [("good", 1, 1), ("old", 0, 2), ("without a certificate", 0, 2), ("due back soon", 0, 2)],
)
def test_a_unit_counts_for_both_or_for_neither(program, what, have, short):  # noqa: F811
    world = here.a_world()
    a_spare(world, what)
    world.propose()
    client = program("controller")

    (planned,) = client.get("/api/v1/allocation/float").json()["planned"]
    (family,) = client.get("/api/v1/allocation/shortage").json()["results"]

    assert (planned["have"], planned["short"]) == (have, short)
    assert (family["lacking"], len(family["short"])) == (short, short)


def test_what_to_own_is_the_plan_and_chance_with_both_parts(program):  # noqa: F811
    world = here.a_world()
    a_spare(world, "good")
    here.a_rule_of_stock(turn_days=73, unplanned_a_year=5, fill_rate="0.9")
    world.propose()
    client = program("controller")

    found = client.get("/api/v1/allocation/float").json()

    # Two are out at once by the plan, as the float proves; Poisson with mean 1 asks three (0.9197).
    assert found["to_own"] == [
        {"kind": "SLIDE", "planned": 2, "unforeseen": 3, "to_own": 5, "have": 1, "missing": 4}
    ]
    assert sum(one["spares"] for one in found["planned"]) == 2
    assert [one["spares"] for one in found["unforeseen"]] == [3]


def test_a_kind_without_a_rate_says_so_and_one_without_a_plan_is_there_too():
    world = here.a_world()
    run = world.propose()
    [slides] = to_own(floats_shown(run), chances_shown())
    assert (slides.planned, slides.unforeseen, slides.total) == (2, None, 2)
    StoresRule.objects.create(
        kind=build.a_kind("VEST"), turn_days=73, unplanned_a_year=5, fill_rate="0.9"
    )

    found = {one.kind: one for one in to_own(floats_shown(run), chances_shown())}

    assert (found["VEST"].planned, found["VEST"].total, found["VEST"].missing) == (0, 3, 3)


def test_hands_and_doors_without_fits_are_not_mixed_in_silence(program):  # noqa: F811
    world = here.a_world()
    client = program("controller")
    world.propose()
    [listed] = client.get("/api/v1/allocation/float").json()["planned"]
    assert listed["unlisted"] == ""
    Fit.objects.all().delete()
    world.propose()

    for page, rows in (("float", "planned"), ("shortage", "results")):
        [family] = client.get(f"/api/v1/allocation/{page}").json()[rows]
        assert "No fits are listed for D1L-SLIDE" in family["unlisted"]
