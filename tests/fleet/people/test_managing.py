"""What an administrator does about people: each act with who and when; nothing half done."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from rest_framework.test import APIClient

from equipment.models import Signature
from fleet.house.refusals import Refused
from fleet.models import Authorisation, PersonAct, User
from fleet.people.acts.changes import PersonChange, change_person, deactivate_person
from fleet.people.acts.tokens import make_token
from tests import builders_swaps as swaps
from tests.builders import NOW

from .desks import PASSWORD, a_member, signed_in, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def ada(db):
    return a_member("ada", "administrator")


@pytest.fixture
def desk(ada):
    return signed_in(ada)


@pytest.fixture
def dagny(db):
    return a_member("dagny", "technician")


def sent(**given):
    return {**given, "act_id": uuid4()}


def change_of(person, *roles):
    return PersonChange(person.pk, "Dagny", "Follows", roles)


def acts_about(person):
    return list(
        PersonAct.objects.filter(person=person).order_by("pk").values_list("act", flat=True)
    )


def test_the_list_names_everybody_with_roles_and_state(desk, dagny):
    said = text(desk.get("/people/"))

    assert "Dagny Dagny dagny Technician" in said
    assert "Administrator" in said


def test_other_roles_count_from_the_next_request_on_and_the_ledger_tells_both(desk, dagny):
    theirs = signed_in(dagny)
    assert theirs.get("/people/invite/").status_code == 403
    given = sent(first_name="Dagny", last_name="Follows", roles=["technician", "administrator"])

    answer = desk.post(f"/people/{dagny.pk}/change/", given, follow=True)

    assert "Technician → Technician, Administrator" in text(answer)
    assert theirs.get("/people/invite/").status_code == 200


def test_a_person_without_a_role_is_refused_at_the_field(desk, dagny):
    answer = desk.post(
        f"/people/{dagny.pk}/change/", sent(first_name="Dagny", last_name="F", roles=[])
    )

    assert "Give at least one role" in text(answer)
    dagny.refresh_from_db()
    assert dagny.roles == ["technician"]


def test_a_deactivated_person_is_out_at_once_with_every_session_and_token(desk, ada, dagny):
    theirs = signed_in(dagny)
    secret = make_token(by=ada, user=dagny, label="hand", role="technician", at=NOW).secret
    program = APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}")
    assert program.get("/api/v1/people").status_code == 200

    desk.post(f"/people/{dagny.pk}/deactivate/", sent(reason="Left the house."))

    assert theirs.get("/account/").status_code == 302
    assert program.get("/api/v1/people").json()["code"] == "withdrawn_token"
    again = theirs.post("/sign-in/", {"username": "dagny", "password": PASSWORD})
    assert "This account is deactivated" in text(again)
    assert "Deactivated" in text(desk.get("/people/"))


def test_what_was_signed_stays_and_the_open_job_is_shown(desk):
    job = swaps.a_job()
    job.open()
    job.enter(2)
    job.enter(11)
    job.sign(11)
    person = User.objects.get(pk=Signature.objects.get().by_id)

    before = text(desk.get(f"/people/{person.pk}/deactivate/"))
    desk.post(f"/people/{person.pk}/deactivate/", sent(reason="Ill."))

    page = desk.get(f"/people/{person.pk}/")
    assert "In hand now" in before
    assert f'href="/swaps/{job.swap.pk}/"' in page.content.decode()
    assert "whoever takes one over opens it" in text(page)
    assert Signature.objects.get().name == person.shown_name


def test_the_last_administrator_stays(desk, ada):
    answer = desk.post(f"/people/{ada.pk}/deactivate/", sent(reason="Tired."))

    assert answer.status_code == 422
    assert "the only administrator who can sign in" in text(answer)
    given = sent(first_name="Ada", last_name="Ada", roles=["auditor"])
    assert "the only administrator" in text(desk.post(f"/people/{ada.pk}/change/", given))
    ada.refresh_from_db()
    assert (ada.is_active, ada.roles) == (True, ["administrator"])
    assert acts_about(ada) == []


def test_an_administrator_who_never_came_is_not_another_one(desk, ada):
    User.objects.create(username="invited", roles=["administrator"], password="!")

    with pytest.raises(Refused) as refused:
        deactivate_person(by=ada, person_id=ada.pk, reason="x", act_id=uuid4(), at=NOW)

    assert refused.value.code == "last_administrator"


def test_with_another_administrator_one_may_go(desk, ada):
    a_member("bo", "administrator")

    desk.post(f"/people/{ada.pk}/deactivate/", sent(reason="Retires."))

    ada.refresh_from_db()
    assert not ada.is_active


def test_active_again_with_the_password_of_before_and_without_the_old_tokens(desk, ada, dagny):
    make_token(by=ada, user=dagny, label="hand", role="technician", at=NOW)
    desk.post(f"/people/{dagny.pk}/deactivate/", sent(reason="Parental leave."))

    desk.post(f"/people/{dagny.pk}/reactivate/", sent())

    signed_in(dagny)
    assert dagny.api_tokens.get().withdrawn_at is not None
    assert acts_about(dagny) == ["token_made", "deactivated", "reactivated"]


def test_deactivated_twice_is_said(desk, dagny):
    desk.post(f"/people/{dagny.pk}/deactivate/", sent(reason="Left."))

    answer = desk.post(f"/people/{dagny.pk}/deactivate/", sent(reason="Left."))

    assert "You recorded the same" in text(answer)
    assert acts_about(dagny).count("deactivated") == 1


def test_all_sessions_of_a_person_are_ended(desk, dagny):
    theirs = [signed_in(dagny), signed_in(dagny)]

    desk.post(f"/people/{dagny.pk}/end-sessions/", sent())

    assert [each.get("/account/").status_code for each in theirs] == [302, 302]
    assert PersonAct.objects.get(act="sessions_ended").words == "all: 2"


def test_an_authorisation_is_granted_and_ended_from_the_persons_page(desk, dagny):
    given = {
        "number": "QA-1",
        "sort": "approval",
        "acts": ["sign_step"],
        "from_on": "2026-01-01",
        "until_on": "2028-12-31",
        "aircraft_types": "",
        "kinds": "",
    }
    desk.post(f"/people/{dagny.pk}/authorise/", sent(**given))
    held = Authorisation.objects.get()

    page = text(desk.get(f"/people/{dagny.pk}/"))
    ended = {"ended_on": "2027-01-01", "reason": "Moved."}
    desk.post(f"/people/authorisations/{held.pk}/end/", sent(**ended))

    assert (held.user, held.recorded_by.username) == (dagny, "ada")
    assert (
        "QA-1 company approval sign off steps any type; any kind 1 Jan 2026 to 31 Dec 2028" in page
    )
    assert "ended 1 Jan 2027: Moved." in text(desk.get(f"/people/{dagny.pk}/"))


def test_a_type_that_is_not_on_record_is_said_at_its_field(desk, dagny):
    given = {
        "number": "QA-1",
        "sort": "approval",
        "acts": ["sign_step"],
        "from_on": "2026-01-01",
        "until_on": "2028-12-31",
        "aircraft_types": "NONE-1",
    }
    answer = desk.post(f"/people/{dagny.pk}/authorise/", sent(**given))

    assert "aircraft_types" in answer.context["form"].errors


PAGES = ("change", "deactivate", "authorise")
BUTTONS = ("link", "end-sessions", "reactivate")


@pytest.mark.parametrize("what", [*PAGES, *BUTTONS])
def test_nobody_but_an_administrator_does_anything_about_people(dagny, what):
    browser = signed_in(a_member("mira", "controller"))

    assert browser.post(f"/people/{dagny.pk}/{what}/", sent(reason="x")).status_code == 403
    assert acts_about(dagny) == []


@pytest.mark.parametrize("what", [*PAGES, "nothing"])
def test_somebody_that_there_is_not_is_not_found(desk, what):
    assert desk.post(f"/people/99999/{what}/", sent(reason="x")).status_code == 404


def test_what_was_done_is_never_changed_or_deleted(ada, dagny):
    change_person(by=ada, change=change_of(dagny, "technician"), act_id=uuid4(), at=NOW)

    for change in (
        lambda: PersonAct.objects.update(words="nothing"),
        lambda: PersonAct.objects.all()._raw_delete("default"),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            change()
