"""A closed shop is said at its field; a test without its method or results is not taken; few orders are told honestly."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import ShopOrder, ShopReturn, Unit
from equipment.stores.acts.shop_days import ShopSaid, say_shop_days
from equipment.stores.reads.shop_loop import loop_history
from equipment.stores.reads.turn_times import turn_time
from fleet.house.refusals import Refused
from scheduling.models import Amount, Clock, Limit, WorkDone
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling import rules as on

from .test_shop_loop import back, sent
from .world import AT, a_line, a_stocked_unit, a_work, code_of, received, works

pytestmark = pytest.mark.django_db
DAY = build.day


@pytest.fixture
def unit(db):
    works()
    build.the_hours()
    return a_stocked_unit()


def said(sort="closed", from_on="2027-04-20", until_on=None, shop="Lee Shore", **more):
    days = ShopSaid(shop, sort, DAY(from_on), until_on and DAY(until_on), **more)
    return say_shop_days(by=build.a_person("stores"), days=days, act_id=uuid4(), at=AT)


def test_nothing_is_sent_to_a_closed_shop_and_its_field_says_why(unit):
    said(until_on="2027-05-20", shop="lee shore", words="Moving.")

    with pytest.raises(Refused) as refused:
        sent(unit)

    [told] = refused.value.refusals
    assert (told.code, told.field) == ("shop_closed", "shop")
    assert "is closed from 20 Apr 2027 to 20 May 2027 (Moving)" in told.message
    assert not ShopOrder.objects.exists()
    assert Unit.objects.get(pk=unit.pk).place.sort == "store"


@pytest.mark.parametrize(
    "days",
    [
        [{"until_on": "2027-04-30"}],
        [{"from_on": "2027-05-02"}],
        [{}, {"sort": "open", "from_on": "2027-04-25"}],
        [{"shop": "Lee Shore Overhaul"}],
    ],
    ids=["over by then", "closed later", "open again", "another shop"],
)
def test_a_shop_that_is_open_then_takes_it(unit, days):
    for each in days:
        said(**each)

    assert sent(unit).shop == "Lee Shore"


def test_days_that_run_backwards_are_refused(unit):
    assert code_of(said, until_on="2027-04-01") == "days_backwards"


def test_on_the_page_the_words_stand_at_the_shop_and_nothing_typed_is_lost(unit):
    said()
    page = signed_in(build.a_person("stores"))
    sending = {
        "shop": "Lee Shore",
        "number": "PO-9",
        "station": unit.place.station_id,
        "sent_on": "2027-05-01",
        "promised_on": "2099-01-01",
    }

    answer = page.post(reverse("equipment:stores_send", args=[unit.pk]), sending)

    assert answer.context["form"].errors["shop"][0].startswith("Lee Shore is closed from")
    assert 'value="PO-9"' in answer.content.decode()


# --- a test's method and results --------------------------------------------------------------


@pytest.fixture
def tested(unit):
    """The next test is five years after one by water, three after one by weight."""
    on.a_rule("BOTTLE-TEST", on.every(36), work="TEST", kind=unit.part_number.kind)
    clock = Clock.objects.get(limit=Limit.objects.get(code="BOTTLE-TEST"))
    for seq, (months, method) in enumerate(((60, "water"), (36, "weight")), 2):
        Amount.objects.create(clock=clock, seq=seq, value=months, method=method)
    return unit


A_TEST = {"certifies": {"Overhauled": ("TEST",)}}


def test_a_test_comes_back_with_its_method_and_its_results_or_is_asked_for_them(tested):
    order = sent(tested, works=("TEST",))
    work = a_work("TEST")
    with pytest.raises(Refused, match=r"by which method TEST was done.*water or weight"):
        back(order, works=(work,), **A_TEST)
    done = a_work("TEST", method="water")
    with pytest.raises(Refused, match="results and measures of Test"):
        back(order, works=(done,), **A_TEST)
    assert not ShopReturn.objects.exists()
    assert not WorkDone.objects.exists()

    back(order, works=(done,), results="3000 psi held 60 s, permanent expansion 2 %", **A_TEST)

    assert WorkDone.objects.get().method == "water"
    assert ShopReturn.objects.get().results.startswith("3000 psi")


def test_receiving_asks_for_the_method_too(tested):
    build.a_part("HS-1", kind=tested.part_number.kind)
    assert code_of(received, a_line(works=(a_work("TEST"),)), **A_TEST) == "method_missing"

    received(a_line(works=(a_work("TEST", method="weight"),)), **A_TEST)


def test_a_work_whose_date_no_method_chooses_needs_none(unit):
    assert back(sent(unit)).works == ["OH"]


# --- few orders -------------------------------------------------------------------------------


def test_of_few_orders_no_nine_of_ten_is_told():
    three, ten, none = (turn_time(days, rule_days=30) for days in ([28, 40, 83], range(1, 11), []))

    assert (three.usual, three.spread, three.tells_nine_of_ten) == (40, "28 to 83", False)
    assert (ten.high, ten.spread, ten.tells_nine_of_ten) == (9, "1 to 10", True)
    assert (none.usual, none.spread, none.is_learned) == (30, "", False)
    two = turn_time([28, 83], rule_days=25)
    assert (two.usual, two.spread, two.is_learned) == (25, "28 to 83", False)


def test_a_price_is_told_with_its_spread_in_its_currency(unit):
    for at, (price, currency) in enumerate(
        (("100", "EUR"), ("300", "EUR"), ("999", "USD"), ("200", "EUR"))
    ):
        order = sent(a_stocked_unit(unit.place.station, unit.part_number), number=f"PO-{at}")
        back(order, works=(), price=price, currency=currency)

    [loop] = loop_history()

    assert [str(loop.last_price), loop.currency] == ["200.00", "EUR"]
    assert [str(loop.least_price), str(loop.most_price), loop.prices] == ["100.00", "300.00", 3]
