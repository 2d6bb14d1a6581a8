"""A shop that is late, a unit that is out of use: what that would do to the units proposed is what is found after it."""

from __future__ import annotations

import random
from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.models import Hold, ShopPromise
from equipment.stores.acts.shops import NewOrder, note_promise, send_to_shop
from scheduling.entries.foretold.moves import Reach, foresee
from scheduling.entries.foretold.spares import spare_moves, spares_now
from scheduling.models import Draft, ProposalRun
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.allocation.world import AT, DAY, JULY, a_world

pytestmark = pytest.mark.django_db


def at_the_shop(world, unit, promised):
    order = NewOrder(
        unit.pk,
        "Lee Shore",
        f"PO-{unit.pk}",
        world.base.pk,
        build.day("2027-05-20"),
        promised,
        ("OVERHAUL",),
    )
    return send_to_shop(by=world.clerk, order=order, act_id=uuid4(), at=AT, today=DAY)


def late(world, order, promised):
    return lambda: note_promise(
        by=world.clerk,
        order_id=order.pk,
        promised_on=promised,
        words="A part is late.",
        act_id=uuid4(),
        at=AT,
        today=DAY,
    )


def held(world, unit):
    said = NewHold(scope="unit", why="unapproved", words="Dropped.", unit_id=unit.pk)
    return lambda: hold_units(by=world.clerk, hold=said, act_id=uuid4(), at=AT)


@time_machine.travel(AT, tick=False)
@pytest.mark.parametrize("seed", range(1, 4))
def test_what_is_foretold_of_the_units_is_what_is_found_after_it(seed):
    told = random.Random(seed)
    world = a_world(planes=3)
    spares = [world.a_spare() for _ in range(told.randint(1, 2))]
    orders = [
        at_the_shop(world, world.a_spare(), JULY - timedelta(days=told.randint(1, 20)))
        for _ in range(2)
    ]
    changed = 0
    for _ in range(3):
        world.propose()
        if told.random() < 0.5:
            order = told.choice(orders)
            do = late(world, order, JULY + timedelta(days=told.randint(-12, 60)))
            reach = Reach(unit_ids=(), aircraft_ids=(), with_spares=True)
        else:
            unit = told.choice([*spares, *world.fitted.values()])
            do = held(world, unit)
            reach = Reach(unit_ids=(unit.pk,), with_spares=True)
        before, kept = spares_now(DAY, AT), (Hold.objects.count(), ShopPromise.objects.count())

        [moves] = foresee(do, reach, [DAY], at=AT)

        assert (Hold.objects.count(), ShopPromise.objects.count()) == kept  # nothing was kept
        assert spares_now(DAY, AT) == before
        do()
        world.propose()
        assert moves.spares == spare_moves(before, spares_now(DAY, AT))
        changed += not moves.spares.is_nothing
    assert changed


@time_machine.travel(AT, tick=False)
def test_a_removal_that_would_be_short_is_said_on_the_page_before_the_promise_is_noted():
    world = a_world(planes=1)
    order = at_the_shop(world, world.a_spare(), JULY - timedelta(days=10))
    world.propose()
    desk = signed_in(build.a_person("controller"))
    address = reverse("scheduling:what_if_promise", args=[order.pk])
    said = {"promised_on": (JULY + timedelta(days=20)).isoformat(), "words": "A part is late."}
    runs = ProposalRun.objects.count()

    page = desk.post(address, said)
    kept = desk.post(address, said | {"keep": "1", "draft": "The shop"})

    body = page.content.decode()
    assert "1 removal would be short." in body
    assert "none: short" in body
    assert (ShopPromise.objects.count(), ProposalRun.objects.count()) == (0, runs)
    assert kept.url == reverse("scheduling:draft", args=[Draft.objects.get().pk])
    assert "1 removal would be short." in desk.get(kept.url).content.decode()


@time_machine.travel(AT, tick=False)
def test_without_a_unit_another_takes_its_place_and_whoever_may_not_is_told():
    world = a_world(planes=1)
    first = world.a_spare()
    second = world.a_spare()
    world.propose()
    [covered] = spares_now(DAY, AT).values()
    [unit] = [each for each in (first, second) if each.serial_number in covered.unit]
    address = reverse("scheduling:what_if_without", args=[unit.pk])
    said = {"why": "unapproved", "words": "Dropped.", "document": ""}

    page = signed_in(build.a_person("controller")).post(address, said).content.decode()
    reader = signed_in(build.a_person("auditor")).post(address, said)

    assert "Units proposed" in page
    assert "1 would have another unit" in page
    assert "would be short" not in page
    assert reader.status_code == 422
    assert not Hold.objects.exists()
