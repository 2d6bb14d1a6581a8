"""Makers, part numbers, what they carry, where they go and what may stand for them, as lines of sheets."""

from __future__ import annotations

from . import operator
from .fits import INSIDE_FITS, aircraft_fits
from .parts import ALTERNATES, BY_NUMBER, PARTS

Row = dict[str, object]
IPC = "VAR-IPC rev 18"


def _part(number: str, before: str = "") -> Row:
    """The two columns that name a part number."""
    if not before:
        return {"Maker": BY_NUMBER[number].maker, "Part number": number}
    return {f"{before} maker": BY_NUMBER[number].maker, f"{before} part number": number}


def makers() -> list[Row]:
    return [
        {"Code": code, "Name": name, "Aliases": "; ".join(aliases)}
        for code, name, aliases in operator.MAKERS
    ]


def part_numbers() -> list[Row]:
    return [
        {
            **_part(part.number),
            "Description": part.description,
            "Kind": part.kind,
            "Mass (kg)": part.mass,
            "Removed": "on the line" if part.removed == "line" else "in the shop",
            "Dangerous goods": part.goods,
            "Lot": "yes" if part.is_lot else "no",
            "Stated life (months)": part.life_months,
        }
        for part in PARTS
    ]


def standards() -> list[Row]:
    return [
        {**_part(part.number), "Standard": code, "Document": document}
        for part in PARTS
        for code, document in part.standards
    ]


def inside() -> list[Row]:
    return [
        {**_part(part.number), "Position": code, "Name": name, "Kind": kind, "Capacity": capacity}
        for part in PARTS
        for code, name, kind, capacity in part.inside
    ]


def fits() -> list[Row]:
    rows: list[Row] = [
        {
            **_part(fit.part),
            "Aircraft type": fit.type_code,
            "Inside maker": "",
            "Inside part number": "",
            "Position": fit.position,
            "MSN from": fit.msn_from,
            "MSN to": "",
            "Standards": "",
            "Condition": "both sides the same" if fit.condition else "",
            "Document": IPC,
        }
        for fit in aircraft_fits()
    ]
    return rows + [
        {
            **_part(number),
            "Aircraft type": "",
            **_part(carrier, "Inside"),
            "Position": position,
            "MSN from": "",
            "MSN to": "",
            "Standards": "",
            "Condition": "",
            "Document": IPC,
        }
        for carrier, position, number in INSIDE_FITS
    ]


def alternates() -> list[Row]:
    return [
        {
            **_part(number),
            **_part(other, "Alternate"),
            "Two-way": "yes" if both else "no",
            "Document": document,
        }
        for number, other, both, document in ALTERNATES
    ]
