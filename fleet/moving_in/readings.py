"""What a large spreadsheet was understood as, kept beside its file: made by the job, read by the pages.

One file for each spreadsheet, in the data folder that is the house's alone; made anew whenever what was said, the
house's own words, the day or the program differ.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import pickle
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path

from django.conf import settings

import fleet.own_sheets
from fleet.house import pace
from fleet.loading.acts.loads import kept_path, most_bytes
from fleet.loading.own import day_of, house_on_record, sheets_in
from fleet.models import OwnWorkbook
from fleet.own_sheets.house import House
from fleet.own_sheets.said import said_of
from fleet.own_sheets.whole import Understood, understood

FOLDER = "uploads/readings"
#: A file of more bytes is read by the job: about five thousand lines.
SOON = 250_000
_STAMP = 64  # characters of the stamp before what is kept


class StillReading(Exception):
    """A large spreadsheet is not understood yet; the job is at it."""


def is_large(workbook: OwnWorkbook) -> bool:
    """Whether a spreadsheet is read by the job, not while a page waits."""
    return workbook.size > SOON


def stamp_of(workbook: OwnWorkbook, house: House, day: dt.date) -> str:
    """All that an understanding rests on, as one digest."""
    told = [
        workbook.digest,
        workbook.said,
        day.isoformat(),
        *(sorted(map(str, part.items())) for part in (house.kinds, house.stations, house.types)),
        *(sorted(map(str, part.items())) for part in (house.aircraft, house.totals)),
        sorted(map(str, house.positions)),
        _program(),
    ]
    return hashlib.sha256(json.dumps(told, sort_keys=True, default=str).encode()).hexdigest()


@cache
def _program() -> str:
    """The modules that understand spreadsheets, as a digest: another program keeps nothing of this one's."""
    digest = hashlib.sha256()
    for path in sorted(Path(fleet.own_sheets.__path__[0]).rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def kept_reading(workbook: OwnWorkbook, stamp: str) -> Understood | None:
    """What is kept under that stamp; None where nothing, or something else, is kept."""
    path, spoiled = _path(workbook), (EOFError, pickle.UnpicklingError, AttributeError, ImportError)
    with suppress(OSError, *spoiled), path.open("rb") as opened:
        if opened.read(_STAMP).decode("ascii", "replace") == stamp:
            # Written by keep_reading alone, into the folder that only this account can write.
            kept: Understood = pickle.load(opened)  # noqa: S301
            return kept
    return None


def keep_reading(workbook: OwnWorkbook, stamp: str, whole: Understood) -> None:
    """This will keep an understanding whole or not at all."""
    path = _path(workbook)
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.NamedTemporaryFile(dir=path.parent, delete=False) as opened:
        opened.write(stamp.encode())
        pickle.dump(whole, opened, pickle.HIGHEST_PROTOCOL)
    Path(opened.name).replace(path)


def forget_reading(workbook: OwnWorkbook) -> None:
    """This will put away what is kept of a spreadsheet."""
    _path(workbook).unlink(missing_ok=True)


def _path(workbook: OwnWorkbook) -> Path:
    return Path(settings.DATA_DIR) / FOLDER / f"{workbook.key}"


def read_now(workbook: OwnWorkbook, today: dt.date) -> None:
    """This will understand a spreadsheet as it was said of by now, and keep that."""
    said, house = said_of(workbook.said), house_on_record()
    day = day_of(said, today)
    pace.reached(0, "Opening the file")
    raws = sheets_in(kept_path(workbook), workbook.name, most_bytes())
    with pace.part(0.1, 0.95):
        whole = understood(raws, said, house, day)
    pace.reached(0.95, "Putting it together")
    keep_reading(workbook, stamp_of(workbook, house, day), whole)
