"""The list in the order of a name: walked name by name, each by the index of its own items.

Sorting a million items by name for one page would take half a second. Instead the names are put in
order, which are few, and of each the most urgent items are taken until the page is full.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from psycopg import sql

from .conditions import COLUMNS, URGENCY, all_of, behind, order_of, shown_of, where_of
from .marks import Key
from .scope import Scope

#: The name of an item without one: after all others.
LAST = "\U0010ffff"


@dataclass(frozen=True, slots=True)
class Named:
    """Where a sort's name stands, and what of an item points to it."""

    table: str
    name: str
    key: str
    may_lack: bool


# Names in the order of their code points, as Python has it.
NAMED = {
    "aircraft": Named("fleet_aircraft", "registration", "aircraft_id", True),
    "part": Named("equipment_partnumber", "number", "part_number_id", True),
    "work": Named("scheduling_work", "name", "work_id", True),
}
KEYS = ['d.named COLLATE "C"', *URGENCY]


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the answer: its statement and the values for it."""

    text: sql.Composable
    params: list[Any]


@dataclass(frozen=True, slots=True)
class Walk:
    """What is asked for: at most ``size`` items of a scope, in which direction."""

    scope: Scope
    size: int
    is_down: bool

    @property
    def named(self) -> Named:
        return NAMED[self.scope.sort]

    def behind(self, after: Key | None) -> list[Piece]:
        """The rest of the key's own name, the names behind it, and the items without a name."""
        if after is None:
            return [self._of_names(), *self._without()]
        name, rest = after[0], after[1:]
        if name == LAST:
            return [*self._without(rest), *([self._of_names()] if self.is_down else [])]
        beyond = self._of_names("< %s" if self.is_down else "> %s", name)
        own = self._of_names("= %s", name, rest)
        return [own, beyond, *([] if self.is_down else self._without())]

    def _of_names(self, which: str = "", name: Any = None, rest: Key | None = None) -> Piece:
        """The items of each name in turn, until there are enough: the names come sorted, so that
        the planner need not read the items of all."""
        where, params = self._where(f"d.{self.named.key} = k.id", rest)
        collated = f'{self.named.name} COLLATE "C"'
        text = sql.SQL(
            "(SELECT d.*, k.named FROM (SELECT id, {} AS named FROM {}{}{}) k CROSS JOIN LATERAL"
            " (SELECT d.* FROM scheduling_dueitem d{}{} LIMIT %s) d{} LIMIT %s)"
        ).format(
            sql.SQL(collated),
            sql.Identifier(self.named.table),
            all_of([f"{collated} {which}"] if which else []),
            order_of(["named"], self.is_down),
            all_of(where),
            order_of(URGENCY, self.is_down),
            order_of(["k.named", *URGENCY], self.is_down),
        )
        given = [name] if which else []
        return Piece(text, [*given, *params, self.size, self.size])

    def _without(self, rest: Key | None = None) -> list[Piece]:
        """The items that have no name, where there can be such."""
        if not self.named.may_lack:
            return []
        where, params = self._where(f"d.{self.named.key} IS NULL", rest)
        text = sql.SQL(
            '(SELECT d.*, {} COLLATE "C" AS named FROM scheduling_dueitem d{}{} LIMIT %s)'
        ).format(sql.Literal(LAST), all_of(where), order_of(URGENCY, self.is_down))
        return [Piece(text, [*params, self.size])]

    def _where(self, whose: str, rest: Key | None) -> tuple[list[str], list[Any]]:
        where, params = where_of(self.scope)
        further = [] if rest is None else [behind(URGENCY, self.is_down)]
        return [*where, whose, *further], [*params, *(rest or ())]


def statement_of(
    scope: Scope, size: int, after: Key | None, is_down: bool
) -> tuple[sql.Composable, list[Any]]:
    """At most ``size`` items behind the key, each with its keys, and the statement's values."""
    pieces = Walk(scope, size, is_down).behind(after)
    text = sql.SQL("SELECT {}, {} FROM ({}) d{} LIMIT %s").format(
        COLUMNS,
        shown_of(KEYS),
        sql.SQL(" UNION ALL ").join(piece.text for piece in pieces),
        order_of(KEYS, is_down),
    )
    return text, [*(value for piece in pieces for value in piece.params), size]
