from __future__ import annotations

import re

import pytest
from django.test import Client
from rest_framework.test import APIClient

from fleet.models import ApiToken, User
from tests.api.conftest import administrator  # noqa: F401


@pytest.fixture
def cora(db):
    return User.objects.create(username="cora", roles=["controller"])


@pytest.fixture
def desk(administrator):  # noqa: F811
    browser = Client()
    browser.force_login(administrator)
    return browser


def made_on(desk, **values):
    return desk.post(
        "/api/tokens/", {"user": "cora", "role": "controller", "label": "board", **values}
    )


def test_a_new_token_is_shown_once_and_works(desk, cora):
    page = made_on(desk).content.decode()

    secret = re.search(r"gb_[\w-]+", page).group()
    assert (
        APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}").get("/api/v1/stations").status_code == 200
    )
    assert secret not in desk.get("/api/tokens/").content.decode()


def test_a_role_that_the_person_lacks_is_refused_at_its_field(desk, cora):
    answer = made_on(desk, role="stores")

    assert answer.status_code == 422
    assert "role" in answer.context["form"].errors
    assert not ApiToken.objects.exists()


@pytest.mark.parametrize(
    "wrong", [{"user": "nemo"}, {"role": "king"}, {"label": ""}, {"expires_on": "3/4/27"}]
)
def test_a_wrong_entry_is_said_at_its_field(desk, cora, wrong):
    answer = made_on(desk, **wrong)

    assert set(answer.context["form"].errors) == set(wrong)


def test_withdrawing_ends_it(desk, cora):
    made_on(desk)
    token = ApiToken.objects.get()

    page = desk.post(f"/api/tokens/{token.pk}/withdraw/", follow=True).content.decode()

    assert "The token “board” is withdrawn." in page
    assert ApiToken.objects.get().withdrawn_at is not None


def test_an_unknown_token_is_not_found(desk):
    assert desk.post("/api/tokens/99/withdraw/").status_code == 404


def test_others_do_not_see_the_page(cora):
    browser = Client()
    browser.force_login(cora)

    assert browser.get("/api/tokens/").status_code == 403
    assert browser.post("/api/tokens/1/withdraw/").status_code == 403


def test_unless_said_otherwise_it_ends(desk, cora):
    made_on(desk)
    made_on(desk, label="wall", never_expires="on")

    ends = dict(ApiToken.objects.values_list("label", "expires_at"))
    assert ends["board"] is not None
    assert ends["wall"] is None


def test_a_last_day_and_none_is_said_at_its_field(desk, cora):
    answer = made_on(desk, never_expires="on", expires_on="2099-01-01")

    assert set(answer.context["form"].errors) == {"expires_on"}


def test_the_page_says_what_a_token_may_who_made_it_and_what_it_did(desk, cora):
    page = made_on(desk, acts=["plan_check", "hold_units"]).content.decode()
    token = ApiToken.objects.get()
    secret = re.search(r"gb_[\w-]+", page).group()
    hold = {"scope": "supplier", "value": "T", "why": "unapproved", "words": "Stamps."}
    APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}").post(
        "/api/v1/stores/holds",
        {**hold, "act_id": "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c41"},
        format="json",
    )

    one = desk.get(f"/api/tokens/{token.pk}/").content.decode()

    assert "plan check, hold units" in page
    assert "by ada" in page
    assert "Hold units" in one
    assert "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c41" in one
