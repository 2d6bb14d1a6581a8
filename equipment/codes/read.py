"""A scanned text to the facts of a mark. Whatever is scanned, nothing raises."""

from __future__ import annotations

import re

from . import gs1
from .envelope import HEAD, read_record, records_of
from .facts import mark_of
from .identifiers import LABELS, TEXT
from .mark import Element, Mark
from .separators import GS, GS1_SYMBOLS, with_true_separators, without_symbol
from .split import Parts, text_elements

_LABEL = re.compile(
    r"(?<![A-Z0-9])(" + "|".join(sorted(map(re.escape, LABELS), key=len, reverse=True)) + r")"
    r"\s*(?::|\.|=|\s)\s*",
    re.IGNORECASE,
)
# Between elements that are printed in a line stands a slash, a comma or a blank; a slash may be of a value too.
_PRINTED = re.compile(rf"(?:\s*[/,;]\s*|\s+)(?=(?:{'|'.join(TEXT)}) )")


def read_mark(text: str, *, year: int) -> Mark:
    """What a scanned or typed text says about a part.

    ``year`` is the present one, to which years of two digits are held. Facts that cannot be told for certain are
    left out, with a doubt that says what is needed.
    """
    symbol, body = without_symbol(with_true_separators(text))
    parts = Parts()
    if not body:
        return Mark("empty", text)
    if body.startswith(HEAD):
        sort = _enveloped(body, parts)
    elif gs1.is_bracketed(body):
        sort = "gs1"
        gs1.bracketed_elements(body, parts)
    elif symbol in GS1_SYMBOLS or body.startswith(GS):
        sort = "gs1"
        gs1.sent_elements(body, parts)
    else:
        sort = _typed(body, parts)
    return mark_of(sort, text, parts, year)


def _enveloped(body: str, parts: Parts) -> str:
    records = records_of(body, parts)
    for sort, content, separator in records:
        if sort == "format_05":
            gs1.sent_elements(content, parts)
        else:
            read_record(sort, content, separator, parts)
    return records[0][0] if records else "plain"


def _typed(body: str, parts: Parts) -> str:
    """Plain text: facts where labels name them (P/N, S/N), or as a label prints the elements of a text
    (``MFR QCCF/PNR CCF-A12/SER E1084``); otherwise nobody can say what it is."""
    printed = Parts()
    if body[:3].upper() in TEXT and body[3:4] == " ":
        text_elements(_PRINTED.sub(GS, _raised(body)), GS, printed)
        is_said = len(printed.elements) > 1 and not printed.doubts
        if is_said and all(" " not in each.value for each in printed.elements):
            parts.elements += printed.elements
            return "format_12"
    starts = list(_LABEL.finditer(body))
    if not starts or starts[0].start():
        parts.doubt(
            "which_is_not_said",
            "The text does not say whether it is a part number or a serial number.",
        )
        return "plain"
    ends = [found.start() for found in starts[1:]] + [len(body)]
    for found, end in zip(starts, ends, strict=True):
        value = body[found.end() : end].strip(" ,;/\r\n\t" + GS)
        if value and not re.search(r"\s", value):
            parts.elements.append(Element(found[1].upper(), value))
        else:
            parts.doubt("split_not_certain", f"What {found[1]} is cannot be told: type it alone.")
    return "labelled"


def _raised(body: str) -> str:
    """With the identifiers of elements in upper case, as they are known; values are left as they stand."""
    known = re.compile(rf"(?<![^\s/,;])({'|'.join(TEXT)})(?= )", re.IGNORECASE)
    return known.sub(lambda found: found[1].upper(), body)
