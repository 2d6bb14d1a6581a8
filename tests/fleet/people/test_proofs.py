"""A signature is given with the own name and password, entered now; wrong ones are counted."""

from __future__ import annotations

from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.test import RequestFactory

from fleet.house.refusals import Refused
from fleet.people.proofs import Proof, prove, refuse_stale
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


@pytest.fixture
def counted(settings):
    settings.AXES_ENABLED = True


def asked(username, password):
    request = RequestFactory().post("/swaps/1/sign/", REMOTE_ADDR="192.0.2.7")
    return prove(request, username=username, password=password, at=build.NOW)


def code(act, *args):
    with pytest.raises(Refused) as told:
        act(*args)
    return told.value.code, told.value.field


def test_whoever_knows_the_password_is_proven(counted):
    user = swaps.a_technician(password=swaps.PASSWORD)

    assert asked(f" {user.username} ", swaps.PASSWORD) == Proof(user, build.NOW)


@pytest.mark.parametrize("password", ["", "wrong", "x" * 5000, "a\x00b"])
def test_a_wrong_password_is_refused_at_its_field(counted, password):
    user = swaps.a_technician(password=swaps.PASSWORD)

    assert code(asked, user.username, password) == ("credentials_wrong", "password")


def test_an_unknown_name_or_one_who_left_is_told_the_same(counted):
    user = swaps.a_technician(password=swaps.PASSWORD)
    user.is_active = False
    user.save(update_fields=["is_active"])

    assert code(asked, user.username, "guessed")[0] == "credentials_wrong"
    assert code(asked, "nobody\x00here", "x")[0] == "credentials_wrong"


def test_who_knows_the_password_of_a_deactivated_account_is_told_so(counted):
    user = swaps.a_technician(password=swaps.PASSWORD)
    user.is_active = False
    user.save(update_fields=["is_active"])

    assert code(asked, user.username, swaps.PASSWORD) == ("person_deactivated", "password")


def test_too_many_failures_lock_the_name_and_a_right_one_counts_them_off(counted):
    user = swaps.a_technician(password=swaps.PASSWORD)
    for _ in range(7):
        code(asked, user.username, "wrong")
    asked(user.username, swaps.PASSWORD)
    assert not AccessAttempt.objects.filter(username=user.username).exists()

    for _ in range(8):
        code(asked, user.username, "wrong")

    assert code(asked, user.username, swaps.PASSWORD) == ("credentials_locked", "password")


@pytest.mark.parametrize(
    ("age", "is_good"),
    [(0, True), (120, True), (121, False), (-1, False)],
)
def test_a_proof_is_good_for_two_minutes(age, is_good):
    proof = Proof(swaps.a_technician(), build.NOW)
    at = build.NOW + timedelta(seconds=age)

    if is_good:
        refuse_stale(proof, at)
    else:
        assert code(refuse_stale, proof, at)[0] == "credentials_stale"
