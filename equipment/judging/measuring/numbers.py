"""A number as a person types it: comma or point, thousands apart; never guessed at."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

from equipment.judging.verdicts import Problem

LONGEST = 60
MOST_DIGITS = 12
# Spaces, narrow and unbreakable ones, and the apostrophe between thousands.
_APART = " \u00a0\u2009\u202f\u2007'’"
_SIGNS = {"-": -1, "−": -1, "–": -1, "+": 1}
# What sets thousands apart stands before a figure; behind the last one it belongs to the words.
_FIGURES = rf"[0-9.,](?:[0-9.,]|[{re.escape(_APART)}](?=[0-9]))*"
_SHAPE = re.compile(rf"([-−–+]?)\s*({_FIGURES})(.*)", re.DOTALL)
_GROUPS = re.compile(r"[0-9]{1,3}(?:[^0-9.,][0-9]{3})+(?![0-9])")
NOT_A_NUMBER = "not_a_number"


def number_and_rest(text: str) -> tuple[Decimal, str] | Problem:
    """The number at the front and the words behind it; a :class:`Problem` for anything unclear.

    A single point is decimal, as on a meter (``2.500``). A single comma before exactly three
    figures may be either (``1,234``) and is refused with both readings, unless the figure before
    it is nought. Exponents, fractions and raised figures are refused.
    """
    stripped = text.strip()
    if not stripped:
        return Problem("missing", "Enter the value.")
    if len(stripped) > LONGEST:
        return Problem("too_long", f"Enter one number with its unit, at most {LONGEST} characters.")
    found = _SHAPE.fullmatch(stripped)
    if not found or not any(mark.isdigit() for mark in found[2]):
        return Problem(NOT_A_NUMBER, f"“{stripped}” is not a number. Enter figures, such as 2.5.")
    rest = found[3].strip()
    problem = _problem_behind(found[2], rest, stripped)
    if problem:
        return problem
    number = _decimal(found[2])
    if isinstance(number, Problem):
        return number
    return number * _SIGNS.get(found[1], 1), rest


def _problem_behind(front: str, rest: str, text: str) -> Problem | None:
    """What follows the figures may be a unit and nothing else."""
    if re.match(r"[eE][-+]?[0-9]", rest):
        return Problem("exponent", f"Write “{text}” in plain figures, without an exponent.")
    # The square of a length belongs to its unit: lb/in², cd/m2.
    rest = re.sub(r"(?<=in|ft|/m)[2²]", "", rest.lower())
    if any(_is_raised(mark) for mark in rest):
        return Problem(NOT_A_NUMBER, f"Write “{text}” in plain figures, without raised ones.")
    if re.search(r"[0-9]", rest):
        return _two(text)
    if front[-1] in ".,":
        return Problem(
            NOT_A_NUMBER, f"“{text}” stops at its comma or point. Enter the whole number."
        )
    return None


def _is_raised(mark: str) -> bool:
    """Whether a mark is a number and none of 0 to 9: ², ½, ٣."""
    return not mark.isascii() and unicodedata.numeric(mark, None) is not None


def _two(text: str) -> Problem:
    return Problem("two_numbers", f"“{text}” holds more than one number. Enter one value.")


def _decimal(figures: str) -> Decimal | Problem:
    if any(mark in _APART for mark in figures):
        whole = _GROUPS.match(figures)
        if not whole:
            return _two(figures)
        rest = figures[whole.end() :]
        if any(mark in _APART for mark in rest) or rest.count(",") + rest.count(".") > 1:
            return _two(figures)
        figures = re.sub(r"[^0-9]", "", whole[0]) + rest.replace(",", ".")
    plain = _without_thousands(figures)
    if isinstance(plain, Problem):
        return plain
    if (
        len(plain.replace(".", "").strip("0")) > MOST_DIGITS
        or len(plain.split(".")[0]) > MOST_DIGITS
    ):
        return Problem("too_large", f"“{figures}” has more figures than any value here can have.")
    return Decimal(plain)


def _without_thousands(figures: str) -> str | Problem:
    """The same number with a point and nothing else, if there is only one way to read it."""
    commas, points = figures.count(","), figures.count(".")
    if commas and points:
        decimal = "," if figures.rfind(",") > figures.rfind(".") else "."
        return _grouped(figures, "." if decimal == "," else ",", decimal)
    if commas > 1 or points > 1:
        return _grouped(figures, "," if commas else ".", "")
    if commas and re.fullmatch(r"(?!0+,)[0-9]{1,3},[0-9]{3}", figures):
        as_point, as_whole = figures.replace(",", "."), figures.replace(",", "")
        sentence = f"“{figures}” can be read as {as_point} or as {as_whole}. Write it either way."
        return Problem("ambiguous_separator", sentence)
    return figures.replace(",", ".")


def _grouped(figures: str, group: str, decimal: str) -> str | Problem:
    whole, mark, rest = figures.partition(decimal) if decimal else (figures, "", "")
    parts = whole.split(group)
    fits = 1 <= len(parts[0]) <= 3 and all(len(part) == 3 for part in parts[1:])
    if not fits or (mark and not rest.isdigit()):
        return Problem(NOT_A_NUMBER, f"“{figures}” has commas and points where a number has none.")
    return "".join(parts) + ("." + rest if mark else "")
