"""The facts of an allocation in columns: one numpy array per fact, a row per need or supply.

Days are proleptic ordinals (``date.toordinal``), ``UNKNOWN`` where not known, ``FAR`` where nothing
ends. Other columns are numbers given out by the :class:`Book`; -1 is *none*. A number once given keeps
its meaning in every later book, so columns that were changed can be compared with those before.
"""

# ruff: noqa: RUF009 (the calls below make dataclass fields, each with its own type and filling)
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import Any, Self

import numpy as np
import numpy.typing as npt

from scheduling.engine.basis.columns import Table

from .book import Book, Related
from .facts import Facts, Need, Supply

Ints = npt.NDArray[Any]
Bools = npt.NDArray[np.bool_]
UNKNOWN = -1
FAR = date.max.toordinal()


def _column(dtype: str, fill: Any) -> Any:
    return field(metadata={"dtype": dtype, "fill": fill, "per_measure": False})


class Rows(Table):
    """A table that can take the rows of another after its own."""

    __slots__ = ()

    def joined(self, other: Self) -> Self:
        names = [one.name for one in fields(self)]
        both = {name: np.concatenate([getattr(self, name), getattr(other, name)]) for name in names}
        return type(self)(**both)


@dataclass(frozen=True, slots=True)
class NeedRows(Rows):
    """One row per need. ``until`` is the day a unit must reach, ``slot`` what fits there on that
    aircraft, ``taker`` the aircraft and whose units it takes, ``lane`` its later opportunities, ``rates``
    those of the aircraft, ``locked`` the number of the supply it is locked to."""

    key: npt.NDArray[np.str_] = _column("str", "")
    uid: Ints = _column("int64", -1)
    on: Ints = _column("int32", UNKNOWN)
    until: Ints = _column("int32", UNKNOWN)
    least_days: Ints = _column("int32", 0)
    station: Ints = _column("int32", -1)
    slot: Ints = _column("int32", -1)
    taker: Ints = _column("int32", -1)
    lane: Ints = _column("int64", -1)
    rates: Ints = _column("int32", -1)
    asks_dual: Bools = _column("bool", False)
    quantity: Ints = _column("int32", 1)
    locked: Ints = _column("int64", -1)


@dataclass(frozen=True, slots=True)
class SupplyRows(Rows):
    """One row per supply. ``article`` is part, standard and hand, ``terms`` the owner and what it
    allows, ``left`` what ends it in hours or cycles; ``reserved`` and ``locked`` are numbers of needs."""

    key: npt.NDArray[np.str_] = _column("str", "")
    uid: Ints = _column("int64", -1)
    article: Ints = _column("int32", -1)
    terms: Ints = _column("int32", -1)
    station: Ints = _column("int32", -1)
    free_from: Ints = _column("int32", UNKNOWN)
    lasts_until: Ints = _column("int32", UNKNOWN)
    left: Ints = _column("int32", -1)
    shelf_until: Ints = _column("int32", FAR)
    return_by: Ints = _column("int32", FAR)
    has_certificate: Bools = _column("bool", True)
    is_serviceable: Bools = _column("bool", True)
    is_quarantined: Bools = _column("bool", False)
    needs_decision: Bools = _column("bool", False)
    has_dual: Bools = _column("bool", True)
    is_dangerous: Bools = _column("bool", False)
    quantity: Ints = _column("int32", 1)
    reserved: Ints = _column("int64", -1)
    locked: Ints = _column("int64", -1)


@dataclass(frozen=True, slots=True)
class Columns:
    """Needs and supplies in columns, with what their numbers mean. ``locked`` and ``forbidden`` are
    the pairs' :func:`pair_codes`, sorted."""

    book: Book
    related: Related
    needs: NeedRows
    supplies: SupplyRows
    locked: Ints
    forbidden: Ints

    def take(self, needs: Any, supplies: Any) -> Columns:
        """The same facts with only these rows."""
        return Columns(
            self.book,
            self.related,
            self.needs.take(needs),
            self.supplies.take(supplies),
            self.locked,
            self.forbidden,
        )

    def with_locks(self) -> Columns:
        """The same facts, each row saying what it is locked to by ``locked``. Refuses with ValueError a
        need or a supply that is locked to two."""
        needs, supplies = self.locked >> 32, self.locked & 0xFFFFFFFF
        for noun, uids in (("need", needs), ("supply", supplies)):
            if len(np.unique(uids)) < len(uids):
                raise ValueError(f"A {noun} is locked to two.")
        return replace(
            self,
            needs=replace(self.needs, locked=_partners(self.needs.uid, needs, supplies)),
            supplies=replace(self.supplies, locked=_partners(self.supplies.uid, supplies, needs)),
        )


