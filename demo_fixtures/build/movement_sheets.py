"""Movements, in the order of time, as lines of sheets."""

from __future__ import annotations

from .book import Book, Key, Move, Spotted
from .fleet_sheets import hours
from .stores_sheets import at_the_shop
from .unit_sheets import named

Row = dict[str, object]
TO = {
    "aircraft": "a position of an aircraft",
    "inside": "a position inside a unit",
    "store": "store",
    "quarantine": "quarantine",
    "shop": "shop",
    "party": "another party",
    "gone": "gone",
}
SORTS = {"released": "released to stock", "split": "split from a lot"}


def movements(book: Book) -> list[Row]:
    """Every movement of the first sheets; what is at a shop went there by an order of its own."""
    ordered = {id(move) for move in at_the_shop(book).values()}
    moves = sorted(book.moves, key=lambda move: (move.on, move.order))
    return [movement(move) for move in moves if id(move) not in ordered]


def movement(move: Move, replaces_on: object = "", replaces: str = "") -> Row:
    """One line; with the day and sort of the recorded movement that it replaces, if it does."""
    return {
        **named(move.key),
        "Movement": SORTS.get(move.sort, move.sort),
        "Happened on": move.on,
        "To": TO[move.to.sort],
        "Aircraft": move.to.aircraft,
        "Position": move.to.position,
        **named(move.to.parent, "Parent"),
        "Station": move.to.station,
        "Name": move.to.name,
        "Hours": hours(move.minutes) if move.minutes is not None else "",
        "Cycles": move.cycles,
        "Log page": move.page,
        "Document": move.document,
        "Reason": move.reason,
        "Quantity": move.quantity if move.quantity != 1 else "",
        "Order": move.order or "",
        "Replaces on": replaces_on,
        "Replaces movement": replaces,
    }


def in_store(station: str) -> Spotted:
    return Spotted("store", station=station)


def on_aircraft(registration: str, position: str) -> Spotted:
    return Spotted("aircraft", registration, position)


def extinguisher(serial: str) -> Key:
    return Key("CCF-A12", serial)
