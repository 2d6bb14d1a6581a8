"""What differs between a store's records and what was scanned: one pure rule."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

MISSING, ELSEWHERE, OTHER_BIN, QUANTITY, UNKNOWN = (
    "missing",
    "elsewhere",
    "other_bin",
    "quantity",
    "unknown",
)
#: How a difference of each sort may be settled.
SETTLED_BY: dict[str, tuple[str, ...]] = {
    MISSING: ("lost",),
    ELSEWHERE: ("here", "controller"),
    OTHER_BIN: ("bin",),
    QUANTITY: ("quantity",),
    UNKNOWN: ("explained",),
}


@dataclass(frozen=True, slots=True)
class OnRecord:
    """Where the records have a unit: ``is_here`` in the store that is counted, in which bin, how many, and
    since when."""

    is_here: bool
    bin_name: str = ""
    quantity: int = 1
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class Scanned:
    """One line: which unit (none: unknown), in which bin (blank: not said), how many (None: not said)."""

    scan_id: int
    unit_id: int | None
    bin_name: str = ""
    quantity: int | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Difference:
    """What differs: the unit, or the line of a code that means none; the line that showed it, if any."""

    sort: str
    unit_id: int | None
    scan_id: int | None = None


def differences(
    expected: Iterable[int],
    on_record: Mapping[int, OnRecord],
    scanned: Iterable[Scanned],
    settled_units: frozenset[int] = frozenset(),
    settled_scans: frozenset[int] = frozenset(),
) -> list[Difference]:
    """Every difference that nobody has settled: unknown codes, units that are not where they were scanned, then
    the missing. ``scanned`` in the order of scanning: the latest line of a unit counts.

    ``settled_units`` are those shown to the controller, whose records are his to put right, and those found
    here that lie in quarantine now. What was moved after it was scanned differs from nothing.
    """
    lines = list(scanned)
    found = [
        Difference(UNKNOWN, None, line.scan_id)
        for line in lines
        if line.unit_id is None and line.scan_id not in settled_scans
    ]
    latest = {line.unit_id: line for line in lines if line.unit_id is not None}
    for unit, line in latest.items():
        sort = _differs(line, on_record.get(unit))
        if sort and unit not in settled_units:
            found.append(Difference(sort, unit, line.scan_id))
    missing = (unit for unit in expected if unit not in latest)
    return [*found, *(Difference(MISSING, unit) for unit in missing)]


def _differs(line: Scanned, there: OnRecord | None) -> str:
    if there is not None and line.at and there.since and there.since > line.at:
        return ""  # it was moved after it was scanned
    if there is None or not there.is_here:
        return ELSEWHERE
    if line.bin_name and line.bin_name != there.bin_name:
        return OTHER_BIN
    if line.quantity is not None and line.quantity != there.quantity:
        return QUANTITY
    return ""
