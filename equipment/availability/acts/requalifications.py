"""A cylinder is requalified, or condemned: its stamp read, its test judged by its specification."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from equipment.availability.ports import Requalified, record_requalified_works
from equipment.availability.stamped import design_of, marking_of
from equipment.codes.cylinder_marks import METHODS, CylinderStamp, read_stamp
from equipment.common.said import UNIT_ID, unit_row
from equipment.common.texts import derived_act_id
from equipment.judging.cylinders import (
    CylinderFacts,
    CylinderRule,
    TestFound,
    judge_requalification,
)
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Judgement, Problem
from equipment.keeping.freeing import free_failed
from equipment.models import CylinderSpecification, Requalification, Unit, UnitTag
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept
from fleet.models import User

from .units import lock_unit

MEASURED = {"test_pressure": "psi", "total_expansion": "ml", "permanent_expansion": "ml"}


@dataclass(frozen=True, slots=True)
class Requalifying:
    """A cylinder's periodic test as its report and its stamp say it; quantities with their units."""

    unit_id: int = unit_row(help=UNIT_ID)
    marking: str = text(
        "Stamp, line by line (A1 9 06 32)",
        40,
        needed="Copy the stamp.",
        help="As stamped, line by line: A1 9 06 32. A symbol stands behind the year.",
    )
    operator: str = text("Who did the test", 80, needed="Say who did the test.")
    is_sound: bool = yes_no("Sound by the visual inspection", help="By the visual inspection.")
    test_pressure: str = text("Test pressure (psi or bar)", 60, default="")
    total_expansion: str = text("Total expansion (ml)", 60, default="")
    permanent_expansion: str = text("Permanent expansion (ml)", 60, default="")
    document: str = text("Report", 80, default="")


@transaction.atomic
def record_requalification(
    *, by: User, test: Requalifying, act_id: UUID, at: datetime
) -> Requalification:
    """This will record a cylinder's periodic test. Passed, it is the work of every limit that forbids a
    filling; not passed, the cylinder is condemned and tagged unsalvageable.

    Refuses what is no stamp, a month to come, a unit whose part is no cylinder on record
    (``no_specification``), and a test that says nothing: below its pressure, or without what its
    method measures (``not_requalified``).
    """
    ask(by, "record_requalification")
    rows = Requalification.objects.filter(act_id=act_id)
    if done := done_before(act_id, "record_requalification", {"test": test}, rows, by=by, at=at):
        return done
    unit = lock_unit(test.unit_id)
    found = _judged(_design_of(unit), *_read(test, at), test)
    if found.judged.verdict == "cannot_judge":
        raise Refused("not_requalified", found.judged.sentence, "test_pressure")
    made = _kept(test, found)
    made.act_id, made.unit, made.recorded_at, made.recorded_by = act_id, unit, at, by
    made.save()
    _tell_limits(made, by=by, at=at)
    if made.verdict == "out":
        _condemn(made, by=by, at=at)
    return made


def _read(test: Requalifying, at: datetime) -> tuple[CylinderStamp, dict[str, Decimal | None]]:
    """The stamp, and what was measured in psi and ml; refuses whatever cannot be read, all at once."""
    reasons, read = Reasons(), dict[str, Decimal | None]()
    reasons.found += why_not_kept(test.operator.strip(), "operator", 80, "Say who did the test.")
    stamp = read_stamp(test.marking, at.year)
    if stamp is None:
        words = "This is no stamp of a requalification. Copy its lines: A1 9 06 32, a symbol behind the year."
        reasons.add("not_a_stamp", words, "marking")
    else:
        reasons.found += why_future(stamp.month, at, "marking", "read the stamp again.")
    for name, unit in MEASURED.items():
        said = getattr(test, name).strip()
        found = read_quantity(said, unit, expected=unit) if said else None
        if isinstance(found, Problem):
            reasons.found.append(found.as_refusal(name))
        read[name] = found.value if found and not isinstance(found, Problem) else None
    reasons.refuse()
    assert stamp is not None
    return stamp, read


@dataclass(frozen=True, slots=True)
class _Design:
    """By which specification a cylinder is tested, and its own pressure and size as far as they are on record."""

    specification: CylinderSpecification
    service_psig: Decimal
    diameter_mm: Decimal | None
    length_mm: Decimal | None


