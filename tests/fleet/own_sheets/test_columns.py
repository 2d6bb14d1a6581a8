"""Columns are proposed from headings and contents: nine in ten without a click."""

from __future__ import annotations

import pytest

from fleet.intake.files import RawSheet
from fleet.own_sheets.reading.sheets import OwnSheet, sheet_of
from fleet.own_sheets.said import SheetSaid

from . import arrivals, books, newcomers, strangers
from .books import DAY

BOOKS = books.BOOKS | strangers.BOOKS | newcomers.BOOKS | arrivals.BOOKS
MEANT = books.MEANT | strangers.MEANT | newcomers.MEANT | arrivals.MEANT


def sheets_of(book: str) -> list[OwnSheet]:
    return [
        sheet_of(RawSheet(name, rows), SheetSaid(), DAY) for name, rows in BOOKS[book]().items()
    ]


def proposed(book: str) -> list[tuple[str, str, str, str]]:
    """Sheet, letter, what the column is, what was proposed."""
    found = []
    for sheet in sheets_of(book):
        meant = MEANT[book].get(sheet.name, "").split()
        by_place = {column.at: column.role for column in sheet.columns}
        for at, role in enumerate(meant):
            found.append(
                (sheet.name, chr(65 + at), "" if role == "-" else role, by_place.get(at, ""))
            )
    return found


@pytest.mark.parametrize("book", sorted(set(MEANT) - {"foreign"}))
def test_every_column_is_proposed_right(book):
    wrong = [each for each in proposed(book) if each[2] != each[3]]

    assert wrong == []


def test_headings_in_another_language_are_told_by_contents():
    found = proposed("foreign")

    right = [each for each in found if each[2] == each[3]]
    assert len(right) >= 0.9 * len(found), found


def test_nine_columns_in_ten_of_every_book_need_no_click():
    for book in MEANT:
        found = proposed(book)
        right = sum(meant == said for _, _, meant, said in found)
        assert right >= 0.9 * len(found), (book, right, len(found))
    assert len(MEANT) >= 20
