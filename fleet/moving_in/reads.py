"""An own spreadsheet as its pages show it: read from its file, understood by what was said so far."""

from __future__ import annotations

import datetime as dt
import zipfile
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from fleet.intake.files import RawSheet
from fleet.loading.acts.loads import kept_path, most_bytes
from fleet.loading.own import day_of, house_on_record, sheets_in
from fleet.loading.ports import equipment_on_record
from fleet.models import OwnMapping, OwnWorkbook
from fleet.own_sheets.house import House
from fleet.own_sheets.intervals import Added
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.said import Said, said_of, word_key
from fleet.own_sheets.whole import Understood, understood
from fleet.own_sheets.words.counts import CYCLES, HOURS

from .readings import StillReading, is_large, kept_reading, stamp_of

#: Of so many headings of a mapping some must be there for it to be recognised.
ENOUGH = 0.8


@dataclass(slots=True)
class Looked:
    """A spreadsheet understood, with what was said and what the house has."""

    workbook: OwnWorkbook
    said: Said
    house: House
    whole: Understood
    day: dt.date
    pictures: int = 0

    @property
    def groups(self) -> list[list[tuple[int, OwnSheet]]]:
        """Sheets of the same headings together: what is said of one holds for all of them."""
        found: dict[tuple[str, ...], list[tuple[int, OwnSheet]]] = {}
        for number, sheet in enumerate(self.whole.sheets):
            keys = tuple(column.key for column in sheet.columns) or (f"sheet {number}",)
            found.setdefault(keys, []).append((number, sheet))
        return list(found.values())


@lru_cache(maxsize=4)
def _sheets(path: str, name: str, most: int) -> list[RawSheet]:
    """A person turns between the pages of one file; its cells are never changed."""
    return sheets_in(Path(path), name, most)


def looked_at(workbook: OwnWorkbook, today: dt.date, *, may_wait: bool = False) -> Looked:
    """This will read a spreadsheet's file and understand it by what was said so far.

    Of a large one what the job kept of it is taken. Where it kept nothing yet, ``may_wait`` asks for it and
    raises :class:`StillReading`; else it is read at once.
    """
    path = kept_path(workbook)
    said, house = said_of(workbook.said), house_on_record()
    day = day_of(said, today)
    whole = None
    if is_large(workbook):
        whole = kept_reading(workbook, stamp_of(workbook, house, day))
        if whole is None and may_wait:
            raise StillReading
    if whole is None:
        raws = _sheets(str(path), workbook.name, most_bytes())
        whole = understood(raws, said, house, day)
    return Looked(workbook, said, house, whole, day, _pictures(path))


def _pictures(path: Path) -> int:
    """How many pictures lie in a workbook: what they show is not read."""
    with suppress(zipfile.BadZipFile, OSError), zipfile.ZipFile(path) as archive:
        folders = ("xl/media/", "Pictures/")
        return sum(
            name.startswith(folders) and not name.endswith("/") for name in archive.namelist()
        )
    return 0


def headings_of(whole: Understood) -> list[str]:
    """The headings of all tables, each once: by them a copy is recognised."""
    return sorted({column.key for sheet in whole.sheets for column in sheet.columns if column.name})


def mapping_for(whole: Understood) -> OwnMapping | None:
    """The kept mapping that most of a spreadsheet's headings belong to; None if none fits."""
    headings = set(headings_of(whole))
    best: tuple[float, OwnMapping | None] = (0, None)
    for mapping in OwnMapping.objects.order_by("-kept_at"):
        of = set(mapping.headings)
        shared = len(of & headings) / max(len(of), 1)
        if shared >= ENOUGH and shared > best[0]:
            best = (shared, mapping)
    return best[1]


@dataclass(slots=True)
class Word:
    """A word of the sheet: how often it stands there, and what it is taken for."""

    word: str
    count: int
    means: str
    code: str


@dataclass(slots=True)
class Words:
    items: list[Word] = field(default_factory=list)
    places: list[Word] = field(default_factory=list)


def words_in(looked: Looked) -> Words:
    """Every word for an item or a place, the commonest first, with its meaning."""
    said, house = looked.said, looked.house
    every = [*looked.whole.taken, *looked.whole.unnamed]
    items = Counter(word_key(one.item) for one in every if one.item)
    places = Counter(word_key(one.place) for one in every if one.place and one.aircraft)
    found = Words()
    for word, count in items.most_common():
        code, name = house.kind(word, said)
        found.items.append(Word(word, count, name, code))
    for word, count in places.most_common():
        place = house.place(word, said)
        found.places.append(Word(word, count, place.name, place.code))
    return found


@dataclass(slots=True)
class LimitAsked:
    """A work on a kind for which a limit is stated here (months, hours, cycles), or is on record."""

    added: Added
    months: str
    hours: str
    cycles: str
    is_on_record: bool
    is_counted_back: bool = False

    @property
    def is_stated(self) -> bool:
        return bool(self.months or self.hours or self.cycles)

    @property
    def is_longer(self) -> bool:
        """Whether its months are more than what is published for a specification stamped on its units."""
        published = self.added.published
        return bool(published and self.months.strip().isdecimal() and int(self.months) > published)


def limits_asked(looked: Looked) -> list[LimitAsked]:
    """Each work on each kind with the months, hours and cycles that the sheet adds, as the limit's proposal."""
    record = equipment_on_record(set())
    said = looked.said
    return [
        LimitAsked(
            each,
            said.months.get(each.key, each.proposed),
            said.hours.get(each.key, each.count(HOURS)),
            said.cycles.get(each.key, each.count(CYCLES)),
            not each.without_limit(record),
            bool(said.back.get(each.key)),
        )
        for each in looked.whole.added
    ]
