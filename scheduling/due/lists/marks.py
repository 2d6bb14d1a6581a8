"""The mark of a place in a list: what the last row was ordered by, so that pages stay stable."""

from __future__ import annotations

import base64
import binascii
import json

from fleet.house.refusals import Refused

Key = tuple[int | str, ...]


def mark_of(sort: str, key: Key) -> str:
    """An opaque text that names the row's place in a list of this sort."""
    text = json.dumps([sort, *key], separators=(",", ":"))
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def key_of(mark: str, sort: str, shape: Key) -> Key:
    """The place that a mark names. Refuses ``page_mark_unreadable`` for one made up or of another sort."""
    try:
        padded = mark + "=" * (-len(mark) % 4)
        found = json.loads(base64.urlsafe_b64decode(padded.encode("ascii")))
        given, *key = found
    except (binascii.Error, ValueError, TypeError):
        given, key = None, []
    fits = len(key) == len(shape) and all(
        type(a) is type(b) for a, b in zip(key, shape, strict=True)
    )
    if given != sort or not fits:
        raise Refused(
            "page_mark_unreadable",
            "This link to a further page cannot be read. Go back to the first page of the list.",
            "page",
        )
    return tuple(key)
