"""A kept mapping read by its name: by the command and by the API, the same as by the pages."""

from __future__ import annotations

import io
from uuid import uuid4

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from equipment.models import Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import Load, OwnMapping, User
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.fleet.loading.test_own_spreadsheets import said
from tests.fleet.own_sheets.books import BOOKS, written

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"


@pytest.fixture
def mapping(db):
    person = User.objects.create_user("office", roles=[CONTROLLER, ADMINISTRATOR])
    return OwnMapping.objects.create(
        name="our list", said=said().as_json(), kept_by=person, kept_at=timezone.now()
    )


def told(*arguments: str, **options: object) -> str:
    out = io.StringIO()
    call_command("load_sheets", *arguments, stdout=out, stderr=io.StringIO(), **options)
    return out.getvalue()


def test_the_command_tries_it_and_takes_it(mapping, tmp_path):
    path = str(written(BOOKS["status"](), tmp_path / "own.xlsx"))

    tried = told(path, mapping="our list", by="office", dry_run=True)
    assert not Unit.objects.exists()
    taken = told(path, mapping="our list", by="office")

    assert "Of 51 next dates 51 are the same" in tried
    assert "Of 51 next dates 51 are the same" in taken
    assert Unit.objects.count() == 35


def test_the_command_names_the_suspicions_and_gives_the_refused_lines_back(mapping, tmp_path):
    sheets = BOOKS["status"]()
    sheets["Status"][5][6] = "31/02/2024"
    path = str(written(sheets, tmp_path / "own.xlsx"))

    with pytest.raises(CommandError, match="Nothing was kept"):
        told(path, mapping="our list", by="office", returned=tmp_path / "back.xlsx")

    row = openpyxl.load_workbook(tmp_path / "back.xlsx")["Status"][6]
    assert "a day that does not exist" in row[12].value
    assert row[0].fill.fgColor.rgb == "FFFFE08A"
    assert row[6].fill.fgColor.rgb == "FFFFB380"
    assert "a day that does not exist" in row[6].comment.text


def test_the_command_and_a_program_are_told_the_same_suspicions_as_the_page(mapping, tmp_path):
    path = str(written(BOOKS["status"](), tmp_path / "own.xlsx"))

    tried = told(path, mapping="our list", by="office", dry_run=True)

    assert "Suspicion, 1 line, left out: These lines have no serial number" in tried
    assert "Status E43: The serial number is TBA." in tried
    assert "stands beside" in tried


def test_a_mapping_that_nobody_kept_is_a_sentence(mapping, tmp_path):
    path = str(written(BOOKS["status"](), tmp_path / "own.xlsx"))

    with pytest.raises(CommandError, match="No mapping is kept as 'other'"):
        told(path, mapping="other", by="office")


def test_a_program_brings_it_by_name(mapping, program, tmp_path):  # noqa: F811
    content = written(BOOKS["status"](), tmp_path / "own.xlsx").read_bytes()
    sent = {"files": SimpleUploadedFile("own.xlsx", content), "mapping": "our list"}

    answer = program("controller").post("/api/v1/loads", sent, format="multipart")
    drain(now=timezone.now, today=today())
    shown = program("controller").get(f"/api/v1/loads/{answer.json()['key']}").json()

    assert answer.status_code == 201, answer.json()
    assert shown["state"] == Load.READ
    assert {one["code"] for one in shown["beside"]["suspicions"]} >= {"no_serial", "lost_zero"}
    assert (shown["refused"], shown["beside"]["total"], shown["beside"]["differ"]) == (0, 51, 0)


def test_a_program_that_names_no_kept_mapping_is_refused_at_the_field(mapping, program):  # noqa: F811
    sent = {"files": SimpleUploadedFile("own.csv", b"a,b\n1,2\n"), "mapping": "other"}

    answer = program("controller").post("/api/v1/loads", sent, format="multipart")

    assert answer.status_code == 422 or answer.status_code == 400
    assert "No mapping is kept as" in answer.content.decode()


def test_what_the_mapping_does_not_answer_is_said_and_nothing_is_taken(mapping, program, tmp_path):  # noqa: F811
    content = written(BOOKS["slashed"](), tmp_path / "own.xlsx").read_bytes()
    sent = {"files": SimpleUploadedFile("own.xlsx", content), "mapping": "our list"}

    answer = program("controller").post("/api/v1/loads", sent, format="multipart")
    drain(now=timezone.now, today=today())
    load = Load.objects.get()

    assert answer.status_code == 201
    assert load.state == Load.UNREADABLE
    assert "3 April or 4 March" in load.lines.first().message


def test_a_program_takes_the_same_workbook_back(mapping, program, tmp_path, client):  # noqa: F811
    sheets = BOOKS["status"]()
    sheets["Status"][5][6] = "31/02/2024"
    client.force_login(User.objects.get(username="office"))
    file = SimpleUploadedFile("own.xlsx", written(sheets, tmp_path / "own.xlsx").read_bytes())
    person = program("controller")
    brought = person.post(
        "/api/v1/loads", {"files": file, "mapping": "our list"}, format="multipart"
    ).json()
    drain(now=timezone.now, today=today())

    back = person.get(f"/api/v1/loads/{brought['key']}/returned")
    beside = person.get(f"/api/v1/loads/{brought['key']}/beside")
    page = client.get(reverse("fleet:load_returned", args=[brought["key"]]))
    nothing = person.get(f"/api/v1/loads/{uuid4()}/returned")

    status = openpyxl.load_workbook(io.BytesIO(back.content))["Status"]
    assert status["G6"].fill.fgColor.rgb == "FFFFB380"
    assert "a day that does not exist" in status.cell(6, 13).value
    assert [row for row in status.values] == [
        row for row in openpyxl.load_workbook(io.BytesIO(page.content))["Status"].values
    ]
    assert "Dates" in openpyxl.load_workbook(io.BytesIO(beside.content)).sheetnames
    assert (nothing.status_code, nothing.json()["code"]) == (404, "unknown_load")


def test_several_own_files_come_back_in_one_workbook(mapping, tmp_path):
    sheets = BOOKS["status"]()
    sheets["Status"][5][6] = "31/02/2024"
    paths = [
        str(written(sheets, tmp_path / "north.xlsx")),
        str(written(BOOKS["status"](), tmp_path / "south.xlsx")),
    ]

    with pytest.raises(CommandError, match="Nothing was kept"):
        told(*paths, mapping="our list", by="office", returned=tmp_path / "back.xlsx")

    book = openpyxl.load_workbook(tmp_path / "back.xlsx")
    assert book.sheetnames == ["north Status", "south Status"]
    assert book["north Status"]["G6"].comment is not None
    assert book["south Status"]["G6"].comment is None
