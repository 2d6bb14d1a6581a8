"""A browser left alone is locked and keeps the work; a session that ended asks in place; nothing is stored."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.test import Client

from fleet.models import PersonAct, User

from .desks import PASSWORD, a_member, signed_in, text

pytestmark = pytest.mark.django_db
MORNING, LATER, NOON = "2027-03-03 09:00Z", "2027-03-03 09:20Z", "2027-03-03 09:31Z"
CLERK = {
    "username": "c.abbleby",
    "first_name": "Corwin",
    "last_name": "Abbleby & Sons",
    "roles": ["stores", "auditor"],
    "home_station": "",
}


@pytest.fixture
def clock():
    with time_machine.travel(MORNING, tick=False) as clock:
        yield clock


@pytest.fixture
def ada(clock, db):
    return a_member("ada", "administrator")


@pytest.fixture
def desk(ada):
    return signed_in(ada)


def again_of(page):
    """The fields of the page that asks again, as a browser sends them."""
    fields = {}
    for name, value in page.context["kept"]:
        fields.setdefault(name, []).append(value)
    return fields


# --- left alone -------------------------------------------------------------------------------


def test_a_browser_that_nobody_used_for_half_an_hour_is_locked(desk, clock):
    clock.move_to(NOON)

    answer = desk.get("/people/")

    assert answer.url == "/sign-in/?next=/people/"
    assert 'value="ada"' in desk.get(answer.url).content.decode()


def test_one_that_is_used_is_not(desk, clock):
    clock.move_to(LATER)
    assert desk.get("/people/").status_code == 200
    clock.move_to(NOON)

    assert desk.get("/people/").status_code == 200


def test_what_a_page_asks_by_itself_keeps_nothing_awake(desk, clock):
    clock.move_to(LATER)
    desk.get("/people/", headers={"X-By-Itself": "1"})
    clock.move_to(NOON)

    assert desk.get("/people/").status_code == 302


def test_the_setting_says_how_long(desk, clock, settings):
    settings.IDLE_MINUTES = 0
    clock.move_to("2027-03-03 19:00Z")

    assert desk.get("/people/").status_code == 200


def test_a_locked_browser_is_no_way_into_the_api_either(desk, clock):
    clock.move_to(NOON)

    assert desk.get("/api/v1/people").status_code == 401


# --- asked in place ---------------------------------------------------------------------------


def test_a_form_that_was_sent_too_late_goes_on_once_the_password_is_entered(desk, clock):
    clock.move_to(NOON)
    page = desk.post("/people/invite/", {**CLERK, "act_id": uuid4()})
    assert page.status_code == 401
    assert "What you filled in is kept on this page" in text(page)
    assert not User.objects.filter(username="c.abbleby").exists()

    answer = desk.post("/people/invite/", {**again_of(page), "again-password": PASSWORD})

    made = User.objects.get(username="c.abbleby")
    assert answer.url == f"/people/{made.pk}/"
    assert (made.last_name, made.roles) == ("Abbleby & Sons", ["stores", "auditor"])


def test_a_wrong_password_keeps_it_still(desk, clock):
    clock.move_to(NOON)
    page = desk.post("/people/invite/", {**CLERK, "act_id": uuid4()})

    again = desk.post("/people/invite/", {**again_of(page), "again-password": "wrong"})

    assert again.status_code == 401
    assert "do not belong together" in text(again)
    assert again_of(again) == again_of(page)


def test_in_a_locked_browser_nobody_else_goes_on_with_the_work(desk, clock):
    a_member("bo", "administrator")
    clock.move_to(NOON)
    page = desk.post("/people/invite/", {**CLERK, "act_id": uuid4()})
    other = {"again-username": "bo", "again-password": "not-adas-41"}

    assert desk.post("/people/invite/", {**again_of(page), **other}).status_code == 401
    assert not User.objects.filter(username="c.abbleby").exists()


def test_a_session_that_ended_asks_for_name_and_password(ada, desk):
    desk.cookies.pop("sessionid")
    page = desk.post("/people/invite/", {**CLERK, "act_id": uuid4()})

    given = {"again-username": "ada", "again-password": PASSWORD}
    answer = desk.post("/people/invite/", {**again_of(page), **given})

    assert answer.status_code == 302
    assert User.objects.filter(username="c.abbleby").exists()


def test_nobody_who_signed_in_meanwhile_does_it_in_the_place_of_another(ada, desk):
    desk.cookies.pop("sessionid")
    page = desk.post("/people/invite/", {**CLERK, "act_id": uuid4()})
    kept = again_of(page)
    a_member("bo", "administrator")
    meanwhile = {"username": "bo", "password": PASSWORD}
    desk.post("/sign-in/", meanwhile)

    wrong = {"again-username": "ada", "again-password": "wrong"}
    assert desk.post("/people/invite/", {**kept, **wrong}).status_code == 401
    assert not User.objects.filter(username="c.abbleby").exists()

    right = {"again-username": "ada", "again-password": PASSWORD}
    assert desk.post("/people/invite/", {**kept, **right}).status_code == 302
    assert PersonAct.objects.get(act="invited").by == ada


def test_the_page_that_asks_again_wants_its_token_against_forgery(ada):
    browser = Client(enforce_csrf_checks=True)
    given = {**CLERK, "again-username": "ada", "again-password": PASSWORD}

    assert browser.post("/people/invite/", given).status_code == 403
    assert "_auth_user_id" not in browser.session


def test_no_door_of_the_api_takes_a_password_beside_what_it_is_sent(ada):
    given = {"again-username": "ada", "again-password": PASSWORD}
    browser = Client()

    assert browser.post("/api/v1/people", given).status_code == 401
    assert "_auth_user_id" not in browser.session


@pytest.mark.parametrize("header", [{"HX-Request": "true"}, {"X-Keep": "1"}])
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_script_is_told_and_gets_no_page(client, db, header, method):
    answer = getattr(client, method)("/account/", headers=header)

    assert (answer.status_code, answer["X-Signed-Out"]) == (401, "1")
    assert "<" not in answer.content.decode()


def test_in_place_the_script_is_told_that_it_worked_or_the_fault(ada):
    browser = Client()

    def asked(password):
        given = {"username": "ada", "password": password}
        return browser.post("/sign-in/", given, headers={"X-In-Place": "1"})

    wrong, right = asked("wrong"), asked(PASSWORD)

    assert (wrong.status_code, "belong together" in wrong.json()["fault"]) == (422, True)
    assert (right.status_code, right.content) == (204, b"")
    assert browser.get("/people/").status_code == 200


# --- not stored -------------------------------------------------------------------------------


@pytest.mark.parametrize("address", ["/", "/aircraft/", "/units/", "/account/", "/api/v1/people"])
def test_no_browser_stores_what_it_was_shown(desk, address):
    assert "no-store" in desk.get(address)["Cache-Control"]
