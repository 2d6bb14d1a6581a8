"""What the numbers in the columns mean, and how the things they stand for relate."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from .facts import Need, Prices, Way
from .fits import fit_reasons, fits_for, is_barred

NO_WAY = 1 << 28
LANE_STEP = 1 << 24
NO_END = -1


class Numbers:
    """Things numbered in the order they were first met; a copy goes on from the same numbers."""

    __slots__ = ("given",)

    def __init__(self, given: dict[Any, int] | None = None) -> None:
        self.given = dict(given or {})

    def number(self, thing: Hashable) -> int:
        return self.given.setdefault(thing, len(self.given))

    def __len__(self) -> int:
        return len(self.given)

    def copy(self) -> Numbers:
        return Numbers(self.given)


@dataclass(frozen=True, slots=True)
class Book:
    """The numberings of one allocation, with its ways and prices."""

    ways: tuple[Way, ...]
    prices: Prices
    needs: Numbers
    supplies: Numbers
    stations: Numbers
    slots: Numbers
    articles: Numbers
    takers: Numbers
    terms: Numbers
    lanes: Numbers
    rates: Numbers
    lefts: Numbers

    @classmethod
    def of(cls, ways: tuple[Way, ...], prices: Prices) -> Book:
        book = cls(ways, prices, *(Numbers() for _ in range(10)))
        for way in ways:
            book.stations.number(way.origin)
            book.stations.number(way.station)
        return book

    def copy(self) -> Book:
        """A book to write new numbers in, these left as they are."""
        return Book(
            self.ways,
            self.prices,
            self.needs.copy(),
            self.supplies.copy(),
            self.stations.copy(),
            self.slots.copy(),
            self.articles.copy(),
            self.takers.copy(),
            self.terms.copy(),
            self.lanes.copy(),
            self.rates.copy(),
            self.lefts.copy(),
        )

    def slot(self, need: Need) -> int:
        """What fits at a need on its aircraft: one number for all needs alike in this."""
        return self.slots.number(fits_for(need.fits, need.msn))


Judge = Callable[[Any, Any], int]


@dataclass(frozen=True, slots=True)
class Related:
    """How numbered things relate, in tables: ``fit`` reasons by (slot, article), ``barred`` by
    (taker, terms), ``days`` and ``freight`` by (dangerous goods, from, to), ``lane_days`` sorted codes of
    (lane, day); of each measure that ends anything what is ``left`` (``NO_END``: no end in it), and an
    aircraft's ``gain`` of it in so many ``seconds``."""

    fit: npt.NDArray[np.int32]
    barred: npt.NDArray[np.bool_]
    days: npt.NDArray[np.int32]
    freight: npt.NDArray[np.int64]
    lane_days: npt.NDArray[np.int64]
    left: npt.NDArray[np.int64]
    gain: npt.NDArray[np.int64]
    seconds: npt.NDArray[np.int64]

    @classmethod
    def of(cls, book: Book, before: Related | None = None) -> Related:
        """The tables of a book; what an earlier book's tables hold already is not judged again."""
        days, freight = _ways(book)
        return cls(
            _grown(book.slots, book.articles, _fit, np.int32, before and before.fit),
            _grown(book.takers, book.terms, _barred, np.bool_, before and before.barred),
            days,
            freight,
            _lane_days(book.lanes),
            _by_measure(book, book.lefts, lambda one: one.amount, NO_END),
            _by_measure(book, book.rates, lambda one: one.gain, 0),
            _by_measure(book, book.rates, lambda one: one.seconds, 1),
        )


def _fit(slot: Any, article: Any) -> int:
    return int(fit_reasons(slot, *article))


def _barred(taker: Any, terms: Any) -> int:
    return is_barred(*taker, *terms)


def _grown(rows: Numbers, columns: Numbers, judge: Judge, dtype: Any, before: Any) -> Any:
    table = np.zeros((len(rows), len(columns)), dtype=dtype)
    known = (0, 0) if before is None else before.shape
    if before is not None:
        table[: known[0], : known[1]] = before
    for row, at in rows.given.items():
        # Most of a table that grew is known: only its new rows and columns are walked.
        news = columns.given.items() if at >= known[0] else list(columns.given.items())[known[1] :]
        for column, number in news:
            table[at, number] = judge(row, column)
    return table


def _ways(book: Book) -> tuple[Any, Any]:
    """Days and cost from each station to each; a place needs no way to itself."""
    size = len(book.stations)
    days = np.full((2, size, size), NO_WAY, dtype=np.int32)
    freight = np.zeros((2, size, size), dtype=np.int64)
    days[:, np.arange(size), np.arange(size)] = 0
    # The cheapest of the quickest ways is the one that counts, in whatever order they came.
    for way in sorted(book.ways, key=lambda one: (one.days, one.cost), reverse=True):
        origin, station = book.stations.number(way.origin), book.stations.number(way.station)
        if origin != station:
            days[int(way.is_dangerous), origin, station] = way.days
            freight[int(way.is_dangerous), origin, station] = way.cost
    return days, freight


def _lane_days(lanes: Numbers) -> Any:
    codes = [number * LANE_STEP + day for lane, number in lanes.given.items() for day in lane]
    return np.sort(np.array(codes, dtype=np.int64))


def _by_measure(book: Book, numbers: Numbers, value: Callable[[Any], int], fill: int) -> Any:
    """One row for each tuple that is numbered, one column for each measure that anything has left."""
    measures = sorted({one.measure for several in book.lefts.given for one in several})
    table = np.full((len(numbers), len(measures)), fill, dtype=np.int64)
    for several, row in numbers.given.items():
        for one in several:
            if one.measure in measures:
                table[row, measures.index(one.measure)] = value(one)
    return table
