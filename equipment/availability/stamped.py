"""What a cylinder is by what is stamped on it, and what of that is not on record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from equipment.codes.cylinder_marks import MARKS, METHODS, read_marks
from equipment.judging.verdicts import amount_words
from equipment.models import CylinderDesign, CylinderMarking, Requalification, Unit


@dataclass(frozen=True, slots=True)
class Stamped:
    """A cylinder as it was read, where it was not as its part number's design has it.

    ``is_own``: its specification was read on the unit itself; ``differs`` says that its part number's design
    has another; ``lacks`` names what is not on record of it.
    """

    unit_id: int
    specification: str
    is_own: bool
    service_psig: Decimal | None
    test_psig: Decimal | None
    marks: tuple[str, ...]
    requalifier: str
    tested_on: date | None
    read_on: date | None
    document: str
    differs: str
    lacks: tuple[str, ...]

    @property
    def pressures(self) -> list[tuple[str, str]]:
        """Service and test pressure in words, as far as they are on record."""
        named = (("Service pressure", self.service_psig), ("Test pressure", self.test_psig))
        return [(name, amount_words(value, "psi")) for name, value in named if value]


def marking_of(unit: Unit) -> CylinderMarking | None:
    """What was read last on a unit, under whichever of its records."""
    rows = CylinderMarking.objects.filter(unit__in=Unit.objects.same_as([unit]))
    return rows.order_by("read_on", "pk").last()


def design_of(unit: Unit) -> CylinderDesign | None:
    rows = CylinderDesign.objects.select_related("specification")
    return rows.filter(part_number=unit.part_number_id).first()


def stamped_on(unit: Unit) -> Stamped | None:
    """What a unit is as a cylinder; None of one that nothing on record calls a cylinder. Three questions."""
    own, design = marking_of(unit), design_of(unit)
    if own is None and design is None:
        return None
    tests = Requalification.objects.filter(unit__in=Unit.objects.same_as([unit]), verdict="in")
    test = tests.order_by("done_on", "pk").last()
    by_part = design.specification.code if design else ""
    code = own.specification if own else by_part
    is_later = test is not None and (own is None or test.done_on > own.read_on)
    found = Stamped(
        unit_id=unit.pk,
        specification=code,
        is_own=own is not None,
        service_psig=(own and own.service_psig) or (design.service_psig if design else None),
        test_psig=(own and own.test_psig) or (test.test_psig if test else None),
        marks=_marks(own, test),
        requalifier=test.requalifier
        if test and (is_later or not (own and own.requalifier))
        else (own.requalifier if own else ""),
        tested_on=test.done_on if test else None,
        read_on=own.read_on if own else None,
        document=own.document if own else "",
        differs=_differs(code, by_part),
        lacks=(),
    )
    return _with_lacks(found)


def _marks(own: CylinderMarking | None, test: Requalification | None) -> tuple[str, ...]:
    """Those read on it, with the symbol of its last test; a later test without one takes none away."""
    symbols = {
        symbol for symbol, (method, _, _) in METHODS.items() if test and method == test.method
    }
    read = set(read_marks(own.marks) or ()) if own else set()
    return tuple(mark for mark in MARKS if mark in read | symbols)


def _differs(code: str, by_part: str) -> str:
    if not by_part or code == by_part:
        return ""
    return (
        f"Its part number is on record as a {by_part} cylinder; what is stamped on the unit counts."
    )


def _with_lacks(found: Stamped) -> Stamped:
    lacks = {
        "its own specification": found.is_own,
        "its service pressure": found.service_psig is not None,
        "its test pressure": found.test_psig is not None,
        "the number of its last requalifier": bool(found.requalifier),
    }
    missing = tuple(name for name, is_there in lacks.items() if not is_there)
    values = {name: getattr(found, name) for name in Stamped.__slots__}
    return Stamped(**{**values, "lacks": missing})
