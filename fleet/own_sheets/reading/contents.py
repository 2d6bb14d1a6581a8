"""What the cells of a column look like, whatever its heading says."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from fleet.intake.stamps import Stamp
from fleet.own_sheets.words.counts import CYCLES, HOURS, count_in, looks_like_a_count, pieces_in
from fleet.own_sheets.words.crafts import REGISTRATION
from fleet.own_sheets.words.days import (
    ASK,
    DAY_FIRST,
    day_in,
    is_year,
    looks_like_a_day,
    way_of,
)
from fleet.own_sheets.words.items import is_item
from fleet.own_sheets.words.marks import is_number, mark_of, text_in
from fleet.own_sheets.words.places import is_place

#: So many cells of a column are looked at, spread over its length.
LOOKED_AT = 400
_PART = re.compile(
    r"(?=.*\d)[A-Z0-9]{1,12}([-/. ][A-Z0-9]{1,12})+|[A-Z]{1,5}\d{3,}[A-Z]?", re.IGNORECASE
)
_SERIAL = re.compile(r"(?=.*\d)[A-Z0-9][A-Z0-9/.\- ]{1,24}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Looks:
    """Shares (0 to 1) of a column's values that look like something, and how many values it has.

    ``distinct`` is the share of different values; ``late`` the share of its dates after the day;
    ``told`` those that hold a date, or say hours or cycles with it or instead;
    ``hours`` and ``cycles`` those that say so (``3000 FH``), ``counts`` all that can be such a number;
    ``way`` how its slashed dates are read; ``middle`` the middle one of its dates.
    """

    filled: int
    distinct: float
    days: float
    late: float
    numbers: float
    registrations: float
    items: float
    places: float
    parts: float
    serials: float
    long: float
    told: float
    years: float
    counts: float
    hours: float
    cycles: float
    way: str
    middle: dt.date | None


def looks_of(cells: Sequence[object], day: dt.date) -> Looks:
    """This will look at a column's cells, marks such as N/A left out."""
    way = way_of(cells)
    step = max(1, len(cells) // LOOKED_AT)
    values = [cell for cell in cells[::step] if text_in(cell) and mark_of(cell) is None]
    count = len(values)
    if not count:
        return Looks(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, way, None)
    days = [cell for cell in values if looks_like_a_day(cell)]
    dates = sorted(d for cell in days if (d := _date(cell, way)))
    texts = [text_in(cell).upper() for cell in values if not looks_like_a_day(cell)]

    def share(of: float) -> float:
        return of / count

    return Looks(
        filled=count,
        distinct=share(len({text_in(cell) for cell in values})),
        days=share(len(days)),
        late=sum(d > day for d in dates) / len(dates) if dates else 0,
        numbers=share(sum(is_number(cell) or text_in(cell).isdecimal() for cell in values)),
        registrations=share(
            sum(bool(REGISTRATION.fullmatch(text)) and "-" in text for text in texts)
        ),
        items=share(sum(is_item(text) for text in texts)),
        places=share(sum(is_place(text) for text in texts)),
        parts=share(sum(bool(_PART.fullmatch(text)) for text in texts)),
        serials=share(sum(bool(_SERIAL.fullmatch(text)) for text in texts)),
        long=share(sum(len(text.split()) > 3 for text in texts)),
        told=share(sum(looks_like_a_day(cell) or _says_several(cell) for cell in values)),
        years=share(sum(is_year(cell) for cell in values)),
        counts=share(sum(map(looks_like_a_count, values))),
        hours=share(sum(count_in(text)[0] == HOURS for text in texts)),
        cycles=share(sum(count_in(text)[0] == CYCLES for text in texts)),
        way=way,
        middle=dates[len(dates) // 2] if dates else None,
    )


def _says_several(cell: object) -> bool:
    """A date and hours one after the other, or hours where others hold a date."""
    pieces = pieces_in(cell) if isinstance(cell, str) else []
    return any(count_in(piece)[0] for piece in pieces) and all(
        count_in(piece)[0] or looks_like_a_day(piece) for piece in pieces
    )


def _date(cell: object, way: str) -> dt.date | None:
    read = day_in(cell, DAY_FIRST if way == ASK else way)
    return read.on if isinstance(read, Stamp) else None
