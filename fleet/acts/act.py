"""The declaration of an act beside the function that does it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID

from fleet.house.noted import note_act
from fleet.models import User

from .fields import WITHIN, built, fields_of

#: The id that examples carry.
EXAMPLE_ID = "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c41"


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing that people do: what is said to it, who may, and how programs reach it.

    ``name`` is the act's own and that of its operation; ``claimed`` the name under which its id is
    claimed, if that is another; ``who`` its row in ``fleet.house.desks`` if that
    has another name. ``said`` is the dataclass that a person fills, ``as_`` the parameter of ``does``
    that takes it whole; without one, each of its fields is a parameter of its own. ``needs_today``:
    ``does`` also takes the day that the house calls today, as ``today_as``. ``in_rows``: ``does`` takes any number, of
    which people say one. ``known_by`` says by what the same again is known where its sender makes no
    id for it; ``does`` then takes none. ``id_in_row``: that id is an attribute of what is said.
    ``takes_sender_at``: ``does`` also takes the sender's own clock. ``example`` is what a program sends, in the schema
    and in the tests; ``shows`` the dataclass of what it is shown of what the act gave (:mod:`.answers`), with ``answer``
    as its example, where plain fields tell that.
    """

    name: str
    does: Callable[..., Any]
    said: type
    as_: str = ""
    claimed: str = ""
    who: str = ""
    needs_today: bool = False
    today_as: str = "today"
    in_rows: bool = False
    known_by: str = ""
    id_in_row: bool = False
    takes_sender_at: bool = False
    tag: str = ""
    summary: str = ""
    description: str = ""
    address: str = ""
    in_address: tuple[str, ...] = ()
    example: Mapping[str, Any] = field(default_factory=dict)
    shows: type | None = None
    answer: Mapping[str, Any] = field(default_factory=dict)

    @property
    def row(self) -> str:
        """Its row in the table of who may do what."""
        return self.who or self.name

    @property
    def claim(self) -> str:
        """The name under which its id is claimed."""
        return self.claimed or self.name

    def arguments(self, said: Any) -> dict[str, Any]:
        """What a person said, as the parameters of the act's function."""
        if self.as_:
            return {self.as_: [said] if self.in_rows else said}
        return {each.name: getattr(said, each.name) for each in dataclasses.fields(said)}

    def do(
        self,
        said: Any,
        *,
        by: User,
        act_id: UUID | None,
        at: datetime,
        today: date,
        sender_at: datetime | None = None,
    ) -> Any:
        """This will do the act with what was said. Refuses as its function does."""
        note_act(self.name, act_id)
        more: dict[str, Any] = {self.today_as: today} if self.needs_today else {}
        if not self.known_by and not self.id_in_row:
            more["act_id"] = act_id
        if self.takes_sender_at:
            more["sender_at"] = sender_at
        made = self.does(by=by, at=at, **more, **self.arguments(said))
        return made[0] if self.in_rows else made


def said_by(act: Act, given: Mapping[str, Any]) -> Any:
    """What was said, out of values by the names that people use; others are left alone."""
    return filled(act.said, given)


def filled(said: type, given: Mapping[str, Any]) -> Any:
    """A dataclass out of values by the names of its fields, or their own attributes' names."""
    values: dict[str, Any] = {}
    known = _attributes(said)
    for each in fields_of(said):
        if each.name in given:
            values[each.attribute] = given[each.name]
    values |= {name: value for name, value in given.items() if name in known and name not in values}
    return built(said, values)


def _attributes(said: type) -> set[str]:
    """The attributes of a dataclass, and of what is within it."""
    found: set[str] = set()
    for each in dataclasses.fields(said):
        inner = each.metadata.get(WITHIN)
        found |= {each.name} | (_attributes(inner) if inner is not None else set())
    return found