def _design_of(unit: Unit) -> _Design:
    """By what is stamped on the unit, else by its part number."""
    own, design = marking_of(unit), design_of(unit)
    if own is None and design is None:
        words = (
            f"{unit.part_number.number} is no cylinder on record: record what is stamped on the unit, or bring the"
            " sheet 'Cylinders'."
        )
        raise Refused("no_specification", words, "unit")
    size = (design.diameter_mm, design.length_mm) if design else (None, None)
    service = (own and own.service_psig) or (design.service_psig if design else None)
    if service is None:
        words = "Its service pressure is not on record: record what is stamped on the unit."
        raise Refused("no_service_pressure", words, "unit")
    if design is not None and (own is None or own.specification == design.specification.code):
        return _Design(design.specification, service, *size)
    assert own is not None
    found = CylinderSpecification.objects.filter(code=own.specification).first()
    if found is None:
        words = (
            f"It is stamped {own.specification}, and what that specification asks of a test is not on record: bring it"
            " in the sheet 'Cylinder specifications'."
        )
        raise Refused("no_specification", words, "unit")
    return _Design(found, service, *size)


@dataclass(frozen=True, slots=True)
class _Tested:
    """A test as it was read and judged."""

    design: _Design
    stamp: CylinderStamp
    read: dict[str, Decimal | None]
    judged: Judgement


def _judged(
    design: _Design,
    stamp: CylinderStamp,
    read: dict[str, Decimal | None],
    test: Requalifying,
) -> _Tested:
    asked, (_, pressure, expansion) = design.specification, METHODS[stamp.symbol]
    times = (asked.times_over, asked.times_under)
    rule = CylinderRule(
        asked.code,
        (times[0], times[1]) if times[0] and times[1] else None,
        asked.least_test_psig,
        asked.most_permanent_percent,
    )
    facts = CylinderFacts(design.service_psig, design.diameter_mm, design.length_mm)
    found = TestFound(
        test.is_sound,
        read["test_pressure"],
        read["total_expansion"],
        read["permanent_expansion"],
        pressure,
        expansion,
    )
    return _Tested(design, stamp, read, judge_requalification(rule, facts, found))


def _kept(test: Requalifying, found: _Tested) -> Requalification:
    """The record of a test, not saved yet: what 180.215(b)(2) asks it to hold."""
    design, stamp, read = found.design, found.stamp, found.read
    return Requalification(
        marking=" ".join(test.marking.split()),
        requalifier=stamp.requalifier,
        done_on=stamp.month,
        method=stamp.method,
        specification=design.specification.code,
        service_psig=design.service_psig,
        is_sound=test.is_sound,
        test_psig=read["test_pressure"],
        total_ml=read["total_expansion"],
        permanent_ml=read["permanent_expansion"],
        verdict=found.judged.verdict,
        sentence=found.judged.sentence,
        operator=test.operator.strip(),
        document=test.document.strip(),
    )


def _tell_limits(made: Requalification, *, by: User, at: datetime) -> None:
    record_requalified_works(
        Requalified(
            unit_id=made.unit_id,
            month=made.done_on,
            method=made.method,
            is_passed=made.verdict == "in",
            who=f"{made.requalifier} {made.operator}"[:80],
            document=made.document,
            act_id=made.act_id,
            by=by,
            at=at,
        )
    )


def _condemn(made: Requalification, *, by: User, at: datetime) -> None:
    """180.203: a condemned cylinder "may not be restored by repair, rebuilding, requalification"."""
    UnitTag.objects.create(
        act_id=derived_act_id(made.act_id, "tag"),
        unit=made.unit,
        sort="unsalvageable",
        why="defect",
        words=f"Condemned at its requalification. {made.sentence}"[:300],
        actions_needed="Never fill it again: render it unusable, and mark it CONDEMNED.",
        tagged_at=at,
        recorded_at=at,
        recorded_by=by,
    )
    words = f"condemned at its requalification: {made.sentence}"
    free_failed(unit_ids=[made.unit_id], words=words, by=by, at=at)


# --- declared ---------------------------------------------------------------------------------

RECORD_REQUALIFICATION = Act(
    name="record_requalification",
    does=record_requalification,
    said=Requalifying,
    as_="test",
    tag="Beside a swap",
    summary="Record a requalification",
    description="Records a cylinder's periodic test as stamped and measured. Passed, it restarts the "
    "limits that forbid a filling; a permanent expansion over its specification's condemns it.",
    address="requalifications",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 512,
        "marking": "A1 9 23 32",
        "operator": "Lee Shore Cylinders",
        "is_sound": True,
        "test_pressure": "3084 psi",
        "total_expansion": "142 ml",
        "permanent_expansion": "6.1 ml",
        "document": "LSC-2023-881",
    },
)
