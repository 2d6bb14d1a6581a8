"""The whole demonstration, gathered from its parts with one seed."""

from __future__ import annotations

import random
from dataclasses import dataclass

from .aircraft import Aircraft, fleet
from .book import Book
from .cases import hard_cases
from .layouts import POSITIONS
from .programme import DOOR_POSITIONS
from .spares import gone, owned_by_others, predecessors, shelves
from .stories import aircraft_works, fit_out
from .troubles import troubles

SEED = 44


@dataclass(frozen=True, slots=True)
class Gathered:
    """The fleet, and the book of everything about the equipment."""

    crafts: dict[str, Aircraft]
    book: Book


def gathered() -> Gathered:
    """This will make everything anew, the same each time."""
    rng = random.Random(SEED)  # noqa: S311
    crafts = {craft.registration: craft for craft in fleet(rng)}
    book = Book(rng)
    hard_cases(book, crafts)
    troubles(book, crafts)
    for craft in crafts.values():
        spots = POSITIONS[craft.type_code]
        fit_out(book, craft, spots)
        doors = [spot.code for spot in spots if spot.code in DOOR_POSITIONS]
        aircraft_works(book, craft, doors)
    predecessors(book, crafts)
    shelves(book)
    owned_by_others(book)
    gone(book)
    return Gathered(crafts, book)
