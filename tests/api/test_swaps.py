"""A swap through the API: its whole life, what is refused, and what signs."""

from __future__ import annotations

import json
from uuid import uuid4

import pytest
from axes.models import AccessAttempt
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from equipment.models import Signature, SwapEnd, Unit
from equipment.swaps.doors.responses import SwapShown
from tests.equipment.line_world import NUMERIC, PASSWORD
from tests.equipment.swaps.test_swap_pages import JUNK
from tests.sweeps import by_turns

from .swaps_world import SWAPS, WELL, an_open_swap, body_of_swap, credentials

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def opened(one_stage):
    return an_open_swap()


@pytest.fixture
def job(opened, program):
    return opened.as_it_was(program("technician"))


def fields(answer):
    return [error["field"] for error in answer.json()["errors"]]


# --- a whole life -----------------------------------------------------------------------------


def test_a_swap_is_opened_worked_signed_inspected_and_released(job):
    assert {each["code"] for each in job.shown()["obstacles"]} >= {"removal_not_recorded"}
    job.do_all()
    assert job.shown()["obstacles"] == []

    answer = job.release()

    shown = job.shown()
    assert (answer.status_code, answer.json()["sort"]) == (201, "release")
    assert (shown["state"], shown["end"]["by"]) == ("released", "certifying")
    assert Unit.objects.get(pk=job.line.new.pk).aircraft_id == job.line.aircraft.pk
    assert [each["sort"] for each in shown["signatures"]] == ["release"]


def test_a_swap_shows_what_the_schema_says(job):
    job.enter(6)
    job.sign(6)

    assert list(job.shown()) == list(SwapShown().fields)
    assert job.step(6)["entry"]["typed"]["value"] == "242"
    assert (job.step(6)["verdict"], job.step(7)["entry"]) == ("in", None)
    assert [(s["by"], s["counts"]) for s in job.step(6)["signatures"]] == [("technician", True)]


def test_a_swap_is_read_in_as_many_queries_with_many_entries_as_with_few(job):
    job.do_all()
    with CaptureQueriesContext(connection) as few:
        job.shown()
    for number in WELL:
        job.enter(number)
        job.sign(number)
    with CaptureQueriesContext(connection) as many:
        job.shown()

    assert len(many) <= len(few) <= 78  # thirty reckon hours and cycles of both units


def test_swaps_are_listed_by_state_aircraft_and_station_a_page_at_a_time(job):
    client, registration = job.client, job.line.aircraft.registration
    job.post("abandonment", reason="Not due after all")
    first = job.id
    job.open()

    page = client.get(f"{SWAPS}?limit=1").json()
    rest = client.get(page["next"]).json()
    assert [row["id"] for row in page["results"] + rest["results"]] == [job.id, first]
    for query, found in (
        ("state=open", [job.id]),
        ("state=abandoned", [first]),
        ("state=released", []),
        (f"aircraft={registration.lower()}", [job.id, first]),
        ("station=NONE", []),
    ):
        rows = client.get(f"{SWAPS}?{query}").json()["results"]
        assert [row["id"] for row in rows] == found, query


def test_a_unit_s_history_says_by_which_token_it_came_off_and_who_made_that(job, client):
    job.take_off()
    client.force_login(job.people["auditor"])

    page = client.get(f"/units/{job.line.old.pk}/").content.decode()

    assert "by the token “technician”, made by ada" in page


