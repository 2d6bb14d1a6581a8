"""GS1 element strings: with brackets as they are printed, or as a scanner sends them."""

from __future__ import annotations

import re

from .identifiers import GS1
from .mark import Element
from .separators import GS
from .split import NOT_CERTAIN, Parts

_BRACKETED = re.compile(r"\(([0-9]{2,4})\)")


def is_bracketed(text: str) -> bool:
    found = _BRACKETED.match(text)
    return bool(found and found[1] in GS1)


def bracketed_elements(text: str, parts: Parts) -> None:
    """``(01)09506000134352(17)240200``: a known identifier in brackets begins an element."""
    starts = [found for found in _BRACKETED.finditer(text) if found[1] in GS1]
    ends = [found.start() for found in starts[1:]] + [len(text)]
    for found, end in zip(starts, ends, strict=True):
        _take(found[1], text[found.end() : end].strip(), parts)


def sent_elements(text: str, parts: Parts) -> None:
    """Elements one after another: those of fixed length need no separator, others end with one."""
    is_separated = GS in text.strip(GS)
    for piece in text.split(GS):
        rest = piece
        while rest:
            rest = _next(rest, is_separated, parts)


def _next(text: str, is_separated: bool, parts: Parts) -> str:
    """Takes one element off the front and gives back what is left; nothing if the rest cannot be told."""
    identifier = next((text[:size] for size in (2, 3, 4) if text[:size] in GS1), None)
    if identifier is None:
        parts.doubt(
            "split_not_certain", f"“{text}” begins with no identifier that is known. {NOT_CERTAIN}"
        )
        return ""
    _, length, is_fixed = GS1[identifier]
    value = text[len(identifier) :]
    if is_fixed:
        _take(identifier, value[:length], parts)
        return value[length:]
    if len(value) > length or (not is_separated and _may_hold_more(value)):
        parts.doubt("split_not_certain", f"“{text}”: {NOT_CERTAIN}")
    else:
        _take(identifier, value, parts)
    return ""


def _may_hold_more(value: str) -> bool:
    """Without any separator: whether the value could be one that ends and another that begins. Looked for
    are only elements that parts carry, and only where what would begin is well formed."""
    ahead = re.compile(r"(?:10|21|241)[!-z]|(?:11|17)[0-9]{2}(?:0[1-9]|1[0-2])[0-3][0-9]|8004[!-z]")
    return any(ahead.match(value, at) for at in range(1, len(value)))


def _take(identifier: str, value: str, parts: Parts) -> None:
    """Keeps an element of the right length and, of a trade item number, with the right check digit."""
    fact, length, is_fixed = GS1[identifier]
    if not value or len(value) > length or (is_fixed and len(value) < length):
        parts.doubt("wrong_length", f"({identifier}) has {len(value)} characters: read it again.")
        return
    if fact == "item_number" and not has_check_digit(value):
        parts.doubt(
            "check_digit_wrong",
            f"The check digit of ({identifier}) {value} is wrong: read it again.",
        )
        return
    parts.elements.append(Element(identifier, value))


def has_check_digit(number: str) -> bool:
    """Whether the last digit is the check digit of those before it: weights 3 and 1 from the right."""
    if not re.fullmatch("[0-9]{2,}", number):
        return False
    weighted = [int(digit) * (3 if at % 2 == 0 else 1) for at, digit in enumerate(number[-2::-1])]
    return (10 - sum(weighted) % 10) % 10 == int(number[-1])
