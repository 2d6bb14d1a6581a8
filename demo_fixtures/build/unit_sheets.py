"""Units, their papers and what was stated of them, as lines of sheets."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from .book import Book, Key, UnitFact
from .fleet_sheets import hours
from .operator import MEASURES

Row = dict[str, object]
IN_MINUTES = {code for code, _, unit, *_ in MEASURES if unit == "minutes"}
QUALITIES = {
    "certificate": "on a certificate",
    "previous_operator": "stated by the previous operator",
    "assumption": "cautious assumption",
}


def named(key: Key | None, before: str = "") -> Row:
    """The three columns that name a unit; blank for none."""
    maker, part, serial = ("Maker", "Part number", "Serial number")
    if before:
        maker, part, serial = (f"{before} {word.lower()}" for word in (maker, part, serial))
    if key is None:
        return {maker: "", part: "", serial: ""}
    return {maker: key.maker, part: key.part, serial: key.serial}


def units(book: Book) -> list[Row]:
    return unit_lines(book.units)


def unit_lines(units: Iterable[UnitFact]) -> list[Row]:
    return [
        {
            **named(unit.key),
            "Standard": unit.standard,
            "Manufactured on": unit.made,
            "Stated life (months)": unit.life_months,
            "Quantity": unit.quantity if unit.quantity != 1 else "",
            "Note": unit.note,
        }
        for unit in units
    ]


def life_statements(book: Book) -> list[Row]:
    return [
        {
            **named(life.key),
            "Measure": life.measure,
            "Stated on": life.on,
            "Total": hours(life.total) if life.measure in IN_MINUTES else life.total,
            "Since": "since new",
            "Source": life.source,
            "Quality": QUALITIES[life.quality],
            "Correction": "",
        }
        for life in book.lives
    ]


def certificates(book: Book) -> list[Row]:
    return [
        {
            **named(paper.key),
            "Form": "Release certificate",
            "Tracking number": paper.number,
            "Issued on": paper.on,
            "Issuer": paper.issuer,
            "Status": paper.status.upper(),
            "Remarks": "",
        }
        for paper in book.papers
    ]


def titles(book: Book) -> list[Row]:
    return [
        {
            **named(title.key),
            "From": title.on,
            "Sort": title.sort,
            "Owner": title.owner,
            "Return by": title.return_by,
            "Core due on": title.core_due,
            "Customs": title.customs,
            "Restriction": title.restriction,
            "Document": title.document,
        }
        for title in book.titles
    ]


def identification(key: Key, on: date, new: Key, standard: str, document: str) -> Row:
    """A unit becomes another part number or standard."""
    return {
        **named(key),
        "From": on,
        "New maker": new.maker,
        "New part number": new.part,
        "Standard": standard,
        "Document": document,
    }
