"""What stands together in one cell: several serial numbers, several places."""

from __future__ import annotations

import re

from .places import is_place

_BETWEEN = re.compile(r"\s*(?:\n|/|;|&|\+|,|\bAND\b)\s*", re.IGNORECASE)


def numbers_apart(text: str) -> list[str]:
    """Numbers of one shape that stand together in a cell; one, if they are not of one shape."""
    pieces = [piece.strip() for piece in _BETWEEN.split(text) if piece.strip()]
    shapes = {re.sub(r"[A-Z]", "A", re.sub(r"\d", "9", piece.upper())) for piece in pieces}
    is_many = len(pieces) > 1 and all(len(p) >= 3 and re.search(r"\d", p) for p in pieces)
    lengths = {len(piece) for piece in pieces}
    return (
        pieces
        if is_many and (len(shapes) == 1 or ("\n" in text and max(lengths) - min(lengths) <= 2))
        else [text]
    )


def places_apart(text: str, count: int) -> list[str]:
    """So many places of a cell, ``DOOR 1 L/R`` as two; none where it does not name so many."""
    pieces = [piece.strip() for piece in _BETWEEN.split(text) if piece.strip()]
    if len(pieces) != count:
        return []
    if all(is_place(piece) for piece in pieces) and " " not in pieces[0]:
        return pieces
    head = pieces[0].rpartition(" ")[0]  # DOOR 1 L/R
    return [
        pieces[0],
        *(piece if " " in piece else f"{head} {piece}".strip() for piece in pieces[1:]),
    ]
