"""From an own spreadsheet to a due list by its pages, without script; what is bad gets a sentence."""

from __future__ import annotations

import io
import re

import openpyxl
import openpyxl.drawing.image
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from equipment.models import Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER, TECHNICIAN
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import Load, OwnMapping, OwnWorkbook, User
from scheduling.models import Limit
from tests.fleet.own_sheets import arrivals
from tests.fleet.own_sheets.books import BOOKS, Rows, on, written

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"


@pytest.fixture
def office(client, db):
    client.force_login(User.objects.create_user("office", roles=[CONTROLLER, ADMINISTRATOR]))
    return client


def file_of(sheets: dict[str, Rows], tmp_path, name="fleet.xlsx") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, written(sheets, tmp_path / name).read_bytes())


def bring(client, file):
    return client.post(reverse("fleet:load_own"), {"sheets": file})


def fields_of(page: str) -> dict[str, str]:
    """What a browser without script would send of a form as it stands."""
    form = page[page.index("<main") :]
    sent = {}
    for tag in re.findall(r"<input [^>]*>", form, flags=re.DOTALL):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        kind = re.search(r'type="([^"]*)"', tag)
        is_box = kind is not None and kind[1] in {"radio", "checkbox"}
        if name and (not is_box or "checked" in tag):
            sent[name[1]] = value[1] if value else "on"
    for name, inside in re.findall(
        r'<select [^>]*?name="([^"]*)".*?>(.*?)</select>', form, flags=re.DOTALL
    ):
        chosen = re.search(r'value="([^"]*)" selected', inside) or re.search(
            r'value="([^"]*)"', inside
        )
        sent[name] = chosen[1] if chosen else ""
    return sent


def send(client, step: str, key, **more):
    address = reverse(f"fleet:load_own_{step}", args=[key])
    page = client.get(address).content.decode()
    return client.post(address, {**fields_of(page), **more})


def worked():
    drain(now=timezone.now, today=today())


def through(client, sheets, tmp_path) -> OwnWorkbook:
    """All steps with nothing corrected; station and type answered."""
    bring(client, file_of(sheets, tmp_path))
    workbook = OwnWorkbook.objects.latest("pk")
    assert send(client, "columns", workbook.key).status_code == 302
    assert send(client, "words", workbook.key).status_code == 302
    assert send(client, "missing", workbook.key, station="QMB", type="T-100").status_code == 302
    assert send(client, "doubts", workbook.key).status_code == 302
    assert send(client, "compare", workbook.key).status_code == 302
    worked()
    return workbook


def test_from_the_spreadsheet_to_records_without_a_correction(office, tmp_path):
    through(office, BOOKS["status"](), tmp_path)
    load = Load.objects.get()
    page = office.get(reverse("fleet:load", args=[load.key])).content.decode()

    assert not Unit.objects.exists()
    assert "dates beside the reckoned ones" in page
    assert load.beside["differ"] == 0

    office.post(reverse("fleet:load_decide", args=[load.key]), {"mode": "all_or_nothing"})
    worked()

    load.refresh_from_db()
    assert (load.state, load.refused) == (Load.APPLIED, 0)
    assert Unit.objects.count() == 35
    assert Limit.objects.count() == 3
    assert Unit.objects.filter(serial_number="04107").exists() is True


def test_a_newer_copy_is_recognised_and_can_be_compared_without_taking_it(office, tmp_path):
    through(office, BOOKS["status"](), tmp_path)
    assert OwnMapping.objects.get().name == "fleet.xlsx"

    answer = bring(office, file_of(BOOKS["status"](), tmp_path, "week-49.xlsx"))

    newer = OwnWorkbook.objects.latest("pk")
    assert answer.url == reverse("fleet:load_own_compare", args=[newer.key])
    assert newer.mapping == "fleet.xlsx"


def test_open_suspicions_are_named_and_asked_about_before_the_comparison(office, tmp_path):
    through(office, BOOKS["status"](), tmp_path)
    newer = BOOKS["status"]()
    newer["Status"][6][11] = "removed, at shop"
    bring(office, file_of(newer, tmp_path, "week-49.xlsx"))
    workbook = OwnWorkbook.objects.latest("pk")

    asked = send(office, "compare", workbook.key)
    page = asked.content.decode()
    taken = send(office, "compare", workbook.key, anyway="on")

    assert asked.status_code == 422
    assert "Remarks that hold facts" in page and "No serial number" in page
    assert "removed, at shop" in page
    assert taken.status_code == 302
    assert Load.objects.count() == 2


