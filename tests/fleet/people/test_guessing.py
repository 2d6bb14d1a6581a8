"""A wrong password slows who guesses, and locks nobody out who is somewhere else."""

from __future__ import annotations

from datetime import timedelta

import pytest
import time_machine
from django.test import Client, RequestFactory

from fleet.house.addresses import client_address
from fleet.people.guessing import FREE_NAMES, wait_after

from .desks import PASSWORD, a_member, signed_in, text

pytestmark = pytest.mark.django_db
PROXY, THEIRS, OURS = "10.0.0.5", "203.0.113.9", "198.51.100.4"


@pytest.fixture(autouse=True)
def counted(settings):
    settings.AXES_ENABLED = True


@pytest.fixture
def behind_a_proxy(settings):
    settings.TRUSTED_PROXIES = ["10.0.0.0/8"]


@pytest.fixture
def mira(db):
    return a_member("mira", "certifying")


def tried(password, name="mira", address=THEIRS, through=PROXY, **more):
    """One try, as it arrives from a proxy that says for whom it asks."""
    headers = {"REMOTE_ADDR": through, "HTTP_X_FORWARDED_FOR": address, **more}
    return Client().post("/sign-in/", {"username": name, "password": password}, **headers)


@pytest.mark.parametrize(
    ("connected", "told", "address"),
    [
        (THEIRS, "", THEIRS),
        (THEIRS, OURS, THEIRS),  # nobody's word but a trusted proxy's is taken
        (PROXY, OURS, OURS),
        (PROXY, f"192.0.2.1, {OURS}", OURS),  # whatever the client itself wrote stands left
        (PROXY, f"{OURS}, 10.1.2.3", OURS),
        (PROXY, "", PROXY),
        (PROXY, "rubbish", PROXY),
        (PROXY, f"{OURS}, rubbish", PROXY),
        ("::ffff:10.0.0.5", OURS, OURS),
        ("", OURS, None),
    ],
)
def test_the_address_is_the_first_that_is_no_trusted_proxy(
    behind_a_proxy, connected, told, address
):
    request = RequestFactory().get("/", REMOTE_ADDR=connected, HTTP_X_FORWARDED_FOR=told)

    assert client_address(request) == address


def test_behind_a_proxy_the_right_password_works_elsewhere_while_somebody_guesses(
    behind_a_proxy, mira
):
    guesses = [tried(f"guess-{n}").status_code for n in range(9)]

    assert guesses[-1] == 429
    assert tried(PASSWORD).status_code == 429
    assert tried(PASSWORD, address=OURS).status_code == 302


def test_signing_in_elsewhere_does_not_count_the_guesses_off(behind_a_proxy, mira):
    for n in range(7):
        tried(f"guess-{n}")
    assert tried(PASSWORD, address=OURS).status_code == 302

    tried("guess-7")

    assert tried(PASSWORD).status_code == 429


def test_the_own_mistakes_are_counted_off_by_the_right_password(behind_a_proxy, mira):
    for _ in range(2):
        for n in range(7):
            tried(f"guess-{n}")
        assert tried(PASSWORD).status_code == 302


@pytest.mark.parametrize(
    ("names", "seconds"),
    [(0, 0), (9, 0), (10, 1), (11, 2), (14, 16), (18, 256), (19, 300), (999, 300)],
)
def test_each_further_name_doubles_the_wait(names, seconds):
    assert wait_after(names) == timedelta(seconds=seconds)


def test_many_names_from_one_address_wait_and_others_do_not(behind_a_proxy, mira):
    with time_machine.travel("2027-03-03 09:00Z", tick=False):
        for n in range(FREE_NAMES):
            tried("spring-2027", name=f"person{n}")

        slowed = tried(PASSWORD)

        assert slowed.status_code == 200
        assert "Many names were tried with wrong passwords from here. Wait 2 seconds" in text(
            slowed
        )
        assert tried(PASSWORD, address=OURS).status_code == 302


def test_who_waited_long_enough_comes_in(behind_a_proxy, mira):
    with time_machine.travel("2027-03-03 09:00Z", tick=False) as clock:
        for n in range(FREE_NAMES):
            tried("spring-2027", name=f"person{n}")
        assert tried(PASSWORD).status_code == 200

        clock.shift(timedelta(seconds=2))

        assert tried(PASSWORD).status_code == 302


def test_who_is_signed_in_and_signs_does_not_wait_for_others_guesses(behind_a_proxy, mira):
    desk = signed_in(mira, REMOTE_ADDR=PROXY, HTTP_X_FORWARDED_FOR=THEIRS)
    for n in range(FREE_NAMES + 2):
        tried("spring-2027", name=f"person{n}")

    changed = {"present": PASSWORD, "password": "gust-lock-33", "password_again": "gust-lock-33"}
    assert desk.post("/account/", changed).status_code == 302
