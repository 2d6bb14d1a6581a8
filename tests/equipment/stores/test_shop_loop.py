from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.models import LifeStatement, ShopOrder, ShopReturn, Unit, UnitTag
from equipment.stores.acts.bins import stow_unit
from equipment.stores.acts.facts import TotalFact
from equipment.stores.acts.returns import ShopBack, return_from_shop
from equipment.stores.acts.shops import NewOrder, note_promise, send_to_shop
from equipment.stores.reads.shop_loop import ended_orders, promised_of
from equipment.stores.reads.turn_times import TurnTime, turn_time
from scheduling.models import WorkDone
from tests import builders as build

from .world import AT, CERTIFIES, TODAY, a_paper, a_stocked_unit, a_work, code_of, set_aside, works

pytestmark = pytest.mark.django_db
DAY = build.day


@pytest.fixture
def unit(db):
    works()
    build.the_hours()
    return a_stocked_unit()


def an_order(unit, **more):
    order = NewOrder(
        unit.pk,
        "Lee Shore",
        "PO-1",
        build.a_station().pk,
        DAY("2027-05-01"),
        DAY("2027-06-15"),
        ("OH",),
    )
    return replace(order, **more)


def sent(unit, by=None, today=TODAY, **more):
    order = an_order(unit, **more)
    return send_to_shop(
        by=by or build.a_person("stores"), order=order, act_id=uuid4(), at=AT, today=today
    )


def back(order, by=None, **more):
    facts = {
        "returned_on": TODAY,
        "how": "done",
        "paper": a_paper(),
        "printed_serial": order.unit.serial_number,
        "certifies": CERTIFIES,
        "works": (a_work(),),
    }
    return return_from_shop(
        by=by or build.a_person("stores"),
        back=ShopBack(order.pk, **facts | more),
        act_id=uuid4(),
        at=AT,
    )


def test_it_goes_and_comes_back_with_paper_works_totals_and_price(unit):
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort="unserviceable",
        why="deployed",
        tagged_at=build.instant("2027-05-01"),
        recorded_at=AT,
        recorded_by=build.a_person(),
    )
    order = sent(unit)
    assert Unit.objects.get(pk=unit.pk).place.name == "Lee Shore"

    done = back(order, price="12500", currency="eur", totals=(TotalFact("hours", 6000),))

    assert Unit.objects.get(pk=unit.pk).place.sort == "quarantine"
    assert (done.price, done.currency, done.works) == (Decimal("12500.00"), "EUR", ["OH"])
    assert WorkDone.objects.get().unit == unit
    assert LifeStatement.objects.get().total == 6000
    assert UnitTag.objects.latest("tagged_at", "pk").sort == "serviceable"


def test_untouched_and_without_paper_it_is_no_better_than_before(unit):
    order = sent(unit)

    back(order, how="untouched", paper=None, works=(), printed_serial="")

    assert not UnitTag.objects.exists()
    assert not WorkDone.objects.exists()


def test_beyond_repair_it_is_gone(unit):
    back(sent(unit), how="scrapped", paper=None, works=(), printed_serial="")

    assert Unit.objects.get(pk=unit.pk).place.name == "scrapped"


def test_the_latest_promise_counts_and_an_answer_to_being_chased_is_kept(unit):
    order = sent(unit)
    noted = {"by": build.a_person("stores"), "order_id": order.pk, "at": AT}

    note_promise(
        **noted, promised_on=DAY("2027-07-01"), words="Seal late", act_id=uuid4(), today=TODAY
    )
    note_promise(
        **noted,
        promised_on=DAY("2027-07-01"),
        words="No answer",
        act_id=uuid4(),
        today=DAY("2027-07-09"),
    )

    assert promised_of(order) == DAY("2027-07-01")
    assert [promise.words for promise in order.promises.order_by("pk")] == [
        "Seal late",
        "No answer",
    ]
    assert (
        code_of(
            note_promise,
            **noted,
            promised_on=DAY("2027-05-31"),
            words="",
            act_id=uuid4(),
            today=TODAY,
        )
        == "promised_in_the_past"
    )


def with_reservation(unit):
    set_aside(unit, unit.place_id)
    sent(unit)


def with_doubt(unit):
    hold = NewHold("unit", "unapproved", "Forged", unit_id=unit.pk)
    hold_units(by=build.a_person("stores"), hold=hold, act_id=uuid4(), at=AT)
    sent(unit)


def fitted(unit):
    build.installed(unit, build.at_position(build.an_aircraft()), "2027-04-01")
    sent(unit)


NOT_SENT = {
    "promised in the past": (
        lambda u: sent(u, promised_on=DAY("2027-05-31")),
        "promised_in_the_past",
    ),
    "promised before it goes": (
        lambda u: sent(u, sent_on=DAY("2027-06-20"), promised_on=DAY("2027-06-10")),
        "promised_before_sending",
    ),
    "sent twice": (lambda u: (sent(u), sent(u, number="PO-2")), "at_the_shop_already"),
    "an order that has ended": (
        lambda u: (back(sent(u)), sent(a_stocked_unit())),
        "order_number_used",
    ),
    "set aside": (with_reservation, "reserved_elsewhere"),
    "suspected unapproved": (with_doubt, "unit_on_hold"),
    "fitted": (fitted, "unit_recorded_elsewhere"),
    "no shop": (lambda u: sent(u, shop=" "), "missing"),
    "a technician": (lambda u: sent(u, by=build.a_person("technician")), "not_permitted"),
}


