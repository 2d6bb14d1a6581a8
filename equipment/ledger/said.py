"""What people say of units: what one is, its papers, what was seen, what turned out otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from equipment.models import LifeStatement, ModificationStandard, PartNumber, Title, Unit
from fleet.acts.fields import (
    Heading,
    choice,
    coded,
    day,
    number,
    part,
    row,
    stamp,
    text,
    unsaid,
    yes_no,
)
from fleet.intake.columns import CODE, STAMP, TOTAL
from fleet.models import Measure

from .moments import PlaceAt, When

COUNT = 2**31 - 1
LOOK_UP = "Look it up by part and serial number: /api/v1/units."


def unit_row(label: str = "The unit", **more: Any) -> Any:
    """A unit on record by its id."""
    return row(label, Unit, "unit", look_up=LOOK_UP, **more)


def _the_unit() -> Any:
    return unit_row(help="A unit's id.")


def _document(meaning: str, **more: Any) -> Any:
    return text("Document", 80, heading=Heading("Document", meaning), **more)


@dataclass(frozen=True, slots=True)
class UnitFact:
    """A unit, or a lot, as it is entered: known by its original part and serial number.

    ``part_number_id`` is what it is now, if re-identified: then ``identified_on`` says since when
    and ``identified_by`` by which document.
    """

    original_part_id: int = row("The original part", PartNumber, "part number")
    serial_number: str = text("Serial number", 40)
    part_number_id: int | None = None
    standard_id: int | None = row("Standard", ModificationStandard, "standard", default=None)
    identified_on: date | None = None
    identified_by: str = ""
    manufactured_on: date | None = stamp(
        "Manufactured on",
        "manufactured_precision",
        default=None,
        heading=Heading(
            "Manufactured on",
            "Day, month or year of manufacture, as stamped.",
            ("manufactured", "dom", "date of manufacture", "mfg date", "manufacture date"),
            has_come=True,
        ),
    )
    manufactured_precision: str = "day"
    stated_life_months: int | None = number(
        "Stated life (months)",
        most=COUNT,
        default=None,
        heading=Heading(
            "Stated life (months)",
            "Life as stated for this unit; beats the part number's.",
            ("stated life",),
        ),
    )
    quantity: int = number(
        "Quantity",
        most=COUNT,
        default=1,
        heading=Heading("Quantity", "Pieces in a lot; blank: 1.", ("qty",)),
    )
    note: str = text(
        "Note",
        200,
        default="",
        heading=Heading("Note", "Anything worth keeping.", ("remarks", "notes")),
    )


@dataclass(frozen=True, slots=True)
class LifeStatementFact:
    """A dated total (minutes or a count) of one measure of one unit; ``since`` new or overhaul."""

    unit_id: int = _the_unit()
    measure_id: int = coded(
        "Measure",
        Measure,
        "code",
        "measure",
        most=16,
        help="A measure's code.",
        heading=Heading("Measure", "Code of the measure."),
    )
    stated_on: date = day(
        "Stated on",
        help="The total holds at the end of this day.",
        heading=Heading(
            "Stated on", "The total holds at the end of this day.", ("date", "as of"), has_come=True
        ),
    )
    total: int = number(
        "Total",
        help="Minutes, or a count, as the measure says.",
        heading=Heading(
            "Total",
            "Hours as 12345:30 or 12345.5, or a whole number, as the measure is counted.",
            kind=TOTAL,
        ),
    )
    source: str = text("Source", 80, heading=Heading("Source", "The paper that says so."))
    quality: str = choice(
        "Quality",
        LifeStatement.QUALITIES,
        heading=Heading(
            "Quality", "on a certificate, stated by the previous operator, or cautious assumption."
        ),
    )
    since: str = choice(
        "Since", (("new", "new"), ("overhaul", "overhaul")), default="new", unchosen="Choose"
    )
    corrects: int | None = number(
        "The statement that it replaces", default=None, help="The statement that it replaces."
    )


@dataclass(frozen=True, slots=True)
class CertificateFact:
    """A release certificate or other paper of a unit."""

    unit_id: int = _the_unit()
    form: str = text(
        "Form",
        40,
        help="The form's name as printed.",
        heading=Heading("Form", "The form's name as printed."),
    )
    tracking_number: str = text(
        "Tracking number",
        40,
        heading=Heading(
            "Tracking number", "Number of the paper.", ("number", "certificate number"), CODE
        ),
    )
    issued_on: date = day(
        "Issued on",
        heading=Heading("Issued on", "Day of issue.", ("date", "issued"), has_come=True),
    )
    issuer: str = text("Issuer", 80, heading=Heading("Issuer", "Who issued it."))
    status: str = text(
        "Status",
        40,
        help="The form's own term.",
        heading=Heading("Status", "The form's status or work, such as OVERHAULED.", ("work",)),
    )
    remarks: str = text(
        "Remarks", 200, default="", heading=Heading("Remarks", "The form's remarks.")
    )
    is_dual_release: bool = yes_no("Dual release", help="Released under both authorities' rules.")
    supplier: str = text("Supplier", 80, default="")
    work_order: str = text("Work order", 40, default="")
    covers: int | None = number("Quantity", least=1, default=None, help="How many it is for.")
    approval_number: str = text("Approval number", 60, default="")
    signatory: str = text("Signed by", 80, default="")
    printed_serial: str = text("Serial number on it", 400, default="")


@dataclass(frozen=True, slots=True)
class TitleFact:
    """Whose a unit is from a day on; ``sort`` is one of ``Title.SORTS``."""

    unit_id: int = _the_unit()
    sort: str = choice(
        "Sort",
        Title.SORTS,
        heading=Heading(
            "Sort", "owned, leased with the aircraft, pool loan, exchange or consigned."
        ),
    )
    owner: str = text("Owner", 80, heading=Heading("Owner", "Who owns it."))
    from_on: date = day("From", heading=Heading("From", "From this day on.", ("from date", "date")))
    return_by: date | None = day(
        "Return by", default=None, heading=Heading("Return by", "Day by which it goes back.")
    )
    core_due_on: date | None = day(
        "Core due on",
        default=None,
        heading=Heading("Core due on", "Day by which the core is due back.", ("core due",)),
    )
    customs: str = text(
        "Customs", 80, default="", heading=Heading("Customs", "Customs procedure and number.")
    )
    restriction: str = text(
        "Restriction", 120, default="", heading=Heading("Restriction", "What the owner forbids.")
    )
    document: str = _document("The agreement.", default="")
    charge: str = text("Charge", 80, default="", help="What it costs, in words.")
    charge_amount: Decimal | None = None
    charge_per: str = ""
    currency: str = ""


@dataclass(frozen=True, slots=True)
class IdentificationFact:
    """From this day a unit is this part number at this standard, by this document."""

    unit_id: int = _the_unit()
    part_number_id: int = row("Part number", PartNumber, "part number")
    from_on: date = day("From", heading=Heading("From", "From this day on.", ("from date", "date")))
    document: str = _document("What re-identifies it.")
    standard_id: int | None = row("Standard", ModificationStandard, "standard", default=None)


@dataclass(frozen=True, slots=True)
class SightingFact:
    """What somebody read on a unit in its place. ``reconciles`` names the sighting it settles."""

    act_id: UUID
    when: When = part("When", When)
    place: int | PlaceAt | None = part("The place", PlaceAt, default=None)
    unit_id: int | None = unit_row(default=None, help="If it is known.")
    part_number_read: str = text(
        "Part number read",
        40,
        default="",
        heading=Heading("Part number read", "As on the plate.", kind=CODE),
    )
    serial_number_read: str = text(
        "Serial number read",
        40,
        default="",
        heading=Heading("Serial number read", "As on the plate.", kind=CODE),
    )
    expiry_read: date | None = day(
        "Expiry read",
        default=None,
        heading=Heading("Expiry read", "As on the plate or label.", kind=STAMP),
    )
    gauge_read: str = text(
        "Gauge read", 40, default="", heading=Heading("Gauge read", "What the gauge showed.")
    )
    pin_read: str = text(
        "Pin read", 40, default="", heading=Heading("Pin read", "Whether the pin was in.")
    )
    note: str = text("Note", 200, default="", heading=Heading("Note", "Anything else seen."))
    reconciles: int | None = number(
        "The sighting that it settles", default=None, help="The sighting that it settles."
    )


@dataclass(frozen=True, slots=True)
class AnnulmentFact:
    """A recorded movement never happened."""

    movement_id: int = number("The movement", least=1, name="movement")
    reason: str = text("Why", 200, heading=Heading("Reason", "Why it never happened."))
    act_id: UUID = unsaid()


@dataclass(frozen=True, slots=True)
class MergeFact:
    """Two units turned out to be one: ``absorbed`` is ``kept``."""

    kept_id: int = unit_row("The unit that stays", help="The id of the unit that stays.")
    absorbed_id: int = unit_row(
        "The unit that is the same one", help="The id of the unit that is the same one."
    )
    reason: str = text("Why", 200, heading=Heading("Reason", "How it turned out."))
    document: str = _document("What says so.", default="")
