"""One rule, whichever door it comes through: the same bad act meets the same code.

The API says it as a problem, the sheets on their line, a page's form at its field.
"""

from __future__ import annotations

import io
import uuid
from datetime import UTC, datetime

import pytest
import xlsxwriter
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from fleet.aircraft.acts.checks import PlannedCheck, plan_checks
from fleet.house.desks import ACTS, ROLES
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.loading.work import drain
from fleet.models import Load, User
from tests.api.conftest import administrator, controller, program, secret_of  # noqa: F401
from tests.api.world import a_world

NOW = datetime(2027, 3, 3, 9, 0, tzinfo=UTC)
UNIT = {"Part number": "HS-4410-3", "Serial number": "A00731"}


@pytest.fixture
def world(db, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return a_world()


def check(**changes):
    return {
        "name": "C4",
        "starts_on": "2027-06-07",
        "ends_on": "2027-06-18",
        "station": "LYD",
        **changes,
    }


def check_line(**changes):
    line = {"Aircraft": "Q-AVEN", "Name": "C4", "Starts on": "2027-06-07"}
    return {**line, "Ends on": "2027-06-18", "Station": "LYD", **changes}


def work(**changes):
    told = {"who": "Brightquay Evacuation", "authorisation": "Q-145-007", "document": "WO 1177"}
    told["result"] = "passed"
    return {"work": "overhaul", "done_on": "2024-02-26", **told, **changes}


def work_line(**changes):
    return {**UNIT, "Work": "overhaul", "Done on": "2024-02-26", **changes}


def extension(**changes):
    return {
        "programme": "MP-1",
        "limit": "SL-OH",
        "number": "EXT-1",
        "granted_on": "2024-03-03",
        "document": "MP-1 1.6",
        "approved_by": "C. Marsh",
        "days": 14,
        **changes,
    }


def extension_line(**changes):
    return {
        "Programme": "MP-1",
        "Limit": "SL-OH",
        **UNIT,
        "Number": "EXT-1",
        "Granted on": "2024-03-03",
        "Days": 14,
        "Document": "MP-1 1.6",
        "Approved by": "C. Marsh",
        **changes,
    }


def reading(**changes):
    return {"measure": "FH", "read_on": "2024-03-03", "total": 600, **changes}


CHECKS, WORKS, EXTENSIONS, READINGS = (
    "/api/v1/aircraft/{reg}/checks",
    "/api/v1/works-done",
    "/api/v1/extensions",
    "/api/v1/aircraft/{reg}/readings",
)
BAD_ACTS = {
    "a check that ends before it starts": (
        "check_ends_before_start",
        (CHECKS, check(ends_on="2027-06-01")),
        ("Checks", check_line(**{"Ends on": "2027-06-01"})),
    ),
    "a check at an unknown station": (
        "unknown_station",
        (CHECKS, check(station="ZZZ")),
        ("Checks", check_line(Station="ZZZ")),
    ),
    "a check of an unknown aircraft": (
        "unknown_aircraft",
        ("/api/v1/aircraft/Q-NONE/checks", check()),
        ("Checks", check_line(Aircraft="Q-NONE")),
    ),
    "a reading of an unknown measure": (
        "unknown_measure",
        (READINGS, reading(measure="ZZ")),
        ("Readings", {"Aircraft": "Q-AVEN", "Read on": "2024-03-03", "Measure": "ZZ", "Total": 5}),
    ),
    "a work that is not done yet": (
        "work_in_future",
        (WORKS, work(done_on="2149-01-01")),
        ("Works done", work_line(**{"Done on": "2149-01-01"})),
    ),
    "a work released before it was done": (
        "release_before_work",
        (WORKS, work(released_on="2024-02-01")),
        ("Works done", work_line(**{"Released on": "2024-02-01"})),
    ),
    "an unknown work": (
        "unknown_work",
        (WORKS, work(work="paint")),
        ("Works done", work_line(Work="paint")),
    ),
    "an extension beyond what is allowed": (
        "extension_too_far",
        (EXTENSIONS, extension(days=31)),
        ("Extensions", extension_line(Days=31)),
    ),
    "an extension of nothing": (
        "extension_of_nothing",
        (EXTENSIONS, extension(days=0)),
        ("Extensions", extension_line(Days=0)),
    ),
    "an extension of a limit that has none": (
        "limit_not_extendable",
        (EXTENSIONS, extension(limit="AD-2027-01-A")),
        ("Extensions", extension_line(Limit="AD-2027-01-A")),
    ),
}


@pytest.mark.parametrize("case", list(BAD_ACTS.values()), ids=list(BAD_ACTS))
def test_api_and_sheet_refuse_with_the_same_code(case, controller, world):  # noqa: F811
    code, (address, body), (sheet, line) = case

    assert code_of_api(controller, world, address, body) == code
    assert codes_of_sheet(controller, sheet, line) == {code}


def test_api_and_sheet_give_the_same_reasons_for_a_movement(controller, world):  # noqa: F811
    removal = {
        "unit": world.slide.pk,
        "sort": "removed",
        "place": {"sort": "store", "station": "LYD"},
        "happened_on": "2024-06-03",
    }
    line = {
        **UNIT,
        "Movement": "removed",
        "Happened on": "2024-06-03",
        "To": "store",
        "Station": "LYD",
    }

    answer = controller.post(
        "/api/v1/movements",
        {"act_id": str(uuid.uuid4()), "movements": [removal], "is_confirmed": True},
        format="json",
    )

    [kept] = answer.json()["movements"]
    assert {reason["code"] for reason in kept["reasons"]} == {"not_installed"}
    assert codes_of_sheet(controller, "Movements", line) == {"not_installed"}


def test_a_form_shows_the_code_of_the_act(world):
    class CheckForm(forms.Form):
        ends_on = forms.DateField()

    form = CheckForm({"ends_on": "2027-06-01"})
    assert form.is_valid()
    row = PlannedCheck(
        world.aircraft.pk,
        "C4",
        NOW.date(),
        form.cleaned_data["ends_on"].replace(year=2026),
        world.station.pk,
    )
    with pytest.raises(Refused) as refused:
        plan_checks(
            by=User.objects.get(username="c.marsh"), rows=[row], today=row.starts_on, at=NOW
        )

    show_on_form(form, refused.value)

    assert [error.code for error in form.errors.as_data()["ends_on"]] == ["check_ends_before_start"]


@pytest.fixture
def page(world):
    browser = Client()
    browser.force_login(User.objects.get(username="c.marsh"))
    return browser


def test_page_and_api_refuse_a_load_without_files_alike(page, controller, world):  # noqa: F811
    form = page.post("/loads/", {"dates": ""}).context["form"]
    api = controller.post("/api/v1/loads", {"dates": ""}, format="multipart").json()

    assert [error.code for error in form.non_field_errors().as_data()] == ["no_file"]
    assert api["code"] == "no_file"


def test_page_and_api_refuse_a_second_decision_alike(page, controller, world):  # noqa: F811
    load = Load.objects.create(brought_at=NOW, state=Load.APPLIED, mode=Load.GOOD_LINES)
    shown = page.post(f"/loads/{load.key}/decide/", {"mode": "nothing"}, follow=True)
    api = controller.post(f"/api/v1/loads/{load.key}/decision", {"mode": "nothing"}, format="json")

    assert api.json()["code"] == "not_waiting"
    assert api.json()["detail"] in shown.content.decode()


def test_page_and_api_keep_out_the_same_roles(program, world):  # noqa: F811
    technician = Client()
    technician.force_login(User.objects.create(username="t.holm", roles=["technician"]))

    form = technician.post("/loads/", {"sheets": workbook("Checks", check_line())}).context["form"]
    api = program("technician").post(
        "/api/v1/loads", {"files": workbook("Checks", check_line())}, format="multipart"
    )

    assert [error.code for error in form.non_field_errors().as_data()] == ["not_permitted"]
    assert api.json()["code"] == "not_permitted"


@pytest.mark.parametrize("role", [role for role, _ in ROLES])
def test_api_and_sheets_ask_the_same_table(role, program, world):  # noqa: F811
    """A load asks for itself first; of those who may load, each sheet asks its own act."""
    client = program(role)

    api = client.post(CHECKS.format(reg="Q-AVEN"), check(), format="json").status_code == 201
    load = client.post(
        "/api/v1/loads", {"files": workbook("Checks", check_line())}, format="multipart"
    )

    assert api == (role in ACTS["plan_check"])
    assert (load.status_code == 201) == (role in ACTS["load_sheets"])
    if load.status_code == 201 and not api:
        assert codes_of_load(client, load.json()["key"]) == {"not_permitted"}


def code_of_api(client, world, address, body):
    act = {} if "checks" in address or "extensions" in address else {"act_id": str(uuid.uuid4())}
    subject = {} if "aircraft" in address else {"unit": world.slide.pk}
    answer = client.post(address.format(reg="Q-AVEN"), {**body, **act, **subject}, format="json")
    assert answer.status_code in {400, 404, 422}, answer.content
    return answer.json()["code"]


def codes_of_sheet(client, sheet, line):
    brought = client.post("/api/v1/loads", {"files": workbook(sheet, line)}, format="multipart")
    return codes_of_load(client, brought.json()["key"])


def codes_of_load(client, key):
    drain(now=lambda: NOW, today=NOW.date())
    lines = client.get(f"/api/v1/loads/{key}/lines").json()["results"]
    return {line["code"] for line in lines}


def workbook(sheet, *lines):
    kept = io.BytesIO()
    with xlsxwriter.Workbook(kept) as book:
        written = book.add_worksheet(sheet)
        written.write_row(0, 0, list(lines[0]))
        for row, line in enumerate(lines, 1):
            written.write_row(row, 0, list(line.values()))
    return SimpleUploadedFile(f"{sheet}.xlsx", kept.getvalue())