@pytest.mark.parametrize(("act", "code"), NOT_SENT.values(), ids=NOT_SENT)
def test_what_cannot_go_is_refused(unit, act, code):
    assert code_of(act, unit) == code


NOT_BACK = {
    "twice": (lambda o: (back(o), back(o)), "order_ended"),
    "before it went": (lambda o: back(o, returned_on=DAY("2027-04-01")), "returned_before_sending"),
    "another's certificate": (lambda o: back(o, printed_serial="B9"), "certificate_for_another"),
    "works not certified": (lambda o: back(o, works=(a_work("TEST"),)), "work_not_certified"),
    "works without a certificate": (lambda o: back(o, paper=None), "work_not_certified"),
    "no price": (lambda o: back(o, price="much", currency="EUR"), "price_not_read"),
    "a price that is not a number": (
        lambda o: back(o, price="NaN", currency="EUR"),
        "price_not_read",
    ),
    "no currency": (lambda o: back(o, price="10"), "currency_not_read"),
}


@pytest.mark.parametrize(("act", "code"), NOT_BACK.values(), ids=NOT_BACK)
def test_what_cannot_come_back_is_refused_and_nothing_is_half_done(unit, act, code):
    order = sent(unit)

    assert code_of(act, order) == code
    assert not ShopReturn.objects.exists()
    assert ShopOrder.objects.count() == 1


def test_a_turn_time_is_learned_from_three_cases_on():
    assert turn_time([40, 50], rule_days=45) == TurnTime(45, 45, 2, False, 40, 50)
    assert turn_time([30, 61, 40], rule_days=45) == TurnTime(40, 61, 3, True, 30, 61)
    assert turn_time(range(1, 21), rule_days=45) == TurnTime(11, 18, 20, True, 1, 20)


def test_a_bin_is_kept_and_what_is_in_quarantine_stays_in_quarantine(unit):
    build.moved(unit, "quarantined", build.in_quarantine(build.a_station()), "2027-05-01")

    stow_unit(by=build.a_person("stores"), unit_id=unit.pk, bin_name="Q-2", act_id=uuid4(), at=AT)

    place = Unit.objects.get(pk=unit.pk).place
    assert (place.sort, place.name) == ("quarantine", "Q-2")


def test_only_what_is_in_a_store_is_put_into_a_bin(unit):
    sent(unit)
    stow = {"by": build.a_person("stores"), "unit_id": unit.pk, "act_id": uuid4(), "at": AT}

    assert code_of(stow_unit, **stow, bin_name="R1") == "unit_not_in_store"
    assert code_of(stow_unit, **stow, bin_name=" ") == "missing"


def test_several_units_go_under_one_order_each_with_its_own_promise_and_end(unit):
    other = a_stocked_unit()
    first = sent(unit)
    second = sent(other, promised_on=DAY("2027-07-20"))
    note_promise(
        by=build.a_person("stores"),
        order_id=first.pk,
        promised_on=DAY("2027-06-30"),
        words="",
        act_id=uuid4(),
        at=AT,
        today=TODAY,
    )

    assert (promised_of(first), promised_of(second)) == (DAY("2027-06-30"), DAY("2027-07-20"))
    back(first)
    assert list(ShopOrder.objects.filter(returned=None)) == [second]
    third = sent(a_stocked_unit())
    assert third.number == first.number


def test_the_method_and_the_results_of_the_work_are_kept_at_its_return(unit):
    work = a_work(method="water-jacket")

    made = back(sent(unit), works=(work,), results="Passed; permanent expansion 1.2 %.")

    assert made.results == "Passed; permanent expansion 1.2 %."
    assert WorkDone.objects.get(unit=unit).method == "water-jacket"
    assert code_of(back, sent(a_stocked_unit(), number="PO-9"), results="x" * 301) == "too_long"


def test_an_order_that_ended_stays_with_its_price_days_and_lateness(client, unit):
    """Promised for the 20th of May and again for the 15th of June; back on the first: late by the first promise."""
    order = sent(unit, promised_on=DAY("2027-05-20"), today=DAY("2027-05-01"))
    note_promise(
        by=build.a_person("stores"),
        order_id=order.pk,
        promised_on=DAY("2027-06-15"),
        words="Seal late.",
        act_id=uuid4(),
        at=AT,
        today=TODAY,
    )
    back(order, price="480,50", currency="EUR", results="Tested at 450 bar.")

    [ended] = ended_orders()

    assert (ended.days, ended.days_late, ended.price) == (31, 12, Decimal("480.50"))
    client.force_login(build.a_person("stores"))
    said = client.get("/stores/shop/").content.decode()
    assert "Orders that ended" in said and "480.50 EUR" in said and "Tested at 450 bar." in said
    assert "12 days after its first promise" in said
