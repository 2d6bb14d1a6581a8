from __future__ import annotations

import io
import logging
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.utils import timezone
from rest_framework.test import APIClient

from fleet.doors.tokens import digest_of
from fleet.house.refusals import Refused
from fleet.loading.work import work_on
from fleet.models import Act, ApiToken, Load, Station, User
from fleet.people.acts.tokens import make_token, withdraw_token

AT = datetime(2027, 3, 3, 9, 0, tzinfo=UTC)


@pytest.fixture
def controller_person(db):
    return User.objects.create(username="cora", roles=["controller"])


@pytest.fixture
def made(administrator, controller_person):
    return make_token(
        by=administrator, user=controller_person, label="board", role="controller", at=AT
    )


def ask_with(secret):
    return APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}").get("/api/v1/stations")


def test_only_the_digest_is_kept(made):
    kept = ApiToken.objects.values().get()

    assert kept["digest"] == digest_of(made.secret)
    assert made.secret not in str(kept)
    assert len(made.secret) > 40


def test_a_token_opens_the_door(made):
    assert ask_with(made.secret).status_code == 200


def test_a_token_may_no_more_than_its_one_role(administrator, db):
    both = User.objects.create(username="bo", roles=["controller", "stores"])
    made = make_token(by=administrator, user=both, label="cage", role="stores", at=AT)
    request_user = ApiToken.objects.select_related("user").get(pk=made.token.pk).user
    request_user.acting_role = made.token.role

    assert request_user.acting_roles == {"stores"}


@pytest.mark.parametrize("header", ["Bearer", "Bearer a b", "Bearer gb_unknown", "Bearer \xff\xfe"])
def test_a_header_that_is_no_token_is_a_problem(header, db):
    answer = APIClient(HTTP_AUTHORIZATION=header).get("/api/v1/stations")

    assert answer.status_code == 401
    assert answer["Content-Type"] == "application/problem+json"
    assert answer["WWW-Authenticate"].startswith("Bearer")
    assert answer.json()["code"] in {"malformed_token", "unknown_token"}


def test_nobody_is_asked_for_a_token(db):
    answer = APIClient().get("/api/v1/stations")

    assert (answer.status_code, answer.json()["code"]) == (401, "not_authenticated")


def test_an_expired_token_says_so(administrator, controller_person):
    made = make_token(
        by=administrator,
        user=controller_person,
        label="short",
        role="controller",
        at=timezone.now() - timedelta(days=2),
        expires_at=timezone.now() - timedelta(days=1),
    )

    assert ask_with(made.secret).json()["code"] == "expired_token"


def test_a_withdrawn_token_says_so(administrator, made):
    withdraw_token(by=administrator, token_id=made.token.pk, at=AT)

    assert ask_with(made.secret).json()["code"] == "withdrawn_token"


@pytest.mark.parametrize("change", [{"roles": []}, {"is_active": False}, {"roles": ["stores"]}])
def test_a_token_ends_with_its_persons_role(made, controller_person, change):
    User.objects.filter(pk=controller_person.pk).update(**change)

    assert ask_with(made.secret).json()["code"] == "role_not_held"


def test_refuses_a_role_that_the_person_does_not_hold(administrator, controller_person):
    with pytest.raises(Refused) as refused:
        make_token(by=administrator, user=controller_person, label="x", role="stores", at=AT)

    assert (refused.value.code, refused.value.field) == ("role_not_held", "role")


def test_a_person_with_any_role_may_have_a_token_that_only_reads(administrator, controller_person):
    made = make_token(by=administrator, user=controller_person, label="wall", role="auditor", at=AT)

    assert ask_with(made.secret).status_code == 200


def test_only_an_administrator_makes_tokens(controller_person):
    with pytest.raises(Refused) as refused:
        make_token(
            by=controller_person, user=controller_person, label="x", role="controller", at=AT
        )

    assert refused.value.code == "not_permitted"


def test_the_secret_is_in_no_log(made, caplog):
    caplog.set_level(logging.DEBUG)

    ask_with(made.secret)
    ask_with(made.secret + "x")

    assert made.secret not in caplog.text
    assert all(made.secret not in str(vars(record)) for record in caplog.records)


def test_the_command_prints_the_secret_once(administrator, controller_person):
    out = io.StringIO()

    call_command("make_token", "cora", "controller", "--label", "shop", "--by", "ada", stdout=out)

    assert ask_with(out.getvalue().strip()).status_code == 200


