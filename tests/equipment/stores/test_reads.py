from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import StoresRule, Title
from equipment.stores.acts.returns import ShopBack, return_from_shop
from equipment.stores.acts.shops import NewOrder, note_promise, send_to_shop
from equipment.stores.reads.clerk_day import clerk_day, total_of
from equipment.stores.reads.owed import owed
from equipment.stores.reads.shop_loop import at_shops, loop_history
from equipment.stores.reads.stock import StockAsked, counts, stock
from tests import builders as build
from tests.equipment.segregation.test_segregated_movements import held, tagged

from .world import (
    AT,
    CERTIFIES,
    TODAY,
    a_line,
    a_paper,
    a_stocked_unit,
    certified,
    received,
    set_aside,
    works,
)

pytestmark = pytest.mark.django_db
DAY = build.day


@pytest.fixture
def station(db):
    works()
    build.a_part("HS-1")
    return build.a_station("LYD")


def sent(unit, station, number, sent_on="2027-05-01", promised_on="2027-06-15"):
    order = NewOrder(
        unit.pk, "Lee Shore", number, station.pk, DAY(sent_on), DAY(promised_on), ("OH",)
    )
    return send_to_shop(
        by=build.a_person("stores"), order=order, act_id=uuid4(), at=AT, today=DAY(sent_on)
    )


def returned(order, on, **more):
    back = ShopBack(
        order.pk,
        DAY(on),
        "done",
        paper=a_paper(tracking_number=order.number, issued_on=DAY(on)),
        printed_serial=order.unit.serial_number,
        certifies=CERTIFIES,
        **more,
    )
    return return_from_shop(by=build.a_person("stores"), back=back, act_id=uuid4(), at=AT)


def test_the_stock_list_says_of_each_unit_where_it_lies_and_in_which_state(station):
    good, bad, doubted, kept = (a_stocked_unit(station) for _ in range(4))
    tagged(bad)
    held(doubted)
    set_aside(kept, kept.place_id)
    bare = a_stocked_unit(station, has_certificate=False)
    received(a_line(), station=station)

    rows = stock(StockAsked(station="LYD"), on=TODAY, at=AT)

    states = {row.unit_id: row.state for row in rows}
    assert [states[unit.pk] for unit in (good, bad, doubted, kept, bare)] == [
        "available",
        "unserviceable",
        "held",
        "reserved",
        "no_papers",
    ]
    assert counts(rows) == {
        "quarantined": 1,
        "held": 1,
        "unserviceable": 1,
        "expired": 0,
        "incomplete": 0,
        "unknown": 0,
        "no_papers": 1,
        "restricted": 0,
        "issued": 0,
        "reserved": 1,
        "available": 1,
    }
    assert all(bool(row.reasons) != row.is_available for row in rows)


def test_a_long_stock_list_asks_no_more_than_a_short_one(station):
    def questions():
        with CaptureQueriesContext(connection) as asked:
            stock(StockAsked(), on=TODAY, at=AT)
        return len(asked)

    a_stocked_unit(station)
    few = questions()
    for _ in range(5):
        a_stocked_unit(station)

    assert questions() == few


def test_orders_past_their_latest_promise_are_late_by_so_many_days(station):
    late, soon = a_stocked_unit(station), a_stocked_unit(station)
    order = sent(late, station, "PO-1", promised_on="2027-05-10")
    sent(soon, station, "PO-2")
    note_promise(
        by=build.a_person("stores"),
        order_id=order.pk,
        promised_on=DAY("2027-05-28"),
        words="Seal late",
        act_id=uuid4(),
        at=AT,
        today=DAY("2027-05-10"),
    )

    [one] = [each for each in at_shops(TODAY) if each.is_late]

    assert (one.unit_id, one.days_late, one.last_words) == (late.pk, 4, "Seal late")
    assert [each.unit_id for each in at_shops(TODAY)] == [late.pk, soon.pk]


