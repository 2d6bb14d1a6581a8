"""The text of our own labels: a message of format 06 (ISO/IEC 15434, data identifiers of MH10.8.2)."""

from __future__ import annotations

import re
from datetime import date

from .separators import EOT, GS, RS

_WRITABLE = re.compile(r"[!-~](?:[ -~]*[!-~])?")
_CODE = re.compile(r"[0-9A-Z]{5}")
# What a reader would take for a separator, or for the start of a shown one.
_MISREAD = re.compile(r"\^|\\[xu]|&#|[<{\[](?:RS|GS|EOT|FNC1)[>}\]]", re.IGNORECASE)


def write_label(
    *,
    maker_code: str,
    part_number: str,
    serial: str,
    lot: str | None = None,
    manufactured_on: date | None = None,
    expires_on: date | None = None,
) -> str:
    """The message for a label. Refuses with ValueError a maker's code that is not five letters and digits (what
    ``17V`` is), and a value that is empty or that a label cannot carry: printable
    ASCII, and nothing that reads as a separator."""
    if not _CODE.fullmatch(maker_code):
        raise ValueError(f"“{maker_code}” is no maker's code for a label: five letters and digits.")
    values = [("17V", maker_code), ("1P", part_number), ("S", serial), ("1T", lot)]
    days = [("16D", manufactured_on), ("14D", expires_on)]
    elements = [name + _writable(value) for name, value in values if value is not None]
    elements += [f"{name}{day:%Y%m%d}" for name, day in days if day is not None]
    return f"[)>{RS}06{GS}{GS.join(elements)}{RS}{EOT}"


def _writable(value: str) -> str:
    if not _WRITABLE.fullmatch(value) or _MISREAD.search(value):
        raise ValueError(f"A label cannot carry “{value}”: letters, digits and plain signs only.")
    return value
