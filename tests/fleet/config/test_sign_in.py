"""The door: who gets in, who is kept out, and what travels with a page."""

import pytest
from django.urls import reverse

from fleet.models import User

pytestmark = pytest.mark.django_db

PASSWORD = "a long enough phrase"


@pytest.fixture
def controller():
    return User.objects.create_user("mira", password=PASSWORD)


def sign_in(client, password, name="mira"):
    return client.post(reverse("sign-in"), {"username": name, "password": password})


def test_a_page_asks_a_stranger_to_sign_in(client):
    answer = client.get("/")

    assert answer.status_code == 302
    assert answer.url.startswith(reverse("sign-in"))


def test_the_right_password_lets_in_and_sign_out_ends_it(client, controller):
    assert sign_in(client, PASSWORD).status_code == 302
    assert client.session["_auth_user_id"] == str(controller.pk)

    client.post(reverse("sign-out"))

    assert "_auth_user_id" not in client.session


def test_a_wrong_password_is_said_in_words(client, controller):
    answer = sign_in(client, "wrong")

    assert answer.status_code == 200
    assert "do not belong together" in answer.content.decode()


def test_guessing_is_stopped_and_leaves_no_password_in_the_log(
    client, controller, settings, caplog
):
    settings.AXES_ENABLED = True

    answers = [sign_in(client, f"guess-{n}").status_code for n in range(9)]

    assert answers[0] == 200
    assert answers[-1] == 429
    assert sign_in(client, PASSWORD).status_code == 429
    assert "guess-" not in caplog.text


def test_a_sign_in_never_leads_to_another_site(client, controller):
    answer = client.post(
        reverse("sign-in") + "?next=https://elsewhere.example/",
        {"username": "mira", "password": PASSWORD},
    )

    assert answer.url == "/"


def test_a_page_allows_nothing_from_elsewhere_and_no_inline_script(client):
    policy = client.get(reverse("sign-in"))["Content-Security-Policy"]

    assert "default-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_cookies_are_out_of_reach_of_scripts(client, controller):
    cookie = sign_in(client, PASSWORD).cookies["sessionid"]

    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
