"""Elements to facts: what each identifier says, what contradicts, and what makes the serial unique."""

from __future__ import annotations

from . import gs1
from .dates import long_date, short_date
from .identifiers import DATA, GS1, LABELS, TEXT
from .mark import Dated, Element, Mark
from .split import Parts

_TABLES = {"format_06": DATA, "format_12": TEXT, "labelled": LABELS}
_DATES = ("manufactured", "expires")
_CAGE = 5


def mark_of(sort: str, text: str, parts: Parts, year: int) -> Mark:
    """The mark that these elements make."""
    said = _said(sort, parts)
    plain = {name: _only(name, values, parts) for name, values in said.items()}
    dates = {name: _date(name, plain.pop(name, None), sort, year, parts) for name in _DATES}
    serial, unique_by = _serial(plain, parts)
    asset = _asset_alone(plain, serial, parts)
    return Mark(
        sort,
        text,
        maker_code=plain.get("maker_code"),
        supplier_code=plain.get("supplier_code"),
        part_number=plain.get("part_number"),
        original_part_number=plain.get("original_part_number"),
        serial=serial,
        lot=plain.get("lot"),
        manufactured=dates["manufactured"],
        expires=dates["expires"],
        unique_by=unique_by,
        elements=tuple(parts.elements),
        doubts=tuple(parts.doubts),
        asset=asset,
    )


def _asset_alone(said: dict[str, str | None], serial: str | None, parts: Parts) -> str | None:
    """The number of an asset (8004); where nothing else names the unit, it says what is missing."""
    asset = said.get("asset")
    if asset and not serial and not said.get("lot"):
        words = (
            f"(8004) {asset} numbers an asset and names neither part nor serial number: where no unit on record"
            " has this number, type both from the plate."
        )
        parts.doubt("asset_only", words)
    return asset


def _said(sort: str, parts: Parts) -> dict[str, list[str]]:
    """Each fact with all values given for it, in their order."""
    said: dict[str, list[str]] = {}
    for element in parts.elements:
        for name, value in _facts_of(sort, element, parts):
            said.setdefault(name, []).append(value)
    return said


def _facts_of(sort: str, element: Element, parts: Parts) -> list[tuple[str, str]]:
    name = _fact(sort, element.identifier)
    if name == "maker_and_serial":
        # 18S: the maker's code of five characters and a serial unique with it, in one value.
        if len(element.value) > _CAGE:
            return [("maker_code", element.value[:_CAGE]), ("serial", element.value[_CAGE:])]
        parts.doubt("wrong_length", f"18S {element.value} is too short for a maker and a serial.")
        return []
    if name == "asset_type":
        return _asset(element, parts)
    return [(name, element.value)] if name not in {"other", "item_number"} else []


def _fact(sort: str, identifier: str) -> str:
    if sort in {"gs1", "format_05"}:
        return GS1[identifier][0]
    for table in (_TABLES.get(sort, {}), DATA, TEXT):
        if identifier in table:
            return table[identifier]
    return "other"


def _asset(element: Element, parts: Parts) -> list[tuple[str, str]]:
    """8003: a nought, an asset type of thirteen digits, then a serial, which may be missing."""
    number, serial = element.value[:14], element.value[14:]
    if not gs1.has_check_digit(number):
        parts.doubt(
            "check_digit_wrong", f"The check digit of (8003) {number} is wrong: read it again."
        )
        return []
    return [("serial", serial)] if serial else []


def _only(name: str, values: list[str], parts: Parts) -> str | None:
    """The one value; None, and a doubt, where the mark gives different ones."""
    if len(set(values)) == 1:
        return values[0]
    words = name.replace("_", " ")
    parts.doubt("said_twice", f"The mark gives two values for the {words}: {' and '.join(values)}.")
    return None


def _date(name: str, value: str | None, sort: str, year: int, parts: Parts) -> Dated | None:
    if value is None:
        return None
    found = short_date(value, year) if sort in {"gs1", "format_05"} else long_date(value)
    if found is None:
        words = "day made" if name == "manufactured" else "expiry"
        parts.doubt("date_not_read", f"“{value}” is no date that can be read: type the {words}.")
    return found


def _serial(said: dict[str, str | None], parts: Parts) -> tuple[str | None, str]:
    """(the serial, what makes it unique): the maker's own; within a part of the maker; the supplier's own."""
    serials = {
        name: value
        for name in ("serial", "part_serial", "supplier_serial")
        if (value := said.get(name)) is not None
    }
    if not serials:
        return None, ""
    name, serial = next(iter(serials.items()))
    if len(set(serials.values())) > 1:
        words = ", ".join(serials.values())
        parts.doubt(
            "several_serials", f"The mark has several serial numbers: {words}. The first is taken."
        )
    part = said.get("original_part_number") or said.get("part_number")
    if name == "supplier_serial":
        return serial, "supplier_serial" if said.get("supplier_code") else ""
    if not said.get("maker_code"):
        return serial, ""
    if name == "part_serial":
        return serial, "maker_part_serial" if part else ""
    return serial, "maker_serial"
