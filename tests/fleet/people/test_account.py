"""The own account: the password changed, sessions seen and ended, tokens in the own name withdrawn."""

from __future__ import annotations

import pytest

from fleet.models import ApiToken, Notice, PersonAct, SignedIn
from fleet.people.acts.tokens import make_token
from tests.builders import NOW, a_person

from .desks import PASSWORD, a_member, signed_in, text

pytestmark = pytest.mark.django_db
NEW = {"present": PASSWORD, "password": "another-gust-41", "password_again": "another-gust-41"}
PHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 19_0) Version/19.0 Safari/604.1"


@pytest.fixture
def mira(db):
    return a_member("mira", "controller")


@pytest.fixture
def desk(mira):
    return signed_in(mira)


def test_a_new_password_keeps_this_session_and_ends_the_others(desk, mira):
    elsewhere = signed_in(mira)

    answer = desk.post("/account/", NEW, follow=True)

    assert "The password is changed." in text(answer)
    assert elsewhere.get("/account/").status_code == 302
    mira.refresh_from_db()
    assert mira.check_password(NEW["password"])
    assert SignedIn.objects.count() == 1
    assert PersonAct.objects.get().act == "password_changed"


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"present": "wrong"}, "present"),
        ({"password": "a", "password_again": "a"}, "password"),
        ({"password": PASSWORD, "password_again": PASSWORD}, "password"),
        ({"password_again": "not the same"}, "password_again"),
        ({"password": "dagnymira", "password_again": "dagnymira"}, "password"),
    ],
)
def test_what_will_not_do_is_said_at_its_field_and_the_password_stays(desk, mira, more, field):
    answer = desk.post("/account/", {**NEW, **more})

    assert (answer.status_code, set(answer.context["form"].errors)) == (422, {field})
    mira.refresh_from_db()
    assert mira.check_password(PASSWORD)
    assert not PersonAct.objects.exists()


def test_own_sessions_are_told_by_browser_and_ended_one_by_one(desk, mira):
    phone = signed_in(mira, HTTP_USER_AGENT=PHONE)
    page = desk.get("/account/")
    assert "Safari on iPhone" in text(page)
    [other] = [row for row in page.context["sessions"] if not row.is_here]

    desk.post(f"/account/sessions/{other.id}/end/")

    assert phone.get("/account/").status_code == 302
    assert desk.get("/account/").status_code == 200
    assert PersonAct.objects.get().words == "one: Safari on iPhone"


def test_all_others_are_ended_at_once(desk, mira):
    others = [signed_in(mira), signed_in(mira)]

    desk.post("/account/sessions/end/")

    assert [each.get("/account/").status_code for each in others] == [302, 302]
    assert desk.get("/account/").status_code == 200


def test_nobody_ends_anothers_session(desk):
    bo = a_member("bo", "controller")
    theirs = signed_in(bo)

    desk.post(f"/account/sessions/{SignedIn.objects.get(user=bo).pk}/end/")

    assert theirs.get("/account/").status_code == 200


def test_signing_out_takes_the_session_off_the_list(desk):
    desk.post("/sign-out/")

    assert not SignedIn.objects.exists()


def test_whoever_answers_for_a_token_is_told_and_may_withdraw_it(desk, mira):
    ada = a_person("administrator")
    token = make_token(by=ada, user=mira, label="board", role="controller", at=NOW).token

    assert f"{ada.username} made a token in your name" in Notice.objects.get(to=mira).words
    assert "board: Maintenance controller, all that the role may" in text(desk.get("/account/"))
    desk.post(f"/account/tokens/{token.pk}/withdraw/")

    assert ApiToken.objects.get().withdrawn_at is not None
    told = PersonAct.objects.filter(person=mira).order_by("pk")
    assert [(each.act, each.by) for each in told] == [
        ("token_made", ada),
        ("token_withdrawn", mira),
    ]


def test_nobody_withdraws_what_is_in_anothers_name(desk):
    bo, ada = a_member("bo", "controller"), a_person("administrator")
    token = make_token(by=ada, user=bo, label="board", role="controller", at=NOW).token

    desk.post(f"/account/tokens/{token.pk}/withdraw/")

    assert ApiToken.objects.get().withdrawn_at is None
