"""The options of a command that narrow a list, made from what may be asked of the list."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from fleet.acts import fields
from fleet.acts.act import filled
from fleet.acts.fields import Field, choices_of, fields_of
from fleet.house.pages import day_read


def day_of(text: str) -> date:
    """A day as 2027-03-03; else a sentence that says so."""
    try:
        return day_read(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from None


def options_of(parser: ArgumentParser, asked: type) -> None:
    """Adds an option for each field that the dataclass declares: ``--part-number`` of ``part_number``.

    What no option can say (a file, a part) is a TypeError.
    """
    for each in fields_of(asked):
        make = _OPTIONS.get(each.said.sort)
        if make is None:
            raise TypeError(f"{each.attribute}: no option says what is {each.said.sort}.")
        flag = "--" + each.name.replace("_", "-")
        parser.add_argument(flag, dest=each.name, default=each.default, **make(each))


def asked_by(options: Mapping[str, Any], asked: type) -> Any:
    """What the options ask, as the dataclass."""
    return filled(asked, {each.name: options[each.name] for each in fields_of(asked)})


def _words(field: Field) -> str:
    return field.said.help or f"{field.said.label}."


def _text(field: Field) -> dict[str, Any]:
    return {"metavar": (field.said.what or field.name).upper(), "help": _words(field)}


def _choice(field: Field) -> dict[str, Any]:
    codes = [code for code, _ in choices_of(field.said)]
    metavar = field.name.upper()
    return {"choices": codes, "metavar": metavar, "help": ", ".join(filter(None, codes))}


def _day(field: Field) -> dict[str, Any]:
    return {"type": day_of, "metavar": "DATE", "help": f"{_words(field)} As 2027-03-03."}


def _number(field: Field) -> dict[str, Any]:
    return {"type": int, "metavar": "N", "help": _words(field)}


def _yes_no(field: Field) -> dict[str, Any]:
    return {"action": "store_true", "help": _words(field)}


_OPTIONS: Mapping[str, Callable[[Field], dict[str, Any]]] = {
    fields.TEXT: _text,
    fields.CHOICE: _choice,
    fields.DAY: _day,
    fields.NUMBER: _number,
    fields.YES_NO: _yes_no,
}
