"""Licences and approvals granted and ended: what a person may sign, from when to when."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fleet.house.refusals import Refused
from fleet.models import Authorisation
from fleet.people.acts.authorisations import (
    NewAuthorisation,
    end_authorisation,
    grant_authorisations,
)
from tests.builders import NOW, a_person, day

pytestmark = pytest.mark.django_db


@pytest.fixture
def row():
    return NewAuthorisation(
        a_person("technician").pk,
        "A-1",
        "approval",
        ["sign_step"],
        day("2027-01-01"),
        day("2028-12-31"),
        title="Technician",
        stamp="12",
    )


def granted(row, by="administrator"):
    (done,) = grant_authorisations(by=a_person(by), rows=[row], at=NOW)
    return done


def ended(key, on="2027-06-01", reason="left the house"):
    by = a_person("administrator")
    return end_authorisation(by=by, authorisation_id=key, ended_on=day(on), reason=reason, at=NOW)


def test_an_authorisation_is_granted_once(row):
    first, again = granted(row), granted(row)

    assert (first.is_new, again.is_new, first.id) == (True, False, again.id)
    assert Authorisation.objects.get().acts == ["sign_step"]


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"user_id": 0}, "unknown_person", "0.person"),
        ({"number": " "}, "missing", "0.number"),
        ({"number": "x" * 41}, "too_long", "0.number"),
        ({"acts": ["fly"]}, "unknown_act", "0.acts"),
        ({"acts": []}, "missing", "0.acts"),
        ({"kinds": ["nothing"]}, "unknown_kind", "0.kinds"),
        ({"aircraft_types": ["none"]}, "unknown_aircraft_type", "0.aircraft_types"),
        ({"sort": "wish"}, "unknown_sort", "0.sort"),
        ({"until_on": day("2026-12-31")}, "an_authorisation_lasts_at_least_a_day", "0.until_on"),
    ],
)
def test_one_that_cannot_be_is_refused_at_its_field(row, more, code, field):
    with pytest.raises(Refused) as refused:
        granted(replace(row, **more))

    assert (refused.value.code, refused.value.field) == (code, field)


def test_a_number_on_record_does_not_become_anothers(row):
    granted(row)

    with pytest.raises(Refused) as refused:
        granted(replace(row, acts=["sign_step", "release"]))

    assert refused.value.code == "authorisation_on_record"


def test_nobody_but_the_administrator_grants(row):
    with pytest.raises(Refused) as refused:
        granted(row, by="controller")

    assert refused.value.code == "not_permitted"


def test_an_early_end_is_recorded_once_and_another_day_refused(row):
    key = granted(row).id
    first, again = ended(key), ended(key)

    with pytest.raises(Refused) as refused:
        ended(key, on="2027-07-01")

    assert (first.is_new, again.is_new) == (True, False)
    assert refused.value.code == "authorisation_ended"


@pytest.mark.parametrize(
    ("on", "reason", "code"),
    [("2026-06-01", "left", "outside_its_days"), ("2027-06-01", " ", "missing")],
)
def test_an_end_that_cannot_be_is_refused(row, on, reason, code):
    key = granted(row).id

    with pytest.raises(Refused) as refused:
        ended(key, on, reason)

    assert refused.value.code == code