def test_the_turn_time_is_the_operators_until_three_cases_are_known_and_the_last_price_is_kept(
    station,
):
    part = build.a_part()
    StoresRule.objects.create(kind=part.kind, turn_days=33)
    for number, back in enumerate(("2027-03-20", "2027-04-10", "2027-05-20"), start=1):
        [before] = [each.turn.usual for each in loop_history()] or [None]
        assert before in (None, 33)
        unit = a_stocked_unit(station, part)
        order = sent(unit, station, f"PO-{number}", "2027-03-10", "2027-04-01")
        returned(order, back, price=f"{number}00", currency="EUR")

    [loop] = loop_history()

    assert (loop.turn.usual, loop.turn.high, loop.turn.cases) == (31, 71, 3)
    assert (str(loop.last_price), loop.currency) == ("300.00", "EUR")


def test_what_must_go_back_is_listed_by_when_to_whom_and_at_what_charge(station):
    loan, exchange, settled, gone = (a_stocked_unit(station) for _ in range(4))

    def title(unit, sort, from_on="2027-03-01", **more):
        Title.objects.create(
            unit=unit, sort=sort, owner="Skerry Air", from_on=DAY(from_on), recorded_at=AT, **more
        )

    title(loan, "pool_loan", return_by=DAY("2027-05-31"), charge="40 a day")
    title(exchange, "exchange", core_due_on=DAY("2027-07-01"))
    title(settled, "pool_loan", return_by=DAY("2027-06-10"))
    title(settled, "owned", "2027-04-01")
    title(gone, "pool_loan", return_by=DAY("2027-06-20"))
    build.moved(gone, "exchanged", build.PlaceAt("party", name="Skerry Air"), "2027-04-02")

    found = owed(TODAY)

    assert [(each.unit_id, each.what) for each in found] == [
        (loan.pk, "the unit itself"),
        (exchange.pk, "a core in exchange"),
    ]
    assert (found[0].is_late, found[0].days_left, found[0].charge) == (True, -1, "40 a day")


def test_the_clerks_day_puts_each_unit_under_its_one_next_act(station):
    bad, doubted, ready, away = (a_stocked_unit(station) for _ in range(4))
    tagged(bad)
    held(doubted)
    set_aside(ready, ready.place_id)
    sent(away, station, "PO-1", promised_on="2027-05-10")
    [inspect] = received(a_line("A100"), station=station).lines
    [bare] = received(a_line("A200"), station=station, paper=None).lines

    day = clerk_day(today=TODAY, at=AT, station="LYD")

    assert [w.unit_id for w in day.to_inspect] == [inspect.unit_id]
    assert [w.unit_id for w in day.to_send] == [bad.pk]
    assert sorted(w.unit_id for w in day.in_quarantine) == sorted([doubted.pk, bare.unit_id])
    assert [(w.unit_id, w.act) for w in day.to_issue] == [(ready.pk, "Issue it")]
    assert [w.unit_id for w in day.late] == [away.pk]
    assert [(w.unit_id, w.act) for w in day.to_receive] == [(away.pk, "Chase the shop")]
    assert day.to_inspect[0].since_on == TODAY
    assert clerk_day(today=TODAY, at=AT, station="ZZZ").to_issue == []


def test_the_day_reads_what_it_shows_and_counts_the_rest():
    """Of nine that wait only the first two are read; whoever asks for all has the same beginning."""
    station = build.a_station("LYD")
    place, part = build.in_quarantine(station), build.a_part("HS-9")
    for number in range(9):
        unit = build.a_unit(part, serial_number=f"Q{number}")
        build.moved(unit, "received", place, "2027-03-01")
        certified(unit)
    ready = [a_stocked_unit(station, part, serial_number=f"R{number}") for number in range(3)]
    for unit in ready:
        set_aside(unit, unit.place_id)

    few, every = (clerk_day(today=TODAY, at=AT, station="LYD", most=most) for most in (2, None))

    for name, count in (("to_inspect", 9), ("to_issue", 3), ("to_send", 0), ("in_quarantine", 0)):
        shown, whole = getattr(few, name), getattr(every, name)
        assert total_of(shown) == total_of(whole) == len(whole) == count
        assert list(shown) == whole[:2]
