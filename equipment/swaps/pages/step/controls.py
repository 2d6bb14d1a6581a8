"""The controls that a step's form is put together from, as plain data."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to type: with a unit to choose beside it if there are several."""

    name: str
    label: str
    value: str = ""
    unit_name: str = ""
    units: tuple[str, ...] = ()
    unit: str = ""
    keypad: str = "decimal"
    is_big: bool = True
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of two large buttons."""

    name: str
    value: str
    label: str
    is_first: bool = False
    is_chosen: bool = False


@dataclass(frozen=True, slots=True)
class Controls:
    """A step's controls in their order; ``wanted`` says in words what the value should be."""

    wanted: str = ""
    more: str = ""
    choices: tuple[Choice, ...] = ()
    counter: Field | None = None
    fields: tuple[Field, ...] = ()
    lever: tuple[Field, ...] = ()
    text: Field | None = None
    is_photo: bool = False
    tool_sort: str = ""
    needs_tool: bool = False
    is_lever_open: bool = False