def test_a_work_of_a_day_to_come_is_left_out_unless_said_otherwise(office, tmp_path):
    sheets = BOOKS["status"]()
    sheets["Status"][5][6] = on(2031, 1, 5)
    workbook = through(office, sheets, tmp_path)

    workbook.refresh_from_db()
    assert "Status!6" in workbook.said["left"]
    assert Load.objects.get().refused == 0


def test_what_was_said_is_kept_when_the_tab_closes(office, tmp_path):
    bring(office, file_of(BOOKS["slashed"](), tmp_path))
    workbook = OwnWorkbook.objects.get()

    send(office, "columns", workbook.key, **{"ways-0": "month-first", "role-0-3": ""})

    again = office.get(reverse("fleet:load_own_columns", args=[workbook.key])).content.decode()
    assert 'value="month-first" checked' in again
    workbook.refresh_from_db()
    assert workbook.said["sheets"]["Slides"]["columns"] == {"PART NUMBER": ""}


def test_a_column_mapped_twice_is_a_sentence_and_the_rest_is_kept(office, tmp_path):
    bring(office, file_of(BOOKS["status"](), tmp_path))
    workbook = OwnWorkbook.objects.get()

    answer = send(office, "columns", workbook.key, **{"role-0-1": "serial"})

    assert answer.status_code == 422
    assert "Columns B and E are both “Serial number”" in answer.content.decode()
    workbook.refresh_from_db()
    assert workbook.said["sheets"]["Status"]["columns"]["POS"] == "serial"


def test_refused_lines_come_back_in_their_own_workbook(office, tmp_path):
    sheets = BOOKS["status"]()
    sheets["Status"][5][6] = "31/02/2024"
    workbook = through(office, sheets, tmp_path)
    workbook.refresh_from_db()
    assert workbook.load is not None

    answer = office.get(reverse("fleet:load_returned", args=[workbook.load.key]))

    sheet = openpyxl.load_workbook(io.BytesIO(answer.content))["Status"]
    assert "a day that does not exist" in sheet.cell(6, 13).value
    assert sheet.cell(5, 13).value == "Why refused"
    assert sheet.cell(6, 1).fill.fgColor.rgb == "FFFFE08A"
    assert sheet.cell(7, 13).value is None


def test_the_comparison_can_be_taken_away(office, tmp_path):
    sheets = BOOKS["status"]()
    sheets["Status"][5][7] = sheets["Status"][5][7].replace(year=2031)
    workbook = through(office, sheets, tmp_path)
    workbook.refresh_from_db()
    assert workbook.load is not None

    answer = office.get(reverse("fleet:load_beside", args=[workbook.load.key]))

    dates = list(openpyxl.load_workbook(io.BytesIO(answer.content))["Dates"].values)
    assert len(dates) == 2
    assert dates[1][1] == "H6" and "the sheet adds" in dates[1][9]


DOT = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)
BAD = {
    "old.xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
    "no.xlsx": b"PK\x03\x04 nothing",
    "empty.csv": b"",
    "blank.csv": b"\n\n,,\n",
}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("old.xls", "protected by a password"),
        ("no.xlsx", "damaged"),
        ("empty.csv", "is empty"),
        ("blank.csv", "holds no filled cell"),
    ],
)
def test_a_file_that_cannot_be_read_is_a_sentence(office, name, words):
    answer = bring(office, SimpleUploadedFile(name, BAD[name]))

    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not OwnWorkbook.objects.exists()


def test_sixty_sheets_of_one_make_are_said_once(office, tmp_path):
    sheets = {
        f"Q-A{chr(65 + n // 26)}{chr(65 + n % 26)}": rows
        for n in range(62)
        for rows in [BOOKS["per_aircraft"]()["Q-RTA"]]
    }
    bring(office, file_of(sheets, tmp_path))

    page = office.get(
        reverse("fleet:load_own_columns", args=[OwnWorkbook.objects.get().key])
    ).content.decode()

    assert "The same columns in 60 sheets" in page
    assert "Not read: 2 of them" in page


