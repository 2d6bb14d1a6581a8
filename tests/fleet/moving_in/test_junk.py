"""Fuzzed spreadsheets through every page and the job: sentences, never a fault of the program."""

from __future__ import annotations

import datetime as dt
import random

import pytest
import xlsxwriter
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.house.pages import today
from fleet.loading.work import drain
from fleet.models import Load, OwnWorkbook, User
from tests.fleet.own_sheets.books import BOOKS, on

from .test_pages import bring, send

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]
WORDS = [
    "",
    "",
    "N/A",
    "TBA",
    "-",
    "?",
    "Q-ABA",
    "Q-ABB",
    "1L",
    "DOOR 2 R",
    "SLIDE",
    "WIDGET " * 12,
    "04108",
    "4106",
    'x"<b>&',
    "=1+1",
    "SPARES",
    "TOTAL",
    "31/02/2024",
    "03/04/2025",
    "JAN 26",
    "36 M",
    "999999999999999999",
    "Ω≈ç",
    "a\nb\nc",
    "'",
    "Q-" + "Z" * 40,
]


def spoiled(seed: int) -> dict[str, list[list[object]]]:
    """One of the own workbooks with cells replaced, rows shuffled and dropped, headings put elsewhere."""
    chance = random.Random(seed)
    sheets = chance.choice(list(BOOKS.values()))()
    for rows in sheets.values():
        for _ in range(chance.randint(0, 30)):
            row = chance.choice(rows)
            if row:
                junk = [
                    *WORDS,
                    -5,
                    1e300,
                    45000,
                    on(1900, 3, 1),
                    on(9999, 1, 1),
                    True,
                ]
                row[chance.randrange(len(row))] = chance.choice(junk)
        if chance.random() < 0.3:
            chance.shuffle(rows)
        if chance.random() < 0.3:
            del rows[: chance.randint(1, 4)]
    return sheets


def as_file(sheets: dict[str, list[list[object]]], path) -> SimpleUploadedFile:
    with xlsxwriter.Workbook(
        path, {"strings_to_formulas": False, "nan_inf_to_errors": True}
    ) as book:
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for i, row in enumerate(rows):
                for j, cell in enumerate(row):
                    if isinstance(cell, dt.datetime):
                        sheet.write_datetime(i, j, cell, day)
                    else:
                        sheet.write(i, j, cell)
    return SimpleUploadedFile("junk.xlsx", path.read_bytes())


@pytest.mark.parametrize("seed", range(16))
def test_no_page_and_no_job_ends_in_a_fault(client, settings, tmp_path, seed):
    settings.DATA_DIR = tmp_path / "data"
    client.force_login(User.objects.create_user("office", roles=[CONTROLLER, ADMINISTRATOR]))

    answers = [bring(client, as_file(spoiled(seed), tmp_path / "junk.xlsx"))]
    for workbook in OwnWorkbook.objects.all():
        for step, said in (
            ("columns", {}),
            ("words", {}),
            ("missing", {"station": "QMB", "type": "T"}),
            ("doubts", {}),
            ("compare", {"anyway": "on"}),
        ):
            answers.append(send(client, step, workbook.key, **said))
    drain(now=timezone.now, today=today())
    for load in Load.objects.all():
        assert load.state in {Load.READ, Load.UNREADABLE}, load.fault
        for name in ("load", "load_returned", "load_beside"):
            answers.append(client.get(reverse(f"fleet:{name}", args=[load.key])))
        if load.state == Load.READ:
            client.post(reverse("fleet:load_decide", args=[load.key]), {"mode": "good_lines"})
    drain(now=timezone.now, today=today())

    assert {answer.status_code for answer in answers} <= {200, 302, 422}
    assert not Load.objects.filter(state=Load.FAILED).exists()
