"""Whoever tries tokens is slowed, by address; nobody's good token waits for it."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from axes.models import AccessFailureLog
from rest_framework.test import APIClient

from fleet.acts.guessed import FREE_TRIES
from fleet.models import User
from fleet.people.acts.tokens import make_token
from tests.builders import NOW

pytestmark = pytest.mark.django_db
PROXY, THEIRS, OURS = "10.0.0.5", "203.0.113.9", "198.51.100.4"
DAY = "2027-03-03 09:00Z"


@pytest.fixture(autouse=True)
def behind_a_proxy(settings):
    settings.AXES_ENABLED = True
    settings.TRUSTED_PROXIES = ["10.0.0.0/8"]


@pytest.fixture
def good(administrator):
    cora = User.objects.create(username="cora", roles=["controller"])
    made = make_token(by=administrator, user=cora, label="board", role="controller", at=NOW)
    return made.secret


def asked(secret, address=THEIRS, **more):
    headers = {"REMOTE_ADDR": PROXY, "HTTP_X_FORWARDED_FOR": address, **more}
    return APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}").get("/api/v1/stations", **headers)


def test_bad_tokens_from_one_address_wait_longer_and_longer():
    with time_machine.travel(DAY, tick=False) as clock:
        first = [asked(f"gb_{n}").status_code for n in range(FREE_TRIES)]
        slowed = asked("gb_again")
        clock.shift(timedelta(seconds=1))
        after = asked("gb_after")
        then = asked("gb_then")

    assert set(first) == {401}
    assert (slowed.status_code, slowed.json()["code"]) == (429, "tokens_slowed")
    assert slowed["Retry-After"] == "1"
    assert "Wait 1 second" in slowed.json()["detail"]
    assert after.status_code == 401
    assert (then.status_code, then["Retry-After"]) == (429, "2")


def test_what_is_refused_for_being_too_soon_is_not_counted_again():
    with time_machine.travel(DAY, tick=False):
        for n in range(FREE_TRIES + 40):
            asked(f"gb_{n}")

    assert AccessFailureLog.objects.count() == FREE_TRIES


def test_a_good_token_is_let_in_from_elsewhere_and_from_the_same_address(good):
    with time_machine.travel(DAY, tick=False):
        for n in range(FREE_TRIES + 5):
            asked(f"gb_{n}")

        assert asked(good, address=OURS).status_code == 200
        assert asked(good).status_code == 200
        assert asked("gb_other", address=OURS).status_code == 401


def test_nobody_but_a_trusted_proxy_says_for_whom_it_asks():
    with time_machine.travel(DAY, tick=False):
        for n in range(FREE_TRIES):
            asked(f"gb_{n}", address=f"192.0.2.{n}", REMOTE_ADDR=THEIRS)

        assert asked("gb_x", address=OURS, REMOTE_ADDR=THEIRS).status_code == 429


def test_the_tokens_that_were_tried_are_kept_nowhere():
    asked("gb_nearly-right")

    assert "nearly-right" not in str(AccessFailureLog.objects.values().get())
