"""What the stores work by: ways between the stations, rules of stock, orders at the shops."""

from __future__ import annotations

from datetime import date, timedelta

from .book import Book, Key, Move
from .operator import REFERENCE, SHOPS
from .unit_sheets import named

Row = dict[str, object]

#: From, to, days and cost as ordinary freight, days and cost as dangerous goods.
WAYS = [
    ("QVMR", "QTLH", 1, 90, 4, 310),
    ("QVMR", "QESP", 2, 240, 7, 820),
    ("QVMR", "QNRB", 2, 180, 6, 560),
    ("QTLH", "QESP", 4, 300, 9, 900),
    ("QESP", "QNRB", 4, 340, 9, 980),
]
DOCUMENT = "VAR-STORES-04 revision 2"


def transport() -> list[Row]:
    """Both ways alike."""
    rows: list[Row] = []
    for one, other, days, cost, slow, dear in WAYS:
        for origin, station in ((one, other), (other, one)):
            rows.append(_way(origin, station, "", days, cost))
            rows.append(_way(origin, station, "yes", slow, dear))
    return rows


def _way(origin: str, station: str, dangerous: str, days: int, cost: int) -> Row:
    return {
        "From": origin,
        "To": station,
        "Takes dangerous goods": dangerous,
        "Days": days,
        "Cost": cost,
        "Document": DOCUMENT,
    }


#: Kind, least days at issue, turn days, days that hurrying gains, unplanned removals a year, fill rate.
RULES = [
    ("SLIDE", 180, 45, 15, "3.2", "0.95"),
    ("RAFT", 180, 50, 15, "2.1", "0.95"),
    ("OWSLIDE", 180, 45, 10, "0.8", "0.9"),
    ("BOTTLE", 120, 30, 10, "1.5", "0.95"),
    ("DOORCYL", 120, 30, 10, "1.1", "0.9"),
    ("OXY", 90, 25, 7, "4.0", "0.95"),
    ("EXT", 90, 25, 7, "2.4", "0.9"),
    ("LPACK", 60, 20, 5, "5.5", "0.95"),
    ("SLIGHT", 60, 20, 5, "1.0", "0.9"),
    ("ELT", 60, 30, 10, "0.6", "0.9"),
]


def rules() -> list[Row]:
    return [
        {
            "Kind": kind,
            "Least days at issue": least,
            "Turn days": turn,
            "Hurry days": hurry,
            "Unplanned a year": unplanned,
            "Fill rate": fill,
            "Document": DOCUMENT,
        }
        for kind, least, turn, hurry, unplanned, fill in RULES
    ]


def at_the_shop(book: Book) -> dict[Key, Move]:
    """The sending of each unit that is at a shop on the reference day: it is brought as an order."""
    last: dict[Key, Move] = {}
    for move in sorted(book.moves, key=lambda move: (move.on, move.order)):
        last[move.key] = move
    return {
        key: move
        for key, move in last.items()
        if move.sort == "sent" and move.to.sort == "shop" and move.to.name in SHOPS
    }


def orders(book: Book) -> list[Row]:
    """The shop promises in five to nine weeks; the eldest are late."""
    return [
        {
            **named(key),
            "Shop": move.to.name,
            "Order": move.document,
            "Station": "QVMR",
            "Sent on": move.on,
            "Promised on": _promised(move.on, place),
            "Works": "OVERHAUL" if move.to.name == SHOPS[0] else "HYDRO",
            "Remarks": "",
        }
        for place, (key, move) in enumerate(sorted(at_the_shop(book).items(), key=_by_day))
    ]


def _by_day(pair: tuple[Key, Move]) -> tuple[date, str, str]:
    key, move = pair
    return move.on, key.part, key.serial


def _promised(sent: date, place: int) -> date:
    """One in four is late by now; the others come in the weeks ahead."""
    weeks = 5 + place % 5
    promised = sent + timedelta(weeks=weeks)
    if place % 4 == 0:
        return min(promised, REFERENCE - timedelta(days=5 + place))
    return max(promised, REFERENCE + timedelta(days=12 + 7 * place))
