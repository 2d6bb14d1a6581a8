"""Text, codes, serial numbers, choices and lists out of cells."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from .problems import CellError, CellProblem, shown
from .stamps import MonthCell

YES = {"YES", "Y", "TRUE", "1", "X", "✓", "✔"}
NO = {"NO", "N", "FALSE", "0", "-"}
PLAIN_CODE = re.compile(r"[0-9A-Z][0-9A-Z./+()-]*")
#: A whole column of them, a line each.
PLAIN_CODES = re.compile(rf"(?:{PLAIN_CODE.pattern}\n)+")
_DASHES = str.maketrans({"‐": "-", "‑": "-", "–": "-", "—": "-", "−": "-"})
_CONFUSED = str.maketrans({"O": "0", "I": "1", "L": "1", "S": "5", "B": "8", " ": None, "-": None})


def text_of(cell: object, most: int = 200) -> str | CellProblem | None:
    """This will read a cell as text of at most ``most`` characters, runs of spaces made one."""
    raw = _raw_text(cell)
    if not isinstance(raw, str):
        return raw
    text = " ".join(raw.split())
    if not text:
        return None
    if len(text) > most:
        return CellProblem(
            "too_long",
            f"The text has {len(text)} characters, and at most {most} are kept.",
            "Shorten it.",
        )
    if not text.isprintable():
        bad = next(c for c in text if not c.isprintable())
        return CellProblem(
            "unprintable",
            f"The text holds a character that cannot be printed (U+{ord(bad):04X}).",
            "Type the text again by hand.",
        )
    return text


def code_of(cell: object, most: int = 40) -> str | CellProblem | None:
    """This will read a code, part number, serial number or registration: trimmed, upper case."""
    if isinstance(cell, dt.date | dt.time | dt.timedelta | MonthCell):
        return CellProblem(
            "date_for_a_code",
            f"The cell holds a date ({shown(cell.on if isinstance(cell, MonthCell) else cell)}); your spreadsheet program may have made it of a number with dashes.",
            "Format the cell as text and type the number again.",
        )
    text = text_of(cell, most)
    if not isinstance(text, str):
        return text
    text = text.lstrip("'").translate(_DASHES).upper()
    return text or None


def yes_or_no(cell: object) -> bool | CellProblem | None:
    """This will read yes or no; None for a blank cell."""
    if isinstance(cell, bool):
        return cell
    text = code_of(cell, 80)
    if not isinstance(text, str):
        return text
    if text in YES or text in NO:
        return text in YES
    return CellProblem(
        "not_yes_or_no", f"'{shown(cell)}' is neither yes nor no.", "Write yes or no."
    )


def choice_of(cell: object, choices: Mapping[str, str]) -> str | CellProblem | None:
    """This will read one of ``choices`` (code to words), by either, and offer the nearest."""
    text = text_of(cell)
    if not isinstance(text, str):
        return text
    known = {folded(word): code for code, words in choices.items() for word in (words, code)}
    if (code := known.get(folded(text))) is not None:
        return code
    near = nearest(text, list(choices.values()))
    hint = f"Did you mean '{near}'?" if near else f"Write one of: {', '.join(choices.values())}."
    return CellProblem(
        "not_a_choice", f"'{shown(text)}' is not one of the words for this column.", hint
    )


def list_of(cell: object, most: int = 4000) -> tuple[str, ...] | CellProblem | None:
    """This will read codes set apart by commas, semicolons or new lines."""
    raw = _raw_text(cell)
    if not isinstance(raw, str):
        return raw
    parts = []
    for part in re.split(r"[,;\n]", raw):
        code = code_of(part, most)
        if isinstance(code, CellProblem):
            return code
        if code:
            parts.append(code)
    return tuple(dict.fromkeys(parts)) or None


def folded(word: str) -> str:
    """A word without case, spaces and marks, for comparing headings and choices."""
    return re.sub(r"[^0-9a-z]+", "", word.casefold())


def nearest(word: str, words: Sequence[str]) -> str | None:
    """The word most like this one, or None if none is."""
    by_folded = {folded(each): each for each in words}
    found = difflib.get_close_matches(folded(word), list(by_folded), n=1, cutoff=0.6)
    return by_folded[found[0]] if found else None


def confusable(serial: str) -> str:
    """A serial number as it looks: 0 and O, 1 and I and such made one, spaces and dashes left out."""
    return serial.translate(_CONFUSED)


def _raw_text(cell: object) -> str | CellProblem | None:
    if cell is None or type(cell) is str:
        return cell
    reader = _READERS.get(type(cell), str)
    return reader(cell)


def _of_error(cell: CellError) -> CellProblem:
    return CellProblem(
        "formula_error", f"The formula gives {cell}.", "Mend the formula or type the text."
    )


def _of_datetime(cell: dt.datetime) -> str:
    return cell.date().isoformat() if cell.time() == dt.time() else cell.isoformat(" ", "minutes")


def _of_number(number: float) -> str | CellProblem:
    if not abs(number) < 1e15:  # also what is not a number
        return CellProblem(
            "digits_lost",
            "The cell holds a number of more than 15 digits, and a workbook keeps no more.",
            "Format the cell as text and type it again.",
        )
    return str(int(number)) if number == int(number) else f"{number:.15g}"


_READERS: dict[type, Callable[[Any], str | CellProblem]] = {
    CellError: _of_error,
    bool: lambda cell: "TRUE" if cell else "FALSE",
    int: _of_number,
    float: _of_number,
    dt.datetime: _of_datetime,
    dt.date: dt.date.isoformat,
    dt.time: dt.time.isoformat,
    MonthCell: lambda cell: f"{cell.on:%Y-%m}",
}
