from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.common.digests import digest_of
from equipment.models import Reservation, Unit, UnitTag
from equipment.stores.acts.facts import NewInspection
from equipment.stores.acts.inspections import inspect_incoming
from fleet.models import Notice
from fleet.people.proofs import Proof
from tests import builders as build

from .world import ALL_GOOD, AT, a_line, code_of, inspected, received, set_aside, works

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def part(db):
    works()
    return build.a_part("HS-1")


def test_accepted_it_is_released_to_its_bin_and_what_was_signed_is_kept():
    [line] = received().lines

    made = inspected(line.unit_id, bin_name="R1-04")

    place = Unit.objects.get().place
    assert (place.sort, place.name) == ("store", "R1-04")
    assert made.content["checks"] == dict(sorted(ALL_GOOD.items()))
    assert made.digest == digest_of(made.content)
    assert made.statement.startswith("I have inspected")


def test_kept_out_it_stays_tagged_in_quarantine_and_whoever_set_it_aside_is_told():
    [line] = received().lines
    clerk = build.a_person("stores")
    set_aside(Unit.objects.get(), Unit.objects.get().place_id, clerk)

    inspected(line.unit_id, "quarantined", checks=ALL_GOOD | {"condition": False})

    tag = UnitTag.objects.get()
    assert (tag.sort, tag.why, tag.words) == ("unserviceable", "defect", "Torn.")
    assert Unit.objects.get().place.sort == "quarantine"
    assert Reservation.objects.get().ended_how == "failed"
    assert "failed its incoming inspection: Torn." in Notice.objects.get(to=clerk).words


def with_answers(**answers):
    return lambda unit: inspected(unit, checks=ALL_GOOD | answers)


REFUSED = {
    "a question answered no": (with_answers(papers=False), "check_not_passed"),
    "a question not answered": (lambda unit: inspected(unit, checks={}), "check_not_answered"),
    "a question nobody asks": (with_answers(colour=True), "unknown_check"),
    "kept out without a word": (lambda unit: inspected(unit, "quarantined", words=" "), "missing"),
    "no such result": (lambda unit: inspected(unit, "perhaps"), "unknown_result"),
    "a technician": (
        lambda unit: inspected(unit, by=build.a_person("technician")),
        "not_permitted",
    ),
}


@pytest.mark.parametrize(("act", "code"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_signed_is_refused(act, code):
    [line] = received().lines

    assert code_of(act, line.unit_id) == code
    assert Unit.objects.get().place.sort == "quarantine"


def test_without_a_certificate_it_is_not_accepted():
    [line] = received(a_line(), paper=None).lines

    assert code_of(inspected, line.unit_id) == "no_certificate"


def test_under_a_hold_it_is_not_accepted():
    [line] = received().lines
    hold = NewHold("certificate", "unapproved", "Forged stamps", value="c-1")
    hold_units(by=build.a_person("stores"), hold=hold, act_id=uuid4(), at=AT)

    assert code_of(inspected, line.unit_id) == "unit_on_hold"


def test_once_in_stock_it_is_not_inspected_again():
    [line] = received().lines
    inspected(line.unit_id)

    assert code_of(inspected, line.unit_id) == "not_in_quarantine"


def test_credentials_of_some_minutes_ago_sign_nothing():
    [line] = received().lines
    stale = Proof(build.a_person("stores"), AT - timedelta(minutes=3))
    inspection = NewInspection(line.unit_id, "accepted", ALL_GOOD)

    assert (
        code_of(inspect_incoming, proof=stale, inspection=inspection, act_id=uuid4(), at=AT)
        == "credentials_stale"
    )
