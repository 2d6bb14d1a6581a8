from __future__ import annotations

import io
import uuid
from datetime import UTC, datetime

import pytest
import xlsxwriter
from django.core.files.uploadedfile import SimpleUploadedFile

from equipment.models import Movement
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.intake.template import template
from fleet.loading.work import drain
from fleet.models import Aircraft, Load, LoadLine, Station, User

NOW = datetime(2027, 3, 3, 9, 0, tzinfo=UTC)
HEADS = ["code", "name", "time_zone"]


def workbook(*rows):
    kept = io.BytesIO()
    with xlsxwriter.Workbook(kept) as book:
        sheet = book.add_worksheet("stations")
        for index, row in enumerate([HEADS, *rows]):
            sheet.write_row(index, 0, row)
    return SimpleUploadedFile("stations.xlsx", kept.getvalue())


def brought(client, *rows, **options):
    return client.post("/api/v1/loads", {"files": workbook(*rows), **options}, format="multipart")


def worked():
    drain(now=lambda: NOW, today=NOW.date())


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def test_sheets_are_brought_read_decided_and_applied(controller):
    first = brought(controller, ["BRE", "Brent", "UTC"])
    address = f"/api/v1/loads/{first.json()['key']}"
    worked()
    read = controller.get(address).json()
    decided = controller.post(f"{address}/decision", {"mode": "all_or_nothing"}, format="json")
    worked()

    assert (first.status_code, first.json()["state"]) == (201, "waiting")
    assert (read["state"], read["accepted"], read["refused"]) == ("read", 1, 0)
    assert (decided.status_code, decided.json()["state"]) == (201, "applying")
    assert controller.get(address).json()["state"] == "applied"
    assert Station.objects.get().code == "BRE"


def test_refused_lines_are_listed_with_what_would_do(controller):
    key = brought(controller, ["BRE", "Brent", "UTC"], ["XXX", "Nowhere", "Moon/Base"]).json()[
        "key"
    ]
    worked()

    lines = controller.get(f"/api/v1/loads/{key}/lines").json()["results"]

    assert [(line["sheet"], line["row"], line["outcome"]) for line in lines] == [
        ("stations", 3, "refused")
    ]
    assert lines[0]["message"].endswith(".")


def test_a_decision_sent_again_is_done_once(controller):
    key = brought(controller, ["BRE", "Brent", "UTC"]).json()["key"]
    worked()
    address = f"/api/v1/loads/{key}/decision"

    answers = [controller.post(address, {"mode": "good_lines"}, format="json") for _ in range(2)]
    other = controller.post(address, {"mode": "nothing"}, format="json")

    assert [answer.status_code for answer in answers] == [201, 200]
    assert (other.status_code, other.json()["code"]) == (422, "not_waiting")


def test_a_load_by_a_token_does_what_its_role_may_and_not_all_that_its_person_may(program):
    client = program("administrator")
    User.objects.filter(username="program-administrator").update(roles=[ADMINISTRATOR, CONTROLLER])
    sent = SimpleUploadedFile("template.xlsx", template())
    key = client.post("/api/v1/loads", {"files": sent}, format="multipart").json()["key"]
    worked()
    client.post(f"/api/v1/loads/{key}/decision", {"mode": "good_lines"}, format="json")
    worked()

    lines = LoadLine.objects.filter(load__key=key, sheet="Movements")
    assert set(lines.values_list("code", flat=True)) == {"not_permitted"}
    assert Aircraft.objects.exists()
    assert not Movement.objects.exists()


def test_a_load_by_a_token_of_a_role_that_its_person_no_longer_holds_is_stopped(controller):
    key = brought(controller, ["BRE", "Brent", "UTC"]).json()["key"]
    User.objects.filter(username="program-controller").update(roles=[ADMINISTRATOR])

    worked()

    load = Load.objects.get(key=key)
    assert load.state == Load.FAILED
    assert "Your role does not allow this (load sheets)" in load.fault
    assert not Station.objects.exists()


def test_a_load_that_is_set_aside_applies_nothing(controller):
    key = brought(controller, ["BRE", "Brent", "UTC"]).json()["key"]
    worked()
    address = f"/api/v1/loads/{key}/decision"

    answers = [controller.post(address, {"mode": "nothing"}, format="json") for _ in range(2)]
    worked()

    assert [answer.status_code for answer in answers] == [201, 200]
    assert not Station.objects.exists()


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ({"files": "stations"}, "invalid"),
        ({"files": SimpleUploadedFile("a.csv", b""), "mode": "guess"}, "invalid_choice"),
        ({"files": SimpleUploadedFile("a.csv", b""), "datse": "iso"}, "unknown_field"),
    ],
)
def test_what_is_no_load_is_refused(controller, body, code):
    answer = controller.post("/api/v1/loads", body, format="multipart")

    assert (answer.status_code, answer.json()["errors"][0]["code"]) == (400, code)
    assert not Load.objects.exists()


def test_json_is_not_taken_for_a_load(controller):
    answer = controller.post("/api/v1/loads", {}, format="json")

    assert (answer.status_code, answer.json()["code"]) == (415, "unsupported_media_type")


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 no workbook", b"\x00" * 100, b"a;b\n1;2\n"])
def test_a_file_that_is_no_workbook_is_read_to_a_sentence(controller, content):
    file = SimpleUploadedFile("odd.xlsx", content)
    key = controller.post("/api/v1/loads", {"files": file}, format="multipart").json()["key"]

    worked()

    shown = controller.get(f"/api/v1/loads/{key}").json()
    lines = controller.get(f"/api/v1/loads/{key}/lines").json()["results"]
    assert shown["state"] == "unreadable"
    assert lines and lines[0]["message"]


def test_an_unknown_load_is_not_found(controller):
    answer = controller.get(f"/api/v1/loads/{uuid.uuid4()}")

    assert (answer.status_code, answer.json()["code"]) == (404, "unknown_load")
