"""The fields of what a person says to an act: each with its words, limits, choices and references.

A field is declared once, where the act's dataclass has it::

    @dataclass(frozen=True, slots=True)
    class NewHold:
        why: str = choice("The doubt is", Hold.WHY)
        words: str = text("In words", 300, needed="Say what the doubt is.")
        document: str = text("Document", 80, default="")

Its type and default are the dataclass's own: a text with the default ``""`` may be left out, one of
``int | None`` may be null. A field that none of these functions declares is not said by people.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import MISSING, dataclass
from typing import Any

from django.db.models import Model

#: Under which a dataclass's field keeps how it is said, or whose fields stand in its place.
SAID, WITHIN = "said", "within"

TEXT, NUMBER, YES_NO, CHOICE, CODES = "text", "number", "yes_no", "choice", "codes"
DAY, STAMP, MOMENT = "day", "stamp", "moment"
ROW, CODED, FILE, PART, PARTS = "row", "coded", "file", "part", "parts"

Choices = Sequence[tuple[str, str]]
#: The largest number that the database keeps.
BIGGEST = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Heading:
    """The column of a sheet: its heading, what it means there, by which other words it is found.

    ``kind`` is one of :mod:`fleet.intake.columns` where the sort of field does not tell it (a code,
    hours), ``most`` the longest text where the sheet takes another than programs do; ``has_come``
    says that its day is one that has come already.
    """

    name: str
    meaning: str = ""
    aliases: tuple[str, ...] = ()
    kind: str = ""
    most: int = 0
    has_come: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """How one field is said. ``name`` is the field's to programs and forms, if not its own.

    ``needed`` is what a form says where it is missing; ``help`` explains it to programs, ``hint`` on
    the form; ``offers`` gives what is usual; ``precision`` names the field that a stamp's precision
    goes to; ``model`` and ``column`` are the row that is referred to and the code that people know,
    ``what`` its word, ``look_up`` where a program finds it; ``of`` is the dataclass of a part.
    """

    sort: str
    label: str = ""
    name: str = ""
    needed: str = ""
    help: str = ""
    hint: str = ""
    least: int = 0
    most: int = 0
    choices: Choices | Callable[[], Choices] = ()
    offers: Callable[[], Sequence[str]] | None = None
    precision: str = ""
    model: type[Model] | None = None
    column: str = "pk"
    what: str = ""
    look_up: str = ""
    of: type | None = None
    heading: Heading | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """One said field of a dataclass: its attribute, how it is said, its default."""

    attribute: str
    said: Said
    default: Any = MISSING
    is_optional: bool = False

    @property
    def name(self) -> str:
        """Its name on the form, in a request and in a refusal: ``unit`` of ``unit_id``."""
        is_key = self.said.sort in (ROW, CODED)
        own = self.attribute.removesuffix("_id") if is_key else self.attribute
        return self.said.name or own

    @property
    def is_needed(self) -> bool:
        return self.default is MISSING


def fields_of(said: type) -> Iterator[Field]:
    """The said fields of a dataclass in their order, those of what is within it in its place. TypeError
    of what is no dataclass."""
    for field in dataclasses.fields(said):
        if (inner := field.metadata.get(WITHIN)) is not None:
            yield from fields_of(inner)
        elif (how := field.metadata.get(SAID)) is not None:
            default = field.default
            if field.default_factory is not MISSING:
                default = field.default_factory()
            yield Field(field.name, how, default, default is None)


def field_named(said: type, attribute: str) -> Field:
    """The field of this attribute; KeyError if nobody says it."""
    return {field.attribute: field for field in fields_of(said)}[attribute]


def built(said: type, values: Mapping[str, Any]) -> Any:
    """A dataclass out of values by attribute; what is within it takes those that are its own."""
    own = dict(values)
    for field in dataclasses.fields(said):
        inner = field.metadata.get(WITHIN)
        if inner is not None and field.name not in own:
            names = [each.name for each in dataclasses.fields(inner) if each.name in own]
            own[field.name] = built(inner, {name: own.pop(name) for name in names})
    return said(**own)


# --- declaring --------------------------------------------------------------------------------


def _declared(how: Said, default: Any) -> Any:
    if isinstance(default, dict | list):
        return dataclasses.field(default_factory=type(default), metadata={SAID: how})
    return dataclasses.field(default=default, metadata={SAID: how})


def text(label: str, most: int, *, default: Any = MISSING, **more: Any) -> Any:
    """A line of text of at most so many letters; with a default of "" it may be left out."""
    return _declared(Said(TEXT, label, most=most, **more), default)


def number(label: str, *, most: int = BIGGEST, default: Any = MISSING, **more: Any) -> Any:
    """A whole number between ``least`` and ``most``."""
    return _declared(Said(NUMBER, label, most=most, **more), default)


def yes_no(label: str, *, default: Any = False, **more: Any) -> Any:
    """True or false; not said means false unless the default says otherwise."""
    return _declared(Said(YES_NO, label, **more), default)


def choice(
    label: str,
    choices: Choices | Callable[[], Choices],
    *,
    default: Any = MISSING,
    **more: Any,
) -> Any:
    """One code of a list of codes and words."""
    return _declared(Said(CHOICE, label, choices=choices, **more), default)


def codes(label: str, most: int, *, default: Any = (), **more: Any) -> Any:
    """Any number of codes of at most so many letters each; ``choices`` offers them on a form."""
    return _declared(Said(CODES, label, most=most, **more), default)


def day(label: str, *, default: Any = MISSING, **more: Any) -> Any:
    """A day."""
    return _declared(Said(DAY, label, **more), default)


def stamp(label: str, precision: str, *, default: Any = MISSING, **more: Any) -> Any:
    """A day, or a month alone: the first day here, ``day`` or ``month`` in the field ``precision``."""
    return _declared(Said(STAMP, label, precision=precision, **more), default)


def moment(label: str, *, default: Any = MISSING, **more: Any) -> Any:
    """An instant, with its offset from UTC."""
    return _declared(Said(MOMENT, label, **more), default)


def row(label: str, model: type[Model], what: str, *, default: Any = MISSING, **more: Any) -> Any:
    """A row on record by its id, as ``unit_id``; said as ``unit`` unless named otherwise."""
    return _declared(Said(ROW, label, model=model, what=what, least=1, **more), default)


def coded(
    label: str,
    model: type[Model],
    column: str,
    what: str,
    *,
    default: Any = MISSING,
    **more: Any,
) -> Any:
    """A row on record by the code that people know; the act takes its id."""
    return _declared(Said(CODED, label, model=model, column=column, what=what, **more), default)


def file(label: str, *, default: Any = MISSING, **more: Any) -> Any:
    """A file: its name and its bytes."""
    return _declared(Said(FILE, label, **more), default)


def part(label: str, of: type, *, default: Any = MISSING, **more: Any) -> Any:
    """What is a dataclass of its own: a certificate within a receipt."""
    return _declared(Said(PART, label, of=of, **more), default)


def parts(label: str, of: type, *, default: Any = (), **more: Any) -> Any:
    """Any number of such, as a tuple."""
    return _declared(Said(PARTS, label, of=of, **more), default)


def within(of: type) -> Any:
    """What is a dataclass of its own to the act, and is said field by field beside the others: how a
    unit is tagged, besides which unit and when."""
    return dataclasses.field(metadata={WITHIN: of})


def unsaid() -> Any:
    """What people do not say and the act needs: the id of a row, which its sender makes."""
    return dataclasses.field()


def choices_of(said: Said) -> list[tuple[str, str]]:
    """The codes and words that may be chosen from now."""
    found: Iterable[tuple[str, str]] = said.choices() if callable(said.choices) else said.choices
    return list(found)
