"""What is not complete, or has a limit unknown, is not available, and is handed over by a named decision."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import PartPosition, Reservation, Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision
from equipment.stores.acts.issues import issue_unit
from equipment.stores.reads.stock import StockAsked, stock
from fleet.house.refusals import Refused
from scheduling.models import Work, WorkDone
from scheduling.programme.acts.works import NewWork, record_work
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.availability.test_using import Need, expired, issue, need, reserve
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import AT

pytestmark = pytest.mark.django_db
__all__ = ["need"]
DECISION = "Maintenance control, T. Arden: light comes with the next flight."


def with_empty_position(need: Need):
    kind = build.a_kind()
    PartPosition.objects.create(
        part_number=need.unit.part_number, code="LIGHT", name="Light", kind=kind
    )


def with_unknown_limit(need: Need):
    expired(need)
    Unit.objects.filter(pk=need.unit.pk).update(manufactured_on=None)


SHORT = {"unit_incomplete": with_empty_position, "limit_unknown": with_unknown_limit}
STATES = {"unit_incomplete": "incomplete", "limit_unknown": "unknown"}


def made_so(need, code, as_owner):
    with as_owner():
        SHORT[code](need)


def state_of_stock(need):
    rows = stock(StockAsked(), on=AT.date(), at=AT)
    return next(row for row in rows if row.unit_id == need.unit.pk)


@pytest.mark.parametrize("code", SHORT)
def test_it_is_not_available(need, code, as_owner):
    assert state_of_stock(need).is_available
    made_so(need, code, as_owner)

    row = state_of_stock(need)

    assert (row.state, row.is_available) == (STATES[code], False)
    assert len(row.reasons) == 1


@pytest.mark.parametrize("code", SHORT)
def test_it_is_issued_by_a_named_decision_only_which_is_kept(need, code, as_owner):
    reservation = reserve(need)
    made_so(need, code, as_owner)

    with pytest.raises(Refused) as refused:
        issue(reservation)
    made = issue_unit(
        by=build.a_person("stores"),
        reservation_id=reservation.pk,
        at=AT,
        to="R. Oake",
        decision=DECISION,
    )

    assert [(each.code, each.field) for each in refused.value.refusals] == [(code, "decision")]
    assert made.issue_decision == DECISION


def test_a_decision_where_nothing_has_to_be_decided_is_not_kept(need):
    reservation = reserve(need)

    made = issue_unit(
        by=build.a_person("stores"),
        reservation_id=reservation.pk,
        at=AT,
        to="R. Oake",
        decision=DECISION,
    )

    assert made.issue_decision == ""


def test_a_decision_does_not_issue_what_may_not_be_used(need, as_owner):
    reservation = reserve(need)
    with as_owner():
        expired(need)

    with pytest.raises(Refused, match=r"past its limit|its life has ended"):
        issue_unit(
            by=build.a_person("stores"),
            reservation_id=reservation.pk,
            at=AT,
            to="R. Oake",
            decision=DECISION,
        )


def test_the_page_asks_for_the_decision_and_shows_it(need, as_owner):
    reservation = reserve(need)
    made_so(need, "unit_incomplete", as_owner)
    clerk = signed_in(build.a_person("stores"))
    address = reverse("equipment:stores_reservation", args=[reservation.pk])

    asked = clerk.get(address).content.decode()
    refused = clerk.post(address, {"act_id": uuid4(), "decision": "", "to": "R. Oake"})
    clerk.post(address, {"act_id": uuid4(), "decision": DECISION, "to": "R. Oake"})
    shown = clerk.get(address).content.decode()

    assert "is not complete: nothing is on record at LIGHT." in asked
    assert refused.status_code == 422
    assert Reservation.objects.get().issue_decision == DECISION
    assert "By decision:" in shown and "light comes with the next flight" in shown


def test_page_and_api_say_before_it_is_set_aside_that_a_decision_will_be_asked(
    need,
    as_owner,
    program,  # noqa: F811
):
    made_so(need, "unit_incomplete", as_owner)
    clerk = signed_in(build.a_person("stores"))

    before = clerk.get(reverse("equipment:stores_reserve", args=[need.unit.pk])).content.decode()
    sent = {
        "act_id": str(uuid4()),
        "unit": need.unit.pk,
        "place": {
            "sort": "aircraft",
            "aircraft": need.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "need_on": "2027-07-01",
    }
    made = program("stores").post("/api/v1/reservations", sent, format="json")

    assert "nothing is on record at LIGHT. It is handed over by a named decision only." in before
    assert made.status_code == 201, made.content
    [why] = made.json()["asks_decision"]
    assert "is not complete: nothing is on record at LIGHT." in why


def test_what_is_inside_at_any_depth_is_looked_for(need, as_owner):
    with as_owner():
        with_empty_position(need)
    light = build.a_unit(build.a_part(kind=PartPosition.objects.get().kind))
    place = build.inside(need.unit, "LIGHT")
    build.moved(light, "installed", place, "2027-04-01")

    [use] = uses_of([need.unit.pk], Asked(AT.date(), AT)).values()

    assert asks_decision(use) == []


# --- a failed test ----------------------------------------------------------------------------


@pytest.fixture
def hydro(db):
    return Work.objects.create(code="HYDRO", name="hydrostatic test")


def done(need, work, result, day):
    row = NewWork(
        work_id=work.pk,
        unit_id=need.unit.pk,
        done_on=day,
        act_id=uuid4(),
        result=result,
        who="Lee Shore",
        document="WO 7",
        authorisation="Q-145-007",
    )
    return record_work(by=build.a_person("controller"), work=row, at=AT)


def test_a_failed_test_holds_the_unit_until_it_passes(need, hydro):
    day = AT.date() - timedelta(days=9)
    done(need, hydro, "failed", day)

    with pytest.raises(Refused) as refused:
        reserve(need)
    done(need, hydro, "passed", day + timedelta(days=1))

    assert [each.code for each in refused.value.refusals] == ["unit_expired"]
    assert "its hydrostatic test of" in refused.value.message and "failed." in refused.value.message
    assert reserve(need)


def test_a_failed_test_that_is_withdrawn_holds_nothing(need, hydro):
    day = AT.date() - timedelta(days=9)
    made = done(need, hydro, "failed", day)
    row = NewWork(
        work_id=hydro.pk,
        unit_id=need.unit.pk,
        done_on=day,
        act_id=uuid4(),
        corrects_id=made.id,
        is_annulment=True,
    )
    record_work(by=build.a_person("controller"), work=row, at=AT)

    assert WorkDone.objects.count() == 2
    assert reserve(need)
