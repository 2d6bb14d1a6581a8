"""What the stores' pages ask the database: so many questions at most, and no more where more lies."""

from __future__ import annotations

from copy import copy
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from equipment.models import Certificate, Hold, Reservation, ShopOrder, Title, UnitTag
from fleet.house.pages import today
from fleet.models import User
from tests import builders as build
from tests.equipment.line_world import crew, signed_in
from tests.scheduling.rules import a_rule, once

from . import world

pytestmark = pytest.mark.django_db
LONG_AGO = build.instant("2025-03-05 10:00")


@pytest.fixture
def store(stage):
    """The stage of the module, its newest unit this test's own."""
    return copy(stage)


@pytest.fixture(scope="module")
def stage(one_stage):
    """A store with a unit in each state, under a limit that all of them are past."""
    world.works()
    crew()
    store = Store()
    a_rule("OLD-1", once("months", 1, "2020-01-01"), work="OH", parts=[store.part])
    store.one_more_of_each()
    return store


class Store:
    """The stores of one station, and who looks at their pages."""

    def __init__(self):
        self.part, self.station = build.a_part("HS-1"), build.a_station("LYD")
        self.clerk = User.objects.get(username="stores")
        self.desk = signed_in(self.clerk)

    def one_more_of_each(self):
        """One unit more in each state that the clerk's pages list."""
        self.a_unit()
        self.tag(self.a_unit(), "defect")
        self.tag(self.a_unit(), "discharged")
        self.hold(self.a_unit())
        self.lend(self.a_unit())
        self.set_aside(self.a_unit())
        self.sent(self.a_unit())
        self.newest = self.a_unit(build.in_quarantine(self.station))
        self.a_unit(build.in_quarantine(self.station), has_certificate=False)

    def a_unit(self, at=None, *, has_certificate=True):
        unit = build.a_unit(self.part)
        build.moved(unit, "received", at or build.in_store(self.station), "2025-03-01")
        if has_certificate:
            Certificate.objects.create(
                unit=unit,
                form="Form 1",
                tracking_number=f"C-{unit.pk}",
                issuer="Lee Shore Overhaul",
                issued_on=build.day("2025-02-01"),
                status="Overhauled",
                recorded_at=LONG_AGO,
            )
        unit.refresh_from_db()
        return unit

    def tag(self, unit, why):
        UnitTag.objects.create(
            act_id=uuid4(),
            unit=unit,
            sort="unserviceable",
            why=why,
            tagged_at=LONG_AGO,
            recorded_at=LONG_AGO,
            recorded_by=self.clerk,
        )

    def hold(self, unit):
        Hold.objects.create(
            act_id=uuid4(),
            scope="unit",
            unit=unit,
            why="papers",
            words="A stamp is missing",
            held_at=LONG_AGO,
            held_by=self.clerk,
        )

    def lend(self, unit):
        Title.objects.create(
            unit=unit,
            sort="pool_loan",
            owner="Skerry Air",
            from_on=build.day("2025-03-01"),
            restriction="only Q-AVEN",
            recorded_at=LONG_AGO,
        )

    def set_aside(self, unit):
        Reservation.objects.create(
            act_id=uuid4(),
            unit=unit,
            place_id=unit.place_id,
            need_on=today() + timedelta(days=9),
            reserved_at=LONG_AGO,
            reserved_by=self.clerk,
        )

    def sent(self, unit):
        moved = build.moved(unit, "sent", build.SHOP, "2025-05-01")
        ShopOrder.objects.create(
            act_id=uuid4(),
            unit=unit,
            movement_id=moved.movement_id,
            shop="Lee Shore Overhaul",
            number=f"PO-{unit.pk}",
            station=self.station,
            sent_on=build.day("2025-05-01"),
            promised_on=build.day("2025-06-01"),
            recorded_at=LONG_AGO,
            recorded_by=self.clerk,
        )

    def page(self, name, *keys):
        return self.desk.get(reverse(f"equipment:stores{name}", args=keys))

    def questions(self, name, *keys):
        self.page(name, *keys)  # What is kept of the rules is read once.
        with CaptureQueriesContext(connection) as asked:
            assert self.page(name, *keys).status_code == 200
        return len(asked)


# Each page with its ceiling. What the due engine copies out of the tables is not counted among them.
LISTS = {"": 73, "_waiting": 38, "_set_aside": 32, "_stock": 34, "_shop": 18}


@pytest.mark.parametrize(("page", "most"), LISTS.items(), ids=[name or "day" for name in LISTS])
def test_a_list_asks_no_more_where_more_lies(store, page, most):
    few = store.questions(page)

    store.one_more_of_each()

    assert store.questions(page) == few
    assert few <= most


OF_A_UNIT = {"_inspect": 57, "_received": 59, "_unit": 43, "_send": 69, "_tag": 39}


@pytest.mark.parametrize(("page", "most"), OF_A_UNIT.items(), ids=OF_A_UNIT)
def test_a_units_page_asks_no_more_where_more_lies(store, page, most):
    few = store.questions(page, store.newest.pk)

    store.one_more_of_each()

    assert store.questions(page, store.newest.pk) == few
    assert few <= most


def test_the_pages_that_are_counted_do_list_each_state(store):
    stock = store.page("_stock").content.decode()
    day = store.page("").content.decode()

    for words in ("is in quarantine", "is tagged", "is held", "who restricts it", "past its limit"):
        assert words in stock
    for words in ("Chase the shop", "Send it to the shop", "Clear why it is here"):
        assert words in day
