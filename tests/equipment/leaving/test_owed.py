"""Loans out and in, exchanges and cores: on the clerk's day before their date, and closed by what is sent or received."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.loans import NewLoan, end_loan, lend_unit
from equipment.leaving.acts.sent_back import CoreBack, UnitBack, send_back, send_core
from equipment.models import Loan, LoanEnd, Movement, SentBack, Title, Unit
from equipment.stores.acts.facts import TitleSaid
from equipment.stores.reads.clerk_day import clerk_day
from equipment.stores.reads.owed import owed, totals
from equipment.stores.reads.scans import next_page
from fleet.house.refusals import Refused
from tests import builders as build
from tests.at_once import people
from tests.equipment.segregation.test_segregated_movements import held, tagged
from tests.equipment.stores.world import (
    AT,
    TODAY,
    a_line,
    a_stocked_unit,
    certified,
    code_of,
    received,
    set_aside,
)

pytestmark = pytest.mark.django_db
MONTH = TODAY + timedelta(days=30)


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


def lent(clerk, unit, **more):
    facts = {"party": "Skerry Air", "agreement": "LN-4", "lent_on": TODAY, "return_by": MONTH}
    said = NewLoan(unit.pk, **facts | more)
    return lend_unit(by=clerk, loan=said, act_id=uuid4(), at=AT)


def back(clerk, loan, station, on=TODAY, words=""):
    said = {"loan_id": loan.pk, "station_id": station.pk, "returned_on": on, "words": words}
    return end_loan(by=clerk, **said, act_id=uuid4(), at=AT)


def place_of(unit):
    return Unit.objects.select_related("place__station").get(pk=unit.pk).place


def owing(unit, **more):
    facts = {"sort": "pool_loan", "owner": "Tidewater Pool", "from_on": build.day("2027-05-01")}
    return Title.objects.create(unit=unit, recorded_at=AT, **facts | more)


def sent_back(clerk, title, on=TODAY, waybill="WB-7"):
    return send_back(by=clerk, back=UnitBack(title.pk, waybill, on), act_id=uuid4(), at=AT)


def core_sent(clerk, title, unit, **more):
    code = more.pop("code", f"{unit.part_number.number} {unit.serial_number}" if unit else "")
    said = CoreBack(title.pk, code, "WB-8", more.pop("on", TODAY), **more)
    return send_core(by=clerk, core=said, act_id=uuid4(), at=AT)


# --- loans out --------------------------------------------------------------------------------


def test_what_is_lent_is_with_the_other_party_and_in_no_store(clerk):
    unit = a_stocked_unit()
    loan = lent(clerk, unit)

    place = place_of(unit)
    assert (place.sort, place.name) == ("party", "Skerry Air")
    assert loan.movement.sort == "lent"
    assert list(check_whereabouts()) == []
    assert next_page(f"{unit.part_number} {unit.serial_number}", TODAY) == reverse(
        "equipment:stores_loan", args=[loan.pk]
    )


def test_it_comes_back_into_quarantine_and_the_loan_is_closed(clerk):
    station = build.a_station()
    unit = a_stocked_unit(station)
    loan = lent(clerk, unit)
    back(clerk, loan, station)

    assert place_of(unit).sort == "quarantine"
    assert owed(TODAY) == []
    assert list(check_whereabouts()) == []
    assert code_of(back, clerk, loan, station) == "loan_ended"


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (tagged, "unit_unserviceable"),
        (held, "unit_on_hold"),
        (lambda unit: set_aside(unit, unit.place_id), "reserved_elsewhere"),
        (owing, "unit_of_another_owner"),
    ],
)
def test_what_may_not_be_used_or_is_not_ours_is_not_lent(clerk, spoil, code):
    unit = a_stocked_unit()
    spoil(unit)

    assert code_of(lent, clerk, unit) == code
    assert not Loan.objects.exists()
    assert Movement.objects.filter(sort="lent").count() == 0


@pytest.mark.parametrize(
    ("said", "code", "field"),
    [
        ({"party": " "}, "missing", "party"),
        ({"agreement": ""}, "missing", "agreement"),
        ({"return_by": TODAY - timedelta(days=1)}, "back_before_lending", "return_by"),
        ({"lent_on": MONTH, "return_by": MONTH}, "in_the_future", "lent_on"),
        ({"charge_amount": "1,234", "currency": "EUR"}, "price_not_read", "charge_amount"),
        ({"charge_amount": "12", "currency": "EURO"}, "currency_not_read", "currency"),
    ],
)
def test_a_loan_that_cannot_be_is_refused_at_its_field(clerk, said, code, field):
    with pytest.raises(Refused) as refused:
        lent(clerk, a_stocked_unit(), **said)

    assert [(each.code, each.field) for each in refused.value.refusals] == [(code, field)]
    assert not Loan.objects.exists()


def test_its_charge_is_counted_by_the_day(clerk):
    lent(clerk, a_stocked_unit(), charge_amount="40,50", charge_per="day", currency="eur")

    (row,) = owed(TODAY + timedelta(days=9))
    assert (row.counted, row.currency) == (Decimal("405.00"), "EUR")
    assert totals([row]) == ["405.00 EUR"]


@pytest.mark.parametrize(("before", "is_shown"), [(15, False), (14, True), (0, True), (-3, True)])
def test_it_stands_on_the_clerks_day_two_weeks_before_its_date(clerk, before, is_shown):
    unit = a_stocked_unit()
    lent(clerk, unit)

    day = clerk_day(today=MONTH - timedelta(days=before), at=AT)

    assert [each.unit_id for each in day.owed] == ([unit.pk] if is_shown else [])
    assert all(each.is_late == (before < 0) for each in day.owed)


def test_the_day_of_a_station_shows_what_lies_there_and_what_lies_nowhere(clerk):
    here, there = build.a_station(), build.a_station()
    owing(a_stocked_unit(here), return_by=TODAY)
    unit = a_stocked_unit(there)
    owing(unit, return_by=TODAY)

    day = clerk_day(today=TODAY, at=AT, station=there.code)

    assert [each.unit_id for each in day.owed] == [unit.pk]


# --- what goes back ---------------------------------------------------------------------------


def test_a_loan_in_is_closed_by_the_unit_that_goes_back(clerk):
    unit = a_stocked_unit()
    title = owing(unit, return_by=TODAY)
    assert [each.act for each in owed(TODAY)] == ["Send it back"]

    sent_back(clerk, title)

    assert owed(TODAY) == []
    assert (place_of(unit).sort, place_of(unit).name) == ("party", "Tidewater Pool")
    assert list(check_whereabouts()) == []
    assert code_of(sent_back, clerk, title) == "sent_back_already"


def test_a_core_is_closed_by_another_unit_and_not_by_the_one_that_came(clerk):
    part = build.a_part("HS-9")
    came, core = a_stocked_unit(part=part), a_stocked_unit(part=part)
    tagged(core)
    title = owing(came, sort="exchange", core_due_on=TODAY)
    assert code_of(core_sent, clerk, title, came) == "core_is_the_unit"

    core_sent(clerk, title, core)

    assert owed(TODAY) == []
    assert place_of(core).name == "Tidewater Pool"
    assert place_of(came).sort == "store"
    assert SentBack.objects.get().unit_id == core.pk


def test_a_core_of_another_kind_is_asked_about(clerk):
    came = a_stocked_unit(part=build.a_part("HS-9"))
    other = a_stocked_unit(part=build.a_part("LT-1", kind=build.a_kind("LIGHT")))
    title = owing(came, sort="exchange", core_due_on=TODAY)

    assert code_of(core_sent, clerk, title, other) == "core_differs"
    assert core_sent(clerk, title, other, is_confirmed=True).unit_id == other.pk


@pytest.mark.parametrize(
    ("code", "refused"),
    [("", "missing"), ("nothing-here", "unknown_unit"), ("TWICE", "unit_not_one")],
)
def test_a_code_for_no_core_is_refused_at_its_field(clerk, code, refused):
    for number in ("HS-1", "HS-2"):
        a_stocked_unit(part=build.a_part(number), serial_number="TWICE")
    title = owing(a_stocked_unit(part=build.a_part("HS-9")), core_due_on=TODAY)

    with pytest.raises(Refused) as told:
        core_sent(clerk, title, None, code=code)

    assert [(each.code, each.field) for each in told.value.refusals] == [(refused, "core")]


def test_what_is_owed_by_no_title_or_set_aside_does_not_go_back(clerk):
    unit = a_stocked_unit()
    title = owing(unit, return_by=TODAY)
    assert code_of(core_sent, clerk, title, unit) == "nothing_owed"
    set_aside(unit, unit.place_id)

    assert code_of(sent_back, clerk, title) == "reserved_elsewhere"
    assert len(owed(TODAY)) == 1
    assert not SentBack.objects.exists()


def test_a_receipt_keeps_what_a_loan_costs_and_refuses_a_day_gone_by():
    build.a_part("HS-1")
    said = {"charge_amount": "1 200.00", "charge_per": "month", "currency": "EUR"}
    early = TitleSaid("exchange", "Tidewater", core_due_on=TODAY - timedelta(days=1))
    with pytest.raises(Refused) as refused:
        received(a_line(), title=early)
    assert [each.code for each in refused.value.refusals] == ["owed_before_receipt"]
    assert not Title.objects.exists()

    received(a_line(), title=TitleSaid("pool_loan", "Tidewater", return_by=MONTH, **said))

    (row,) = owed(TODAY + timedelta(days=31))
    assert (row.charge, row.counted) == ("1\u202f200.00 EUR a month", Decimal("2400.00"))


# --- by pages, and two at once ----------------------------------------------------------------


def test_a_clerk_lends_and_takes_back_by_pages(client, clerk):
    unit = build.a_unit()
    station = build.a_station()
    build.moved(unit, "received", build.in_store(station), "2026-01-02")
    certified(unit)
    client.force_login(clerk)
    page = reverse("equipment:stores_lend", args=[unit.pk])
    told = {"party": "Skerry Air", "agreement": "LN-4", "lent_on": "2026-02-05"}
    bad = client.post(page, told | {"act_id": uuid4(), "return_by": "2026-02-01"})
    assert (bad.status_code, set(bad.context["form"].errors)) == (422, {"return_by"})

    client.post(page, told | {"act_id": uuid4(), "return_by": "2026-03-01"})

    loan = Loan.objects.get()
    listed = client.get(reverse("equipment:stores_owed")).content.decode()
    assert "Skerry Air" in listed and "Record it back" in listed
    assert "Record it back" in client.get(reverse("equipment:stores")).content.decode()
    form = {"act_id": uuid4(), "station": station.pk, "returned_on": "2026-02-20", "words": ""}
    client.post(reverse("equipment:stores_loan", args=[loan.pk]), form)
    assert LoanEnd.objects.get().loan == loan


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("which", ["loan", "unit"])
def test_of_two_who_close_it_at_one_moment_one_is_told_of_the_other(which):
    clerks = [build.a_person("stores") for _ in range(2)]
    station = build.a_station()
    unit = a_stocked_unit(station)
    loan = lent(clerks[0], unit) if which == "loan" else None
    title = owing(unit, return_by=TODAY) if which == "unit" else None

    def close(person):
        try:
            return (back(person, loan, station) if loan else sent_back(person, title)).pk
        except Refused as refused:
            return refused.code

    with people() as at_once:
        done = at_once(*(lambda each=each: close(each) for each in clerks))

    told = "loan_ended" if loan else "sent_back_already"
    assert sorted(map(str, done))[-1] == told
    assert LoanEnd.objects.count() + SentBack.objects.count() == 1
    assert list(check_whereabouts()) == []