def test_a_released_swap_is_corrected_by_a_new_one(job, program):
    job.do_all()
    job.release()
    sent = {"act_id": str(uuid4()), "reason": "Wrong wrench named"}
    address = f"{SWAPS}/{job.id}/correction"

    answers = [program("controller").post(address, sent, format="json") for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json()["corrects"] == job.id
    assert job.shown()["corrected_by"] == answers[0].json()["id"]
    assert answers[0].json()["steps"][0]["signatures"] == []


def test_both_sign_a_handover(job):
    facts = {"words": "Nothing is done yet", "giver": credentials("technician")}

    same = job.post("handover", **facts, taker=credentials("technician"))
    wrong = job.post("handover", **facts, taker=credentials("inspector", "wrong"))
    done = job.post("handover", **facts, taker=credentials("inspector"))

    assert (same.json()["code"], wrong.json()["code"]) == ("same_person", "credentials_wrong")
    assert fields(wrong) == ["taker.password"]
    assert [s["by"] for s in done.json()["signatures"]] == ["technician", "inspector"]


def test_the_inspector_is_called_and_answers(job, program):
    called = job.post("calls", step=11)
    again = job.post("calls", step=11)
    address = f"/api/v1/calls/{called.json()['id']}/answer"
    answers = [program("inspector").post(address, {}, format="json") for _ in range(2)]

    assert [a.status_code for a in (called, again, *answers)] == [201, 200, 201, 200]
    assert job.shown()["calls"][0]["coming_by"] == "program-inspector"
    assert job.post("calls", step=1).json()["code"] == "not_to_be_inspected"


# --- what stands in the way -------------------------------------------------------------------


def test_a_step_off_tolerance_stops_the_release_and_is_named(job):
    job.do_all(but=(6,))
    entry = job.enter(6, {"value": "204", "unit": "in-lb", "drag": "12"})
    refused = job.release()

    assert (entry.status_code, entry.json()["verdict"]) == (201, "out")
    assert (refused.status_code, refused.json()["code"]) == (422, "step_out_of_tolerance")
    assert set(fields(refused)) == {"step-6"}
    assert "Step 6" in refused.json()["detail"]
    assert job.sign(6).json()["code"] == "step_out_of_tolerance"
    assert job.shown()["obstacles"][0]["step"] == 6
    assert not SwapEnd.objects.exists()


def test_a_later_value_makes_a_signature_stale_and_stops_the_release(job):
    job.do_all()
    job.enter(7, {"value": "1.6"})

    assert [s["counts"] for s in job.step(7)["signatures"]] == [False]
    refused = job.release()
    assert refused.status_code == 422
    assert fields(refused) == ["step-7"]
    assert job.sign(7).status_code == 201
    assert job.release().status_code == 201


def test_who_did_a_step_does_not_inspect_it(job):
    job.enter(2)
    job.enter(11)
    assert job.sign(11, "inspector").status_code == 201

    own = job.inspect(11, "inspector")
    other = job.inspect(11, "certifying")

    assert own.status_code == 422
    assert other.status_code == 201


def test_a_second_swap_at_the_position_names_the_first(job):
    answer = job.client.post(SWAPS, body_of_swap(job.line), format="json")

    assert (answer.status_code, answer.json()["code"]) == (422, "swap_already_open")
    assert f"swap {job.id}" in answer.json()["detail"]


def test_another_unit_than_recorded_is_kept_with_a_discrepancy(job):
    answer = job.take_off(unit=job.line.new.pk, is_confirmed=True)

    moved = answer.json()
    assert (answer.status_code, moved["is_conforming"]) == (201, False)
    assert moved["reasons"][0]["message"]
    assert job.shown()["discrepancies"][0]["id"] == moved["discrepancy"]


def test_a_unit_on_no_record_is_noted_as_seen(job):
    found = {"part_number": "XX-1", "serial_number": "77"}

    sent = {"unit": None, "found": found, "act_id": str(uuid4()), "is_confirmed": True}
    sent["happened_at"] = timezone.now().isoformat()
    answers = [job.take_off(**sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200]
    assert answers[0].json()["movement"] is None
    assert answers[0].json()["reasons"][0]["code"] == "unknown_unit"


def test_an_ended_swap_takes_no_more(job):
    job.post("abandonment", reason="Not due after all")

    assert job.enter(1).json()["code"] == "swap_ended"
    assert job.sign(1).json()["code"] == "swap_ended"
    assert job.shown()["obstacles"] == []


# --- the same act twice -----------------------------------------------------------------------


def ready_for(job, what):
    """The swap as far as this act needs it."""
    if what == "release":
        job.do_all()
    if what in {"sign", "inspect"}:
        job.enter(2)
        job.enter(11)
    if what == "inspect":
        job.sign(11)
    if what == "put_on":
        job.take_off()
    if what == "open":
        job.post("abandonment", reason="Begun again below")


@pytest.mark.parametrize(
    "what", ["open", "enter", "take_off", "put_on", "sign", "inspect", "release"]
)
def test_the_same_act_twice_answers_200_and_changes_nothing(job, what):
    ready_for(job, what)
    number = (11,) if what in {"enter", "sign", "inspect"} else ()
    sent = {"act_id": str(uuid4())}
    if what in {"take_off", "put_on"}:
        sent["happened_at"] = timezone.now().isoformat()

    answers = [getattr(job, what)(*number, **sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [201, 200], answers[0].content
    assert answers[0].json() == answers[1].json()


def test_an_act_id_used_for_another_step_is_refused(job):
    act = {"act_id": str(uuid4())}
    job.enter(1, **act)

    assert job.enter(2, **act).json()["code"] == "act_id_used"


# --- signatures -------------------------------------------------------------------------------


@pytest.mark.parametrize("door", ["steps/1/signature", "steps/6/inspection", "release"])
def test_a_token_alone_signs_nothing(job, door):
    answer = job.post(door)

    assert answer.status_code == 400
    assert fields(answer) == ["username", "password"]
    assert not Signature.objects.exists()


@pytest.mark.parametrize("password", ["not-it", f" {PASSWORD}", PASSWORD.upper()])
def test_a_wrong_password_signs_nothing_and_is_not_repeated(job, password, caplog):
    job.enter(1)
    with caplog.at_level("DEBUG"):
        answer = job.sign(1, password=password)

    assert (answer.status_code, answer.json()["code"]) == (422, "credentials_wrong")
    assert fields(answer) == ["password"]
    assert password not in answer.content.decode()
    assert password not in caplog.text
    assert not Signature.objects.exists()


@pytest.mark.parametrize(
    "bad",
    [
        {"password": "a\x00b-never-shown"},
        {"password": "never-shown" * 99},
        {"password": 4711081542},
        {"passwort": "never-shown"},
    ],
)
def test_a_password_that_cannot_be_read_is_not_repeated_either(job, bad):
    answer = job.sign(1, **bad)

    assert answer.status_code == 400
    assert "never-shown" not in answer.content.decode()
    assert "4711081542" not in answer.content.decode()


def test_wrong_passwords_are_counted_and_lock_without_being_kept(job, settings):
    settings.AXES_ENABLED = True
    job.enter(1)

    answers = [job.sign(1, password="not-the-one") for _ in range(settings.AXES_FAILURE_LIMIT + 1)]

    assert answers[0].json()["code"] == "credentials_wrong"
    assert answers[-1].json()["code"] == "credentials_locked"
    assert job.sign(1).json()["code"] == "credentials_locked"
    kept = json.dumps(list(AccessAttempt.objects.values()), default=str)
    assert "not-the-one" not in kept
    assert AccessAttempt.objects.exists()


def test_no_answer_carries_the_password(job):
    job.enter(1)

    assert PASSWORD not in job.sign(1).content.decode()
    assert PASSWORD not in json.dumps(job.shown())


def test_the_signer_is_who_proves_it_not_who_answers_for_the_token(job):
    job.enter(1)

    assert job.sign(1, "inspector").json()["by"] == "inspector"
    assert job.sign(2, "controller").json()["code"] == "not_permitted"


def test_who_holds_no_authorisation_does_not_sign(job):
    job.enter(1)
    job.people["stores"].roles = ["technician"]
    job.people["stores"].save(update_fields=["roles"])

    answer = job.sign(1, "stores")

    assert (answer.status_code, answer.json()["code"]) == (422, "not_authorised")
    assert not Signature.objects.exists()


# --- whatever is typed ------------------------------------------------------------------------


@pytest.mark.sweep
@pytest.mark.parametrize("junk", JUNK)
def test_whatever_is_typed_as_a_number_is_kept_as_typed_or_answered_with_a_sentence(job, junk):
    for number, field in by_turns(list(NUMERIC), JUNK.index(junk), 4):
        others = {"value": "1", "extension": "1"} if field != "value" else {}
        answer = job.enter(number, {**others, field: junk}, tool="VT-1")

        assert answer.status_code in {201, 422}, (number, field, answer.content)
        if answer.status_code == 201:
            assert answer.json()["typed"][field] == junk
        else:
            assert answer.json()["detail"][-1] in ".?", answer.content
            assert all(error["message"] for error in answer.json()["errors"])


@pytest.mark.parametrize("value", [62, 62.5, True, None, [], {"a": 1}])
def test_only_what_was_typed_as_text_is_taken_as_typed(job, value):
    answer = job.enter(6, {"value": value})

    assert (answer.status_code, answer.json()["code"]) == (400, "not_text")
    assert fields(answer) == ["typed.value"]


@pytest.mark.parametrize("typed", [None, [], "62", {"valeu": "62"}, {"a\x00b": "62"}])
def test_what_names_no_field_of_a_step_is_refused_at_its_name(job, typed):
    answer = job.post("entries", step=6, typed=typed)

    assert answer.status_code == 400
    assert fields(answer)[0].startswith("typed")


def test_what_is_asked_about_is_kept_once_it_is_confirmed(job):
    typed = {"value": "2", "unit": "Ω"}

    asked = job.enter(7, typed)
    kept = job.enter(7, typed, is_confirmed=True)

    assert (asked.status_code, asked.json()["code"]) == (422, "value_questioned")
    assert fields(asked) == ["typed.value"]
    assert (kept.status_code, kept.json()["is_confirmed"]) == (201, True)


@pytest.mark.parametrize("step", [0, 99, 2**40, -1, "6", 6.5, None])
def test_a_step_that_is_not_there_is_said_so(job, step):
    answer = job.post("entries", step=step, typed={"value": "1"})

    assert answer.status_code in {400, 422}
    assert fields(answer) == ["step"]


@pytest.mark.parametrize(
    "address",
    ["999999", "99999999999999999999", "{id}/steps/99/signature", "{id}/steps/70000/inspection"],
)
def test_an_address_of_nothing_is_a_problem_with_a_sentence(job, address):
    send = job.client.post if "steps" in address else job.client.get
    answer = send(f"{SWAPS}/{address.format(id=job.id)}")

    assert answer.status_code == 404
    assert answer.json()["detail"].endswith(".")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"unit": 999999}, "unit"),
        ({"unit": "x"}, "unit"),
        ({"unit": None}, "unit"),
        ({"aircraft_minutes": "12,345"}, "aircraft_minutes"),
        ({"aircraft_cycles": -1}, "aircraft_cycles"),
        ({"aircraft_cycles": 2.5}, "aircraft_cycles"),
        ({"happened_at": "yesterday"}, "happened_at"),
        ({"happened_at": "2149-01-01T00:00:00Z"}, "happened_on"),
        ({"tag": {"sort": "lovely"}}, "tag.sort"),
        ({"tag": {"sort": "unserviceable"}}, "why"),
        ({"place": {"sort": "moon"}}, "place.sort"),
        ({"log_page": "a\x00b"}, "log_page"),
        ({"act_id": "x"}, "act_id"),
        ({"found": {"part_number": "", "serial_number": "7"}}, "found.part_number"),
    ],
)
def test_a_removal_that_says_nothing_is_refused_at_its_field(job, changes, field):
    answer = job.take_off(**changes)

    assert answer.status_code in {400, 422}, answer.content
    assert field in fields(answer), answer.content
    assert job.shown()["removal"] is None
