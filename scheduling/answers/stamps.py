"""What an own spreadsheet says is stamped on cylinders, told by the rule of the act that keeps it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

from equipment.availability.acts.markings import PRESSURES, Markings, read_stamped
from equipment.codes.cylinder_marks import read_marks, read_specification
from equipment.models import CylinderMarking
from fleet.own_sheets.stamped import StampSaid, StampTold
from scheduling.programme.published import points_for

#: Columns of what is kept, by field of the act.
_KEPT = {
    "specification": "specification",
    "service_pressure": "service_psig",
    "test_pressure": "test_psig",
    "marks": "marks",
    "requalifier": "requalifier",
}
_BARE = re.compile(r"[\d ,.']+")
WHICH_UNIT = "This may be psi or bar: write the unit behind it, such as 3083 psi."
#: The day of the reading is judged when it is recorded; here any day that could be one.
_ANY_DAY = date(2020, 1, 1)


def stamp_is_told(said: StampSaid) -> StampTold:
    """What the texts of a stamp mean, as :func:`record_markings` would read them. No question to the database."""
    markings = Markings(
        0,
        said.specification,
        _ANY_DAY,
        said.service_pressure,
        said.test_pressure,
        said.marks,
        said.requalifier,
    )
    values, reasons = read_stamped(markings, datetime.combine(_ANY_DAY, time(), UTC))
    faults = {reason.field or "": reason.message for reason in reasons.found}
    faults |= {name: WHICH_UNIT for name in PRESSURES if _BARE.fullmatch(getattr(said, name))}
    kept = {
        name: words
        for name, words in _in_words(values).items()
        if name not in faults and "specification" not in faults
    }
    points = points_for(kept.get("specification", ""), read_marks(kept.get("marks", "")) or ())
    chosen = points[0] if points else None
    found = read_specification(said.specification)
    return StampTold(
        values=kept,
        faults=faults,
        is_known=bool(points) or bool(found and found.is_in_table),
        months=chosen.months if chosen else None,
        words=f"{chosen.work.lower()} {chosen.words}" if chosen else "",
        source=chosen.source if chosen else "",
    )


def _in_words(values: Mapping[str, Any]) -> dict[str, str]:
    """What is kept, by the act's fields and as it may be typed; blank ones left out."""
    found = {}
    for name, column in _KEPT.items():
        value = values[column]
        if value:
            is_pressure = column.endswith("_psig")
            found[name] = f"{Decimal(value).normalize():f} psi" if is_pressure else str(value)
    return found


def stamps_on_record(
    numbers: set[str],
) -> dict[tuple[str, str], tuple[date, Mapping[str, str]]]:
    """What was read last on the cylinders of these part numbers: the day, and the values as they may be typed."""
    rows = CylinderMarking.objects.filter(
        unit__original_part__number__in=numbers, unit__merged_into=None
    )
    names = ("unit__original_part__number", "unit__serial_number", "read_on", *_KEPT.values())
    return {
        (row[names[0]].upper(), row[names[1]].upper()): (row["read_on"], _in_words(row))
        for row in rows.order_by("read_on", "pk").values(*names)
    }