def test_who_may_not_bring_sheets_reads_and_changes_nothing(client, tmp_path, office):
    bring(office, file_of(BOOKS["status"](), tmp_path))
    workbook = OwnWorkbook.objects.get()
    client.force_login(User.objects.create_user("tech", roles=[TECHNICIAN]))

    answer = client.post(
        reverse("fleet:load_own"), {"sheets": file_of(BOOKS["status"](), tmp_path, "b.xlsx")}
    )
    client.post(reverse("fleet:load_own_columns", args=[workbook.key]), {"role-0-1": ""})

    assert answer.status_code == 422
    workbook.refresh_from_db()
    assert workbook.said == {}
    assert OwnWorkbook.objects.count() == 1


def test_who_may_not_take_it_all_is_told_before_the_first_step_and_nothing_said_is_lost(
    client, tmp_path
):
    first = User.objects.create_user("first", roles=[ADMINISTRATOR])
    client.force_login(first)
    gives = reverse("fleet:people_change", args=[first.pk])

    for address in (reverse("scheduling:setting_up"), reverse("fleet:load_own")):
        page = client.get(address).content.decode()
        assert "The role Maintenance controller lets you." in page
        assert gives in page
    bring(client, file_of(BOOKS["status"](), tmp_path))
    workbook = OwnWorkbook.objects.get()
    send(client, "missing", workbook.key, station="QMB", type="T-100")
    refused = send(client, "compare", workbook.key, anyway="on")

    assert refused.status_code == 422
    assert not Load.objects.exists()
    workbook.refresh_from_db()
    assert workbook.said["station"] == "QMB"
    client.force_login(User.objects.create_user("control", roles=[CONTROLLER]))
    assert send(client, "compare", workbook.key, anyway="on").status_code == 302


def test_sheets_that_are_left_out_stand_last_and_folded(office, tmp_path):
    bring(office, file_of(arrivals.stamped(), tmp_path))
    key = OwnWorkbook.objects.get().key

    page = office.get(reverse("fleet:load_own_columns", args=[key])).content.decode()

    heads = re.findall(r'<h2 id="sheet-\d+">(.*?)</h2>', page)
    assert heads == ["EE STATUS", "UTIL", "Dashboard", "Legend"]
    assert page.count("Left out: nothing in it tells a unit") == 2


def test_a_work_without_a_stated_limit_is_named_before_the_comparison(office, tmp_path):
    bring(office, file_of(arrivals.vests_across(), tmp_path))
    key = OwnWorkbook.objects.get().key
    send(office, "missing", key, station="QMB", type="T-100", **{"months-VEST LIFE": "120"})

    page = office.get(reverse("fleet:load_own_compare", args=[key])).content.decode()

    assert "Smoke hood: end of life, 12 lines" in page
    assert "Life vest: end of life" not in page


def test_of_a_newer_copy_the_sheet_may_have_another_name(office, tmp_path):
    bring(office, file_of(BOOKS["slashed"](), tmp_path))
    workbook = OwnWorkbook.objects.get()
    send(office, "columns", workbook.key, **{"ways-0": "day-first", "role-0-3": ""})
    send(office, "compare", workbook.key, mapping="slides")

    bring(office, file_of({"Week 49": BOOKS["slashed"]()["Slides"]}, tmp_path, "week-49.xlsx"))

    newer = OwnWorkbook.objects.latest("pk")
    page = office.get(reverse("fleet:load_own_columns", args=[newer.key])).content.decode()
    assert newer.mapping == "slides"
    assert 'value="day-first" checked' in page
    assert fields_of(page)["role-0-3"] == ""


def test_pictures_and_formulas_without_values_are_said(office, tmp_path):
    book = openpyxl.Workbook()
    for row in BOOKS["slashed"]()["Slides"]:
        book.active.append(row)
    book.active["G2"] = "=F2+1095"
    book.active.add_image(openpyxl.drawing.image.Image(io.BytesIO(DOT)), "J2")
    book.save(tmp_path / "f.xlsx")
    bring(office, SimpleUploadedFile("f.xlsx", (tmp_path / "f.xlsx").read_bytes()))
    key = OwnWorkbook.objects.get().key

    columns = office.get(reverse("fleet:load_own_columns", args=[key])).content.decode()
    doubts = office.get(reverse("fleet:load_own_doubts", args=[key])).content.decode()

    assert "holds 1 picture" in columns
    assert "Formulas without a value" in doubts
    assert "Sheet G2" in doubts
