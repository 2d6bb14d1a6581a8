"""What a cell says by itself: nothing, not applicable, on condition, not known, or a text."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from functools import lru_cache

from fleet.intake.problems import CellError
from fleet.intake.stamps import MonthCell

NONE, ON_CONDITION, UNKNOWN = "none", "on condition", "not known"

_MARKS = {
    NONE: "NA NIL NONE NOTAPPLICABLE NOTAPPL NAPPL NOLIMIT NOTREQUIRED NOTREQD NOTFITTED EMPTY VACANT"
    " ENTF ENTFALLT ENTFAELLT KEINE NICHTERFORDERLICH NEANT SANSOBJET NOAPLICA NOPROCEDE NAOAPLICAVEL NAOSEAPLICA NONAPPLICABILE NVT",
    ON_CONDITION: "OC ONCOND ONCONDITION CONDITION CONDITIONMONITORED CM",
    UNKNOWN: "TBA TBC TBD TBN UNK UNKN UNKNOWN NOTKNOWN NK XXX XXXX XX ILLEGIBLE UNREADABLE MISSING LATER"
    " UNBEKANNT KEINEANGABE INCONNU DESCONOCIDO DESCONHECIDO SCONOSCIUTO ONBEKEND",
}
_BY_WORD = {word: mark for mark, words in _MARKS.items() for word in words.split()}
_ONLY_DASHES = re.compile(r"[-–—‐_./\\ ]+")
_ONLY_DOUBT = re.compile(r"[?¿ ]+")


@lru_cache(maxsize=100_000)
def _one_line(text: str) -> str:
    return " ".join(text.split())


def text_in(cell: object) -> str:
    """What a cell shows, on one line of single spaces; empty for a blank one or a formula's error."""
    if cell.__class__ is str:
        return _one_line(cell)
    if cell is None or isinstance(cell, CellError):
        return ""
    if isinstance(cell, float):
        return f"{cell:.15g}"
    if isinstance(cell, dt.datetime) and cell.time() == dt.time():
        return cell.date().isoformat()
    if isinstance(cell, MonthCell):
        return f"{cell.on:%Y-%m}"
    return " ".join(str(cell).split())


def is_filled(cell: object) -> bool:
    """Whether a cell shows anything."""
    if cell.__class__ is str:
        return bool(cell) and not cell.isspace()
    return cell is not None and not isinstance(cell, CellError)


def lines_in(cell: object) -> list[str]:
    """The lines of a cell that was written on several."""
    return [" ".join(line.split()) for line in str(cell).splitlines() if line.strip()]


def mark_of(cell: object) -> str | None:
    """Which of the three marks a cell holds instead of a value; None where it holds a value or nothing."""
    return (
        _mark_of_text(cell) if isinstance(cell, str) and not isinstance(cell, CellError) else None
    )


@lru_cache(maxsize=50_000)
def _mark_of_text(cell: str) -> str | None:
    text = text_in(cell)
    if not text or len(text) > 24:
        return None
    if _ONLY_DASHES.fullmatch(text):
        return NONE
    if _ONLY_DOUBT.fullmatch(text):
        return UNKNOWN
    return None if re.search(r"\d", text) else _BY_WORD.get(re.sub(r"[^A-Z]", "", bare(text)))


def is_date(cell: object) -> bool:
    """Whether a cell is a real date of a workbook."""
    return isinstance(cell, dt.date | MonthCell)


def is_number(cell: object) -> bool:
    return isinstance(cell, int | float) and not isinstance(cell, bool)


@lru_cache(maxsize=50_000)
def bare(text: str) -> str:
    """A text as words are compared: capitals without accents and digits, all else a single space."""
    plain = text if text.isascii() else unicodedata.normalize("NFKD", text)
    plain = plain if text.isascii() else "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(re.sub(r"[^0-9A-Z#%]+", " ", plain.upper()).split())
