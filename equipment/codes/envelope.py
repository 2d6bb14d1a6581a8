"""The envelope of ISO/IEC 15434: ``[)>``, then one record or more of a format each."""

from __future__ import annotations

import re

from .separators import EOT, GS, RS
from .split import Parts, data_elements, text_elements

HEAD = "[)>"
# Between head, format and first fact stands a separator, something a scanner put for it, or nothing.
_START = re.compile(r"\[\)>(?P<rs>[^0-9A-Z]?)(?P<format>06|12|05|DD)(?P<gs>[^0-9A-Z(]?)")
FORMATS = {"06": "format_06", "12": "format_12", "DD": "format_12", "05": "format_05"}
# What may stand for a group separator; a hyphen or slash may as well belong to a value.
_STANDS_FOR = set("|~#;,*!@$%&_` \t\n")


def records_of(text: str, parts: Parts) -> list[tuple[str, str, str]]:
    """(sort, body, what separates its facts) of each record; doubts go to ``parts``."""
    start = _START.match(text)
    if start is None:
        parts.doubt(
            "format_not_known", "The message does not say a format that is known: 05, 06 or 12."
        )
        return []
    separator = _separator(start["gs"], parts)
    body = text[start.end() :]
    if RS not in body and EOT not in body and separator == GS:
        parts.doubt(
            "end_missing",
            "The end of the message is missing: compare the last fact with the plate.",
        )
    records = _cut(body, start["rs"], start["gs"])
    found = [(FORMATS[start["format"]], records[0], separator)]
    for record in records[1:]:
        if record[:2] in FORMATS:
            found.append((FORMATS[record[:2]], record[2:].lstrip(start["gs"] or GS), separator))
    return found


def _cut(body: str, rs: str, gs: str) -> list[str]:
    """Records apart, the end taken off."""
    body = body.rstrip(EOT)
    if rs and rs not in (RS, gs):
        body = body.replace(rs, RS)
    return [body] if RS not in body else [one for one in body.split(RS) if one] or [""]


def _separator(found: str, parts: Parts) -> str:
    if found == GS:
        return GS
    if found in _STANDS_FOR and found:
        parts.doubt(
            "separators_replaced",
            f"The scanner put “{found}” for the group separators. Compare the facts with the plate.",
        )
        return found
    if not found:
        parts.doubt("separators_lost", "The scanner left out the group separators.")
        return ""
    parts.doubt("separators_replaced", f"“{found}” stands where a group separator should.")
    return found


def read_record(sort: str, body: str, separator: str, parts: Parts) -> None:
    """The elements of a record of format 06 or 12."""
    if sort == "format_06":
        data_elements(body, separator, parts)
    else:
        text_elements(body, separator, parts)
