"""A large spreadsheet is read by the job, with its progress shown; what is said is never lost for it."""

from __future__ import annotations

import sys
import time

import pytest
from django.urls import reverse

from fleet.house import pace
from fleet.house.pages import today
from fleet.models import OwnWorkbook
from fleet.moving_in import readings, tasks
from fleet.moving_in.acts.workbooks import show_reading
from tests.fleet.own_sheets.books import BOOKS, Rows, later, on

from .test_pages import bring, file_of, kept_apart, office, send  # noqa: F401

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def large(monkeypatch):
    """Every spreadsheet counts as a large one."""
    monkeypatch.setattr(readings, "SOON", 10)


def read() -> int:
    return tasks.read_asked(today())


def page(client, step: str, key, **query: str):
    return client.get(reverse(f"fleet:load_own_{step}", args=[key]), query)


def test_the_page_says_that_it_is_being_read_and_how_far(office, tmp_path, large):  # noqa: F811
    answer = bring(office, file_of(BOOKS["status"](), tmp_path))
    workbook = OwnWorkbook.objects.get()

    waits = office.get(answer.url)
    show_reading(workbook=workbook, share=40, words="Reading the lines of sheet 'Status'")
    further = office.get(answer.url).content.decode()

    assert b"It is being read" in waits.content
    assert 'value="40"' in further and "Reading the lines of sheet" in further
    assert read() == 1
    assert office.get(answer.url).url == reverse("fleet:load_own_columns", args=[workbook.key])
    assert b"These columns are right" in page(office, "columns", workbook.key).content


def test_a_page_that_looks_again_is_told_to_come_anew_once_it_is_read(office, tmp_path, large):  # noqa: F811
    bring(office, file_of(BOOKS["status"](), tmp_path))
    address = reverse("fleet:load_own_columns", args=[OwnWorkbook.objects.get().key])
    by_itself = {"HX-Request": "true", "HX-Target": "reading"}

    before = office.get(address, headers=by_itself)
    read()
    after = office.get(address, headers=by_itself)

    assert b"It is being read" in before.content
    assert after.headers["HX-Refresh"] == "true"


def test_what_was_said_is_kept_and_read_by_before_the_page_goes_on(office, tmp_path, large):  # noqa: F811
    bring(office, file_of(BOOKS["status"](), tmp_path))
    key = OwnWorkbook.objects.get().key
    page(office, "columns", key)
    read()

    sent = send(office, "columns", key, **{"role-0-1": "serial"})
    office.get(sent.url)
    read()
    wrong = office.get(sent.url)
    put_right = send(office, "columns", key, **{"role-0-1": "position"})
    office.get(put_right.url)
    read()

    assert "sent=1" in sent.url
    assert wrong.status_code == 422
    assert "are both “Serial number”" in wrong.content.decode()
    assert office.get(put_right.url).url == reverse("fleet:load_own_words", args=[key])


def test_what_is_kept_is_of_what_was_said_and_of_nothing_else(office, tmp_path, large):  # noqa: F811
    bring(office, file_of(BOOKS["status"](), tmp_path))
    key = OwnWorkbook.objects.get().key
    page(office, "words", key)
    read()
    taken = page(office, "words", key).content
    path = readings._path(OwnWorkbook.objects.get())
    path.write_bytes(path.read_bytes()[:200])

    torn = page(office, "words", key).content

    assert b"These words are right" in taken
    assert b"It is being read" in torn


def test_a_fault_of_the_program_is_a_sentence_and_can_be_tried_again(
    office,  # noqa: F811
    tmp_path,
    large,
    monkeypatch,
):
    bring(office, file_of(BOOKS["status"](), tmp_path))
    key = OwnWorkbook.objects.get().key
    page(office, "columns", key)
    monkeypatch.setattr(tasks, "read_now", lambda *_: 1 / 0)
    read()
    stopped = page(office, "columns", key).content.decode()
    monkeypatch.undo()
    monkeypatch.setattr(readings, "SOON", 10)

    page(office, "columns", key, again="1")
    read()

    assert "stopped at a fault of its own (ZeroDivisionError)" in stopped
    assert b"These columns are right" in page(office, "columns", key).content


def test_the_job_tells_how_far_it_is(office, tmp_path, large):  # noqa: F811
    bring(office, file_of(BOOKS["status"](), tmp_path))
    told: list[tuple[float, str]] = []

    with pace.watched(lambda share, words: told.append((share, words))):
        readings.read_now(OwnWorkbook.objects.get(), today())

    assert [share for share, _ in told] == sorted(share for share, _ in told)
    assert "Reading the lines of sheet 'Status'" in [words for _, words in told]


LINES = 30_000


def fleet_of(lines: int) -> dict[str, Rows]:
    rows: Rows = [["A/C", "POS", "ITEM", "P/N", "S/N", "LAST OVH", "NEXT OVH"]]
    for n in range(lines):
        done = on(2024, 1 + n % 12, 1 + n % 28)
        craft, place = divmod(n, 100)
        tail = f"Q-{chr(65 + craft // 676)}{chr(65 + craft // 26 % 26)}{chr(65 + craft % 26)}"
        where = f"Seat {place}"
        rows.append([tail, where, "Life vest", f"V-{n % 5}00", f"{n:06d}", done, later(done, 36)])
    return {"Fleet": rows}


@pytest.mark.slow
def test_thirty_thousand_lines_are_proposed_by_the_job_in_seconds(office, tmp_path):  # noqa: F811
    answer = bring(office, file_of(fleet_of(LINES), tmp_path))
    workbook = OwnWorkbook.objects.get()
    waits = office.get(answer.url)

    begun = time.process_time()
    read()
    took = time.process_time() - begun
    begun = time.process_time()
    shown = page(office, "columns", workbook.key).content.decode()
    page_took = time.process_time() - begun

    assert b"It is being read" in waits.content
    assert "30000 lines below" in shown
    assert "is-unsure" not in shown
    sys.stdout.write(
        f"read by the job in {took:.1f} s, its page in {page_took:.1f} s of one core\n"
    )
    assert took < 20
    assert page_took < 5