def test_the_command_refuses_in_a_sentence(controller_person, administrator):
    with pytest.raises(CommandError, match="Nobody signs in as “nemo”"):
        call_command("make_token", "nemo", "controller", "--label", "x", "--by", "ada")


def test_a_session_reads_and_a_session_that_posts_needs_its_csrf_token(controller_person):
    browser = APIClient(enforce_csrf_checks=True)
    browser.force_login(controller_person)

    assert browser.get("/api/v1/stations").status_code == 200
    assert browser.post("/api/v1/stations", {}, format="json").json()["code"] == "permission_denied"


def test_a_person_without_any_role_reads_nothing(db):
    browser = APIClient()
    browser.force_login(User.objects.create(username="nobody"))

    assert browser.get("/api/v1/stations").json()["code"] == "not_permitted"


# --- what it may, how long, whose act it was --------------------------------------------------


@pytest.fixture
def for_holds(administrator, controller_person):
    """A token of a controller that may hold units and nothing else."""
    return make_token(
        by=administrator,
        user=controller_person,
        label="alerts",
        role="controller",
        at=AT,
        acts=["hold_units"],
    )


def program_of(made):
    return APIClient(HTTP_AUTHORIZATION=f"Bearer {made.secret}")


HOLD = {"scope": "supplier", "value": "Tidewater", "why": "unapproved", "words": "Stamps."}


def test_a_token_of_some_acts_does_these_and_reads(for_holds):
    program = program_of(for_holds)

    held = program.post("/api/v1/stores/holds", {**HOLD, "act_id": str(uuid4())}, format="json")
    other = program.post(
        "/api/v1/stores/hold-ends",
        {"hold": 1, "words": "x", "document": "y", "act_id": str(uuid4())},
        format="json",
    )

    assert program.get("/api/v1/stations").status_code == 200
    assert held.status_code == 201, held.content
    assert (other.status_code, other.json()["code"]) == (403, "not_permitted")
    assert "it was made for other acts only" in other.json()["detail"]


def test_an_act_says_by_whose_token_it_was_and_who_made_that(for_holds, administrator):
    act_id = uuid4()
    program_of(for_holds).post(
        "/api/v1/stores/holds", {**HOLD, "act_id": str(act_id)}, format="json"
    )

    done = Act.objects.select_related("token__made_by").get(act_id=act_id)
    assert (done.done_by.username, done.token.label) == ("cora", "alerts")
    assert done.token.made_by == administrator


@pytest.mark.parametrize(
    ("acts", "code"), [(["fly"], "unknown_act"), (["release_swap"], "act_not_of_role")]
)
def test_an_act_that_the_role_may_not_do_is_no_part_of_a_token(
    administrator, controller_person, acts, code
):
    with pytest.raises(Refused) as refused:
        make_token(
            by=administrator, user=controller_person, label="x", role="controller", at=AT, acts=acts
        )

    assert (refused.value.code, refused.value.field) == (code, "acts")
    assert not ApiToken.objects.exists()


def test_a_load_by_a_token_of_some_acts_may_no_more_than_these(
    administrator, settings, tmp_path, db
):
    settings.DATA_DIR = tmp_path
    both = User.objects.create(username="bo", roles=["controller"])
    made = make_token(
        by=administrator,
        user=both,
        label="sheets",
        role="controller",
        at=AT,
        acts=["load_sheets"],
    )
    sheet = SimpleUploadedFile("Stations.csv", b"Code,Name,Time zone\nQEX1,Field,UTC\n")

    brought = program_of(made).post(
        "/api/v1/loads", {"files": sheet, "mode": "good_lines"}, format="multipart"
    )
    work_on(load_id=Load.objects.get().pk, now=timezone.now, today=timezone.now().date())

    assert brought.status_code == 201, brought.content
    assert not Station.objects.exists()


@pytest.mark.parametrize(
    ("arguments", "lasts"),
    [((), timedelta(days=180)), (("--never-expires",), None)],
)
def test_unless_said_otherwise_a_token_ends(administrator, controller_person, arguments, lasts):
    call_command("make_token", "cora", "controller", "--label", "s", "--by", "ada", *arguments)

    ends = ApiToken.objects.get().expires_at
    assert (ends and (ends.date() - timezone.now().date())) == lasts


def test_the_command_makes_a_token_of_some_acts(administrator, controller_person):
    call_command(
        "make_token", "cora", "controller", "--label", "s", "--by", "ada", "--only", "plan_check"
    )

    assert ApiToken.objects.get().acts == ["plan_check"]
