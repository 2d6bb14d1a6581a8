"""What a person has said of an own spreadsheet so far: kept as plain JSON, under the words of the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(slots=True)
class SheetSaid:
    """Of one sheet: whether it is left out (None: nothing said), roles by column key, and what its lines do not tell."""

    is_left_out: bool | None = None
    columns: dict[str, str] = field(default_factory=dict)
    ways: str = ""
    item: str = ""
    aircraft: str = ""


@dataclass(slots=True)
class Said:
    """Everything said. Words of the sheet are keys as written there, in capitals and single spaces.

    ``kinds``: words for items to a kind's name. ``places``: words for places to a name in words.
    ``types``: registrations to aircraft types. ``months``, ``hours``, ``cycles``: ``KIND WORK`` to those of its
    limit, empty for none; ``back``: ``yes`` where a unit's date of manufacture is counted back from its expiry. ``mended``: cells (``Sheet!C7``) to what they should hold. ``left``: lines
    (``Sheet!7``) that are not taken. ``taken``: doubts that were looked at and are right. ``anywhere``
    and ``anyway``: roles by column key, and how dates are read, in a sheet of a name not met before.
    """

    sheets: dict[str, SheetSaid] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)
    types: dict[str, str] = field(default_factory=dict)
    months: dict[str, str] = field(default_factory=dict)
    hours: dict[str, str] = field(default_factory=dict)
    cycles: dict[str, str] = field(default_factory=dict)
    back: dict[str, str] = field(default_factory=dict)
    mended: dict[str, str] = field(default_factory=dict)
    left: list[str] = field(default_factory=list)
    taken: list[str] = field(default_factory=list)
    anywhere: dict[str, str] = field(default_factory=dict)
    anyway: str = ""
    station: str = ""
    zone: str = ""
    type: str = ""
    document: str = ""
    revision: str = ""
    day: str = ""

    def of(self, sheet: str) -> SheetSaid:
        """What was said of one sheet; nothing yet is an empty one, kept from then on."""
        return self.sheets.setdefault(sheet, SheetSaid(None, dict(self.anywhere), self.anyway))

    def as_json(self) -> dict[str, Any]:
        return asdict(self)

    def without_lines(self) -> Said:
        """What holds for the next copy too: not single cells and lines, nor the day."""
        kept = said_of(self.as_json())
        kept.mended, kept.left, kept.taken, kept.day = {}, [], [], ""
        for sheet in kept.sheets.values():
            kept.anywhere |= sheet.columns
            kept.anyway = kept.anyway or sheet.ways
        return kept


_TEXTS = ("anyway", "station", "zone", "type", "document", "revision", "day")
_PAIRS = ("anywhere", "kinds", "places", "types", "months", "hours", "cycles", "back", "mended")


def said_of(kept: object) -> Said:
    """This will read what was kept; whatever is not of the right sort is left out, nothing is raised."""
    given: Mapping[str, Any] = kept if isinstance(kept, dict) else {}
    said = Said()
    for name in _TEXTS:
        setattr(said, name, _text(given.get(name)))
    for name in _PAIRS:
        setattr(said, name, _pairs(given.get(name)))
    said.left, said.taken = _texts(given.get("left")), _texts(given.get("taken"))
    sheets = given.get("sheets")
    for name, of in sheets.items() if isinstance(sheets, dict) else ():
        if isinstance(of, dict):
            said.sheets[str(name)] = SheetSaid(
                of["is_left_out"] if isinstance(of.get("is_left_out"), bool) else None,
                _pairs(of.get("columns")),
                _text(of.get("ways")),
                _text(of.get("item")),
                _text(of.get("aircraft")),
            )
    return said


def _text(value: object) -> str:
    return value[:200] if isinstance(value, str) else ""


def _texts(value: object) -> list[str]:
    return [each for each in value if isinstance(each, str)] if isinstance(value, list) else []


def _pairs(value: object) -> dict[str, str]:
    if not isinstance(value, dict):
        return {}
    return {str(key): each[:200] for key, each in value.items() if isinstance(each, str)}


def word_key(text: str) -> str:
    """A word of the sheet as it is looked up."""
    return " ".join(text.split()).upper()[:120]