def _partners(uids: Ints, ours: Ints, theirs: Ints) -> Ints:
    """For each uid the one it is locked to, -1 for none."""
    if not len(ours):
        return np.full(len(uids), -1, dtype=np.int64)
    order = np.argsort(ours)
    at = np.minimum(np.searchsorted(ours[order], uids), len(ours) - 1)
    return np.where(ours[order][at] == uids, theirs[order][at], -1)


def pair_codes(need_uid: Any, supply_uid: Any) -> Ints:
    """One number for a pair of numbers."""
    return np.asarray(need_uid, dtype=np.int64) << 32 | np.asarray(supply_uid, dtype=np.int64)


def columns_of(facts: Facts) -> Columns:
    """This will bring facts into columns. Refuses with ValueError: a key given twice, a need or a supply
    locked to two."""
    refuse_doubles("need", [one.key for one in facts.needs])
    refuse_doubles("supply", [one.key for one in facts.supplies])
    book = Book.of(facts.ways, facts.prices)
    needs, supplies = need_rows(book, facts.needs), supply_rows(book, facts.supplies)
    locked, forbidden = codes_of(book, facts.locked), codes_of(book, facts.forbidden)
    return Columns(book, Related.of(book), needs, supplies, locked, forbidden).with_locks()


def refuse_doubles(noun: str, keys: list[str]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise ValueError(f"The {noun} {key} is given twice.")
        seen.add(key)


def codes_of(book: Book, pairs: Iterable[tuple[str, str]]) -> Ints:
    """The sorted codes of pairs of keys."""
    codes = [book.needs.number(need) << 32 | book.supplies.number(supply) for need, supply in pairs]
    return np.unique(np.array(codes, dtype=np.int64))


def need_rows(book: Book, needs: tuple[Need, ...]) -> NeedRows:
    """Needs as rows; new parts, aircraft and the like are entered in the book."""
    return NeedRows.of(
        len(needs),
        key=np.array([one.key for one in needs], dtype=np.str_),
        uid=[book.needs.number(one.key) for one in needs],
        on=[one.on.toordinal() for one in needs],
        until=[one.until.toordinal() for one in needs],
        least_days=[one.least_days for one in needs],
        station=[book.stations.number(one.station) for one in needs],
        slot=[book.slot(one) for one in needs],
        taker=[book.takers.number((one.msn, one.owners)) for one in needs],
        lane=[book.lanes.number(_later_days(one)) for one in needs],
        rates=[book.rates.number(one.rates) for one in needs],
        asks_dual=[bool(one.dual_release) for one in needs],
        quantity=[one.quantity for one in needs],
    )


def _later_days(need: Need) -> tuple[int, ...]:
    """The opportunities after the need, in order; the day itself stands in when none is planned."""
    later = sorted({day.toordinal() for day in need.opportunities if day > need.on})
    return tuple(later) or (need.on.toordinal(),)


def supply_rows(book: Book, supplies: tuple[Supply, ...]) -> SupplyRows:
    """Supplies as rows; new parts, owners and the like are entered in the book."""
    return SupplyRows.of(
        len(supplies),
        key=np.array([one.key for one in supplies], dtype=np.str_),
        uid=[book.supplies.number(one.key) for one in supplies],
        article=[book.articles.number((one.part, one.standard, one.hand)) for one in supplies],
        terms=[book.terms.number((one.owner, one.only_msns)) for one in supplies],
        station=[book.stations.number(one.station) for one in supplies],
        free_from=[_day(one.free_from) for one in supplies],
        lasts_until=[_day(one.lasts_until) for one in supplies],
        left=[book.lefts.number(one.left) for one in supplies],
        shelf_until=[_day(one.shelf_until) for one in supplies],
        return_by=[_day(one.return_by) for one in supplies],
        has_certificate=[one.has_certificate for one in supplies],
        is_serviceable=[one.is_serviceable for one in supplies],
        is_quarantined=[one.is_quarantined for one in supplies],
        needs_decision=[one.needs_decision for one in supplies],
        has_dual=[one.has_dual_release for one in supplies],
        is_dangerous=[one.is_dangerous for one in supplies],
        quantity=[one.quantity for one in supplies],
        reserved=[_need_number(book, one.reserved_for) for one in supplies],
    )


def _day(day: date | None) -> int:
    return UNKNOWN if day is None else day.toordinal()


def _need_number(book: Book, key: str | None) -> int:
    return -1 if key is None else book.needs.number(key)
