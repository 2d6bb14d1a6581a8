"""What a step asks for, as plain data: its form is put together from it, and filled by the page."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.judging.measuring.units import sort_of, units_of


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


def measured(
    name: str, label: str, unit: str, unit_name: str = "unit", *, keypad: str = "decimal"
) -> Field:
    """A number with every unit that it may be read in; the rule's own is chosen at first."""
    sort = sort_of(unit)
    units = tuple(units_of(sort)) if sort else (unit,)
    return Field(name, label, unit_name=unit_name, units=units, unit=unit, keypad=keypad)


def either(name: str, *words: tuple[str, str]) -> tuple[Choice, ...]:
    """Buttons of one name, by value and label; the first is the usual one."""
    return tuple(
        Choice(name, value, label, is_first=place == 0)
        for place, (value, label) in enumerate(words)
    )
