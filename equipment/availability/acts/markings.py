"""What is stamped on one cylinder is recorded: its own specification, pressures, marks and requalifier."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.availability.bottles import is_bottle, is_inflated
from equipment.codes.cylinder_marks import read_marks, read_specification
from equipment.common.said import UNIT_ID, unit_row
from equipment.common.wording import unit_words
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from equipment.models import CylinderMarking, Unit
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import Heading, day, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import is_plausible, why_future
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept
from fleet.models import User

from .units import lock_unit

_NUMBER = re.compile(r"[A-Z][0-9]{3}")
PRESSURES = {"service_pressure": 6, "test_pressure": 6}
_MOST_PSIG = Decimal(30_000)


@dataclass(frozen=True, slots=True)
class Markings:
    """What somebody read on a cylinder; pressures with their unit."""

    unit_id: int = unit_row(help=UNIT_ID)
    specification: str = text(
        "Specification",
        40,
        needed="Copy the specification: DOT-3AA1850.",
        hint="As stamped, such as DOT-3AA1850, 3HT or DOT-SP 8162.",
        help="As stamped: DOT-3AA1850, 3HT, DOT-SP 8162; the pressure behind it is the service pressure.",
        heading=Heading("Specification", "As stamped: DOT-3AA1850, 3HT.", ("spec", "dot spec")),
    )
    read_on: date = day(
        "Read on", heading=Heading("Read on", "The day it was read.", has_come=True)
    )
    service_pressure: str = text(
        "Service pressure (psi or bar)",
        40,
        default="",
        help="With its unit; blank where the specification says it.",
        heading=Heading("Service pressure", "With its unit: 1850 psi."),
    )
    test_pressure: str = text(
        "Test pressure (psi or bar)",
        40,
        default="",
        help="As stamped, with its unit.",
        heading=Heading("Test pressure", "As stamped, with its unit: 3083 psi."),
    )
    marks: str = text(
        "Marks behind the last test",
        20,
        default="",
        hint="+ may be filled 10 % over, ★ (or *) tested every ten years, E looked at outside; blank: none.",
        help="Any of + ★ E.",
        heading=Heading("Marks", "Any of + ★ (or *) E.", ("markings",)),
    )
    requalifier: str = text(
        "Requalifier's number",
        8,
        default="",
        hint="Read round the square: A123.",
        help="Read round the square: A123.",
        heading=Heading("Requalifier", "Its number: A123.", ("rin",)),
    )
    document: str = text(
        "Document", 80, default="", heading=Heading("Document", "Where it was written down.")
    )


@transaction.atomic
def record_markings(*, by: User, markings: Markings, act_id: UUID, at: datetime) -> CylinderMarking:
    """This will record what is stamped on a cylinder; of several readings the last one counts.

    Refuses a blank specification, a pressure that cannot be read or that no cylinder has, a mark that is none
    (``not_a_mark``), a number that no requalifier has (``not_a_requalifier``), a day that has not come, and what has
    its cylinder inside (``not_the_cylinder``).
    """
    ask(by, "record_requalification")
    rows = CylinderMarking.objects.filter(act_id=act_id)
    if done := done_before(act_id, "record_markings", {"markings": markings}, rows, by=by, at=at):
        return done
    values = _read(markings, at)
    unit = lock_unit(markings.unit_id)
    _refuse_what_has_one_inside(unit)
    return CylinderMarking.objects.create(
        act_id=act_id, unit=unit, recorded_at=at, recorded_by=by, **values
    )


def _refuse_what_has_one_inside(unit: Unit) -> None:
    """What is stamped is stamped on the bottle, not on the slide around it."""
    if is_inflated(unit) and not is_bottle(unit):
        words = f"{unit_words(unit)} has its cylinder inside: name the cylinder itself."
        raise Refused("not_the_cylinder", words, "unit")


def _read(said: Markings, at: datetime) -> dict[str, object]:
    """What is kept of what was said; refuses whatever cannot be read, all at once."""
    values, reasons = read_stamped(said, at)
    reasons.refuse()
    return values


def read_stamped(said: Markings, at: datetime) -> tuple[dict[str, Any], Reasons]:
    """What would be kept of what was said, as far as it can be read, and why the rest cannot be."""
    reasons = Reasons()
    sentence = "Copy the specification: DOT-3AA1850."
    reasons.found += why_not_kept(said.specification.strip(), "specification", 40, sentence)
    reasons.found += why_not_kept(said.document.strip(), "document", 80)
    reasons.found += why_future(said.read_on, at, "read_on")
    if not is_plausible(said.read_on) and said.read_on < at.date():
        reasons.add("not_plausible", "Check the year: no cylinder was read then.", "read_on")
    pressures = {name: _pressure(getattr(said, name), name, reasons) for name in PRESSURES}
    marks = read_marks(said.marks)
    if marks is None:
        reasons.add("not_a_mark", "Write any of + ★ E, or nothing.", "marks")
    number = "".join(said.requalifier.upper().split())
    if number and not _NUMBER.fullmatch(number):
        words = "A requalifier's number is a letter and three digits, read round the square: A123."
        reasons.add("not_a_requalifier", words, "requalifier")
    found = read_specification(said.specification)
    if found is not None and 24 < len(found.code) <= 40:
        reasons.add("too_long", "Write the specification alone, such as 3AA.", "specification")
    values = {
        "specification": found.code if found else "",
        "service_psig": pressures["service_pressure"] or (found.service_psig if found else None),
        "test_psig": pressures["test_pressure"],
        "marks": "".join(marks or ()),
        "requalifier": number,
        "read_on": said.read_on,
        "document": said.document.strip(),
    }
    return values, reasons


def _pressure(text: str, field: str, reasons: Reasons) -> Decimal | None:
    if not text.strip():
        return None
    found = read_quantity(text, "psi", expected="psi")
    if isinstance(found, Problem):
        reasons.found.append(found.as_refusal(field))
        return None
    if not 0 < found.value <= _MOST_PSIG:
        reasons.add("not_plausible", "No cylinder has this pressure: read it again.", field)
        return None
    return found.value.quantize(Decimal("0.1"))


# --- declared ---------------------------------------------------------------------------------

RECORD_MARKINGS = Act(
    name="record_markings",
    does=record_markings,
    said=Markings,
    as_="markings",
    who="record_requalification",
    tag="Beside a swap",
    summary="Record what is stamped on a cylinder",
    description="Records a cylinder's own specification, service and test pressure, marks and requalifier, as read "
    "on the unit. The last reading counts, before what its part number says.",
    address="cylinder-markings",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 512,
        "specification": "DOT-3AA1850",
        "read_on": "2024-03-03",
        "service_pressure": "",
        "test_pressure": "3083 psi",
        "marks": "+★",
        "requalifier": "A123",
        "document": "",
    },
)
