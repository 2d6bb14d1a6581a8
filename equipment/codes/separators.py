"""Separators as they should be, whatever a scanner or a copy made of them."""

from __future__ import annotations

import re

RS, GS, EOT, FNC1 = "\x1e", "\x1d", "\x04", "\x1d"

# How the three control characters are shown by those that cannot send them. Names stand in any bracket.
_SHOWN = {
    RS: ("␞", r"\^\^", r"\\x1e", r"\\u001e", "&#30;", r"[<{\[]RS[>}\]]"),
    GS: ("␝", r"\^\]", r"\\x1d", r"\\u001d", "&#29;", r"[<{\[](?:GS|FNC1)[>}\]]"),
    EOT: ("␄", r"\^D", r"\\x04", r"\\u0004", "&#4;", r"[<{\[]EOT[>}\]]"),
}
_ANY = {true: re.compile("|".join(shown), re.IGNORECASE) for true, shown in _SHOWN.items()}
_SYMBOL = re.compile(r"\][A-Za-z][0-9A-Za-z]")
GS1_SYMBOLS = ("]d2", "]C1", "]Q3", "]e0", "]J1")


def with_true_separators(text: str) -> str:
    """The text with each shown separator as the character it stands for, trailing line ends gone."""
    for true, shown in _ANY.items():
        text = shown.sub(true, text)
    return text.strip("\r\n\t \x00\x02\x03")


def without_symbol(text: str) -> tuple[str, str]:
    """(what a scanner says about the sort of symbol in front, the rest)."""
    found = _SYMBOL.match(text)
    return (found[0], text[3:]) if found else ("", text)
