"""Sheets by page: brought, read, each line's fate seen, decided, the refused ones taken away."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from uuid import uuid4

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from fleet.loading.work import drain
from fleet.models import Load, Station, User

NOW = datetime(2027, 3, 3, 9, 0, tzinfo=UTC)
GOOD = "code,name,time_zone\nBRE,Brent,UTC\n"
HALF = GOOD + "OLD,Oldham,Nowhere/At all\n"

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def desk(client, role):
    client.force_login(
        User.objects.create_user(role, password="x", roles=[role]),
        backend="django.contrib.auth.backends.ModelBackend",
    )
    return client


@pytest.fixture
def controller(client):
    return desk(client, "controller")


def brought(client, text):
    sheet = SimpleUploadedFile("Stations.csv", text.encode())
    return client.post(reverse("fleet:loads"), {"sheets": sheet}, follow=True)


def worked():
    drain(now=lambda: NOW, today=NOW.date())


def page_of(client, load):
    return client.get(reverse("fleet:load", args=[load.key])).content.decode()


def decided(client, load, mode):
    return client.post(reverse("fleet:load_decide", args=[load.key]), {"mode": mode}, follow=True)


def test_a_load_waits_with_progress_and_can_be_left(controller):
    page = brought(controller, GOOD).content.decode()

    assert "Waiting to be read" in page
    assert 'hx-trigger="load delay:1s"' in page
    assert "You can leave this page" in page


def test_a_clean_load_is_read_then_taken(controller):
    brought(controller, GOOD)
    worked()
    load = Load.objects.get()

    assert "The one line can be taken" in page_of(controller, load)
    assert not Station.objects.exists()

    decided(controller, load, "all_or_nothing")
    worked()
    assert Station.objects.get().code == "BRE"
    assert "<strong>Applied.</strong>" in page_of(controller, load)


def test_refused_lines_say_why_and_come_back_as_a_workbook(controller):
    brought(controller, HALF)
    worked()
    load = Load.objects.get()
    page = page_of(controller, load)

    decided(controller, load, "good_lines")
    worked()
    answer = controller.get(reverse("fleet:load_refused", args=[load.key]))

    assert "1 line can be taken, 1 cannot" in page
    assert "Oldham" in page
    assert [station.code for station in Station.objects.all()] == ["BRE"]
    head, line = openpyxl.load_workbook(io.BytesIO(answer.content)).worksheets[0].values
    assert head[0] == "Why refused"
    assert "OLD" in line


def test_a_line_with_two_faults_comes_back_as_one_line_in_its_sheets_own_order(controller):
    brought(controller, f"time_zone,code,name,remark\nUTC,OLDHAM-PORT,{'Oldham ' * 20},old\n")
    worked()
    load = Load.objects.get()
    kept = controller.get(reverse("fleet:load_refused", args=[load.key])).content

    head, *lines = openpyxl.load_workbook(io.BytesIO(kept)).worksheets[0].values
    again = SimpleUploadedFile("again.xlsx", kept)
    controller.post(reverse("fleet:loads"), {"sheets": again}, follow=True)
    worked()
    second = Load.objects.order_by("pk").last()
    twice = controller.get(reverse("fleet:load_refused", args=[second.key])).content
    _, *still = openpyxl.load_workbook(io.BytesIO(twice)).worksheets[0].values

    assert head[:4] == ("Why refused", "code", "name", "time_zone")
    assert head[-1] == "remark"
    [line] = lines
    assert "at most 8 are kept" in line[0] and "at most 80 are kept" in line[0]
    assert (second.refused, len(still)) == (1, 1)
    assert still[0] == line
    assert {each.code for each in second.lines.filter(outcome="warning")} == {"unknown_column"}
    assert "Column 'Why refused'" not in page_of(controller, second)
    assert "Why refused:" not in page_of(controller, second)


def test_a_file_that_is_wrong_as_a_whole_is_no_line_to_mend(controller):
    brought(controller, "anything,else\nBRE,Brent\n")
    worked()
    load = Load.objects.get()

    page = page_of(controller, load)
    answer = controller.get(reverse("fleet:load_refused", args=[load.key]))

    assert "Could not be read" in page
    assert "Take the refused lines" not in page
    assert openpyxl.load_workbook(io.BytesIO(answer.content)).sheetnames == ["Read me"]


def test_a_load_can_be_set_aside_but_not_decided_twice(controller):
    brought(controller, GOOD)
    worked()
    load = Load.objects.get()

    decided(controller, load, "nothing")
    again = decided(controller, load, "all_or_nothing").content.decode()

    assert "does not wait for a decision" in again
    assert not Station.objects.exists()


def test_no_file_is_a_sentence_and_keeps_nothing(controller):
    answer = controller.post(reverse("fleet:loads"), {"dates": ""})

    assert answer.status_code == 422
    assert "No file was brought. Choose one or several." in answer.content.decode()
    assert not Load.objects.exists()


def test_a_file_that_is_no_sheet_is_told_as_such(controller):
    controller.post(
        reverse("fleet:loads"),
        {"sheets": SimpleUploadedFile("Plan.xlsx", b"PK\x03\x04 no workbook")},
    )
    worked()

    page = page_of(controller, Load.objects.get())

    assert "Plan.xlsx" in page
    assert "Take all lines" not in page
    assert "nothing to decide" in page
    assert (
        "waiting for your decision" not in controller.get(reverse("fleet:loads")).content.decode()
    )


def test_an_old_workbook_is_asked_for_in_the_new_kind(controller):
    old = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "Workbook".encode("utf-16-le")
    controller.post(reverse("fleet:loads"), {"sheets": SimpleUploadedFile("Units.xls", old)})
    worked()

    assert "take Excel workbook (.xlsx), and bring that file." in page_of(
        controller, Load.objects.get()
    )


def stopped(load):
    Load.objects.filter(pk=load.pk).update(state=Load.FAILED, tries=3, fault="It stopped.")


def test_a_load_that_stopped_says_so_and_is_started_again_by_a_person(controller):
    brought(controller, GOOD)
    load = Load.objects.get()
    stopped(load)

    page = page_of(controller, load)
    decided(controller, load, "again")
    worked()

    assert "It stopped." in page
    assert "Start it again" in page
    load.refresh_from_db()
    assert load.state == Load.READ


def test_the_api_starts_a_load_again_once(controller):
    brought(controller, GOOD)
    load = Load.objects.get()
    address = f"/api/v1/loads/{load.key}/decision"
    stopped(load)

    answers = [controller.post(address, {"mode": "again"}, "application/json") for _ in range(2)]
    worked()
    late = controller.post(address, {"mode": "again"}, "application/json")

    assert [answer.status_code for answer in answers] == [201, 200]
    assert (late.status_code, late.json()["errors"][0]["code"]) == (422, "not_stopped")


def test_an_auditor_sees_loads_and_brings_none(client):
    auditor = desk(client, "auditor")

    answer = brought(auditor, GOOD)

    assert "Your role does not allow this" in answer.content.decode()
    assert "Read these sheets" not in auditor.get(reverse("fleet:loads")).content.decode()
    assert not Load.objects.exists()


def test_the_template_is_a_workbook_with_a_sheet_for_each_kind(controller):
    answer = controller.get(reverse("fleet:load_template"))

    book = openpyxl.load_workbook(io.BytesIO(answer.content), read_only=True)

    assert book.sheetnames[0] == "Read me"
    assert len(book.sheetnames) > 10


def test_the_same_files_sent_twice_are_one_load(controller):
    act = str(uuid4())

    for _ in range(2):
        sheet = SimpleUploadedFile("Stations.csv", GOOD.encode())
        controller.post(reverse("fleet:loads"), {"sheets": sheet, "act_id": act})

    assert Load.objects.count() == 1


def test_the_same_files_from_a_second_tab_are_asked_about(controller):
    brought(controller, GOOD)

    page = brought(controller, GOOD).content.decode()

    assert "You recorded the same at" in page
    assert Load.objects.count() == 1
