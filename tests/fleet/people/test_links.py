"""An invitation and a forgotten password: one address, shown once, good once, for three days."""

from __future__ import annotations

import io
import re
from uuid import uuid4

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.test import Client

from fleet.models import PersonAct, User

from .desks import a_member, signed_in, text

pytestmark = pytest.mark.django_db
CHOSEN = {"password": "another-gust-41", "password_again": "another-gust-41"}
CLERK = {
    "username": "c.abbleby",
    "first_name": "Corwin",
    "last_name": "Abbleby",
    "roles": ["stores"],
    "home_station": "",
}


@pytest.fixture
def desk(db):
    return signed_in(a_member("ada", "administrator"))


def shown_in(answer) -> str:
    found = re.search(r"/join/[^<\s]+/", answer.content.decode())
    return found.group() if found else ""


@pytest.fixture
def address(desk):
    return shown_in(desk.post("/people/invite/", {**CLERK, "act_id": uuid4()}, follow=True))


def clerk() -> User:
    return User.objects.get(username="c.abbleby")


def test_an_invited_person_chooses_the_password_and_is_signed_in(client, address):
    assert not clerk().has_usable_password()

    answer = client.post(address, CHOSEN)

    assert answer.url == "/"
    assert client.session["_auth_user_id"] == str(clerk().pk)
    assert clerk().check_password(CHOSEN["password"])
    told = list(
        PersonAct.objects.filter(person=clerk()).order_by("pk").values_list("act", "by__username")
    )
    assert told == [("invited", "ada"), ("password_chosen", "c.abbleby")]


def test_the_address_is_shown_once(desk, address):
    assert address
    assert shown_in(desk.get(f"/people/{clerk().pk}/")) == ""


def test_sent_twice_by_a_double_tap_one_person_is_invited(desk):
    sent = {**CLERK, "act_id": uuid4()}
    answers = [desk.post("/people/invite/", sent) for _ in range(2)]

    assert [each.status_code for each in answers] == [302, 302]
    assert User.objects.filter(username="c.abbleby").count() == 1


def test_used_twice_it_says_so_and_changes_nothing(client, address):
    client.post(address, CHOSEN)

    answer = Client().post(
        address, {"password": "stolen-cap-77", "password_again": "stolen-cap-77"}
    )

    assert answer.status_code == 410
    assert "This address was used already" in text(answer)
    assert clerk().check_password(CHOSEN["password"])


def test_too_late_it_says_until_when_it_was_good(desk, client):
    with time_machine.travel("2027-03-03 09:00Z", tick=False):
        late = signed_in(User.objects.get(username="ada"))
        address = shown_in(late.post("/people/invite/", {**CLERK, "act_id": uuid4()}, follow=True))
    with time_machine.travel("2027-03-06 09:01Z", tick=False):
        answer = client.post(address, CHOSEN)

    assert answer.status_code == 410
    assert "was good until 6 Mar 2027 09:00" in text(answer)
    assert not clerk().has_usable_password()


def test_a_later_address_takes_the_place_of_an_earlier(desk, client, address):
    later = shown_in(desk.post(f"/people/{clerk().pk}/link/", {"act_id": uuid4()}, follow=True))

    assert client.get(address).status_code == 410
    assert client.get(later).status_code == 200


def test_the_invited_may_not_choose_a_weak_password(client, address):
    answer = client.post(address, {"password": "a", "password_again": "a"})

    assert answer.status_code == 422
    assert "too short" in text(answer)
    assert not clerk().has_usable_password()


def test_a_deactivated_person_comes_in_by_no_address(desk, client, address):
    desk.post(f"/people/{clerk().pk}/deactivate/", {"reason": "never came", "act_id": uuid4()})

    assert client.post(address, CHOSEN).status_code == 410
    answer = desk.post(f"/people/{clerk().pk}/link/", {"act_id": uuid4()}, follow=True)
    assert "is deactivated. Make the account active again first." in text(answer)


def test_a_forgotten_password_works_until_the_address_is_used_and_then_sessions_end(desk, client):
    mira = a_member("mira", "controller")
    elsewhere = signed_in(mira)
    address = shown_in(desk.post(f"/people/{mira.pk}/link/", {"act_id": uuid4()}, follow=True))
    assert elsewhere.get("/account/").status_code == 200

    client.post(address, CHOSEN)

    assert elsewhere.get("/account/").status_code == 302
    mira.refresh_from_db()
    assert mira.check_password(CHOSEN["password"])


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"roles": []}, "roles"),
        ({"username": "ADA"}, "username"),
        ({"username": ""}, "username"),
        ({"last_name": " "}, "last_name"),
        ({"home_station": "999"}, "home_station"),
    ],
)
def test_whom_one_cannot_invite_is_said_at_the_field(desk, more, field):
    answer = desk.post("/people/invite/", {**CLERK, **more, "act_id": uuid4()})

    assert (answer.status_code, set(answer.context["form"].errors)) == (422, {field})
    assert User.objects.count() == 1


@pytest.mark.parametrize("role", ["controller", "auditor"])
def test_nobody_but_an_administrator_invites(role):
    browser = signed_in(a_member("mira", role))

    assert browser.get("/people/").status_code == 200
    assert browser.get("/people/invite/").status_code == 403
    assert browser.post("/people/invite/", {**CLERK, "act_id": uuid4()}).status_code == 403
    assert User.objects.count() == 1


def test_at_the_server_the_only_administrator_comes_in_again(client):
    ada = a_member("ada", "administrator")
    out = io.StringIO()
    call_command("person_link", "ada", stdout=out)
    address = "/join/" + out.getvalue().strip().rpartition("/join/")[2]

    client.post(address, CHOSEN)

    ada.refresh_from_db()
    assert ada.check_password(CHOSEN["password"])
    linked = PersonAct.objects.get(act="linked")
    assert (linked.by, linked.words) == (None, "at the server")
    with pytest.raises(CommandError, match="no such person"):
        call_command("person_link", "nemo")


def test_by_program_the_answer_has_the_address_and_nothing_else_has(desk):
    from rest_framework.test import APIClient

    from fleet.people.acts.tokens import make_token
    from tests.builders import NOW

    ada = User.objects.get(username="ada")
    secret = make_token(by=ada, user=ada, label="hr", role="administrator", at=NOW).secret
    program = APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}")
    sent = {**CLERK, "home_station": None, "act_id": str(uuid4())}

    answer = program.post("/api/v1/people", sent, format="json")

    assert answer.status_code == 201
    assert Client().get(answer.json()["link"]).status_code == 200
    [listed] = [
        p for p in program.get("/api/v1/people").json()["results"] if p["username"] != "ada"
    ]
    assert "link" not in listed
    assert listed["is_waited_for"]
    assert PersonAct.objects.get(act="invited").token.label == "hr"
