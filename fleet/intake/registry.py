"""The kinds of sheet: declared by each app, known to the reader, the template and the documents."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import field as made
from typing import Any

from .columns import SERIAL, TEXT
from .words import folded, nearest


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the field it fills, the kind of its value, and what it means.

    ``kind`` is one of :mod:`fleet.intake.columns`; ``choices`` are code and words of a choice;
    ``most`` is the longest text kept; ``has_come`` says that its day is one that has come already.
    """

    name: str
    field: str
    kind: str = TEXT
    needed: bool = False
    meaning: str = ""
    aliases: tuple[str, ...] = ()
    choices: Mapping[str, str] = made(default_factory=dict)
    most: int = 80
    has_come: bool = False

    @property
    def headings(self) -> set[str]:
        """Every folded heading under which this column is found."""
        bare = self.name.partition("(")[0]
        return {folded(word) for word in (self.name, bare, self.field, *self.aliases)}


#: Over the column of a workbook of refused lines that says why: what stands there is the program's.
WHY_REFUSED = "Why refused"


@dataclass(frozen=True, slots=True)
class SheetKind:
    """One kind of sheet: one kind of fact.

    ``order`` says what is brought in before what. ``bring`` takes a batch of lines and brings the
    good ones in through an act (see ``fleet.loading``). ``act`` is asked of ``fleet.house.desks``.
    ``example`` holds lines that load as they stand, given as cells in the order of ``columns``.
    """

    name: str
    purpose: str
    order: int
    act: str
    columns: tuple[Column, ...]
    bring: Callable[[Any], None]
    example: Sequence[Sequence[object]] = ()
    aliases: tuple[str, ...] = ()

    def column(self, field_name: str) -> Column:
        """The column of this field; KeyError if there is none."""
        for column in self.columns:
            if column.field == field_name:
                return column
        raise KeyError(field_name)


_kinds: dict[str, SheetKind] = {}
#: Sheets that carry explanations only.
READ_ME = frozenset({"readme", "read", "notes", "columnmeanings", "refusedwhy"})


def register(*kinds: SheetKind) -> None:
    """This will make kinds of sheet known; called once by each app as it gets ready."""
    for kind in kinds:
        _kinds[kind.name] = kind


def kinds() -> list[SheetKind]:
    """Every kind of sheet, in the order in which they are brought in."""
    return sorted(_kinds.values(), key=lambda kind: (kind.order, kind.name))


def kind_named(name: str) -> SheetKind | None:
    """The kind of a sheet's or CSV file's name; case, spaces and marks do not matter."""
    wanted = folded(name)
    for kind in kinds():
        if wanted in {folded(word) for word in (kind.name, *kind.aliases)}:
            return kind
    return None


def kind_nearest(name: str) -> str | None:
    """The name of the kind most like this name."""
    return nearest(name, [kind.name for kind in kinds()])


def is_read_me(name: str) -> bool:
    """Whether a sheet of this name carries explanations only."""
    return folded(name) in READ_ME


#: The column that names one aircraft.
NAMED_AIRCRAFT = Column(
    "Aircraft", "aircraft", "code", True, "Registration.", ("registration", "reg", "tail"), most=10
)


def unit_columns(what: str = "", *, needed: bool = True) -> tuple[Column, ...]:
    """The three columns that name one unit; ``what`` goes before the headings (``Parent``)."""
    start, under = (f"{what} ", f"{what.lower()}_") if what else ("", "")
    name = (lambda word: start + word[0].lower() + word[1:]) if what else (lambda word: word)
    return (
        Column(
            name("Maker"),
            f"{under}maker",
            "code",
            meaning="Code, name or alias of the maker. May be blank where one maker only has the part number.",
            aliases=(f"{start}manufacturer", f"{start}cage", f"{start}cage code", f"{start}vendor"),
        ),
        Column(
            name("Part number"),
            f"{under}part",
            "code",
            needed,
            "The unit's original part number, or its present one where that names one unit only.",
            aliases=(f"{start}P/N", f"{start}PN", f"{start}part no", f"{start}part"),
            most=40,
        ),
        Column(
            name("Serial number"),
            f"{under}serial",
            SERIAL,
            needed,
            "Serial number, or the batch number of a lot.",
            aliases=(
                f"{start}S/N",
                f"{start}SN",
                f"{start}serial no",
                f"{start}serial",
                f"{start}batch",
            ),
            most=40,
        ),
    )


def names(columns: Iterable[Column]) -> str:
    """Headings in a row, for a sentence."""
    return ", ".join(f"'{column.name}'" for column in columns)
