"""What the acts of the stores take and give back: plain, frozen facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass
from datetime import date
from typing import Any

from equipment.common.attached import FileFact
from equipment.common.said import station_coded
from equipment.ledger.facts import Entered
from equipment.models import Title
from equipment.models.owing import PER
from fleet.acts.fields import (
    choice,
    codes,
    day,
    file,
    number,
    part,
    parts,
    stamp,
    text,
    yes_no,
)

MOST_QUANTITY = 2**31 - 1
#: Block 10 may have the numbers of a whole box.
MOST_PRINTED = 400
#: A certificate as examples have it.
EXAMPLE_PAPER = {
    "form": "Form 1",
    "tracking_number": "LS-2024-118",
    "issuer": "Lee Shore Overhaul",
    "status": "Overhauled",
    "issued_on": "2024-02-20",
    "supplier": "Tidewater Parts",
}


def stated_life() -> Any:
    """Months of life as a label states them; a unit without such a label has none."""
    return number(
        "Life stated on it, in months",
        least=1,
        most=600,
        default=None,
        help="The life that its label states, in months from its manufacture.",
    )


def standard_text() -> Any:
    """The code of a modification standard, as a plate has it."""
    return text(
        "Modification standard on it",
        24,
        default="",
        help="The code of its modification standard, as its plate has it.",
    )


def same_serial() -> Any:
    """Whether a number of the paper that looks like the plate's is the same, as looked at again."""
    return yes_no("I have looked at plate and paper again: it is the same number.")


@dataclass(frozen=True, slots=True)
class WorkFact:
    """A work that a certificate certifies, as last done. Totals are the unit's own: minutes, counts."""

    code: str = text("Work", 24)
    done_on: date = stamp("Done on", "precision")
    precision: str = "day"
    method: str = text("By which method", 24, default="")
    total_minutes: int | None = number("At hours", default=None)
    total_cycles: int | None = number("At cycles", default=None)


@dataclass(frozen=True, slots=True)
class TotalFact:
    """A total of a measure as a paper states it, since new or since overhaul: minutes or a count."""

    measure: str = text("Total of", 16)
    total: int = number("As stated")
    since: str = choice("Counted", (("new", "new"), ("overhaul", "overhaul")), default="new")


@dataclass(frozen=True, slots=True)
class CertifiedTerm:
    """The operator's data: which works a term of block 11 stands for."""

    term: str = text("Term", 40)
    works: tuple[str, ...] = codes("Works", 24)


@dataclass(frozen=True, slots=True)
class Paper:
    """A release certificate as printed. ``status`` is its term for the work (block 11); ``covers`` how many units or
    pieces it says it is for."""

    form: str = text("Form", 40)
    tracking_number: str = text("Tracking number (block 3)", 40)
    issuer: str = text("Issued by (block 4)", 80)
    status: str = text("Status/work (block 11)", 40, help="Its term for the work (block 11).")
    issued_on: date = day("Date (block 14)")
    is_dual_release: bool = yes_no("Dual release")
    supplier: str = text("Supplier", 80, default="")
    work_order: str = text("Work order (block 5)", 40, default="")
    remarks: str = text("Remarks (block 12)", 200, default="")
    covers: int | None = number(
        "Quantity on it (block 9)",
        least=1,
        most=MOST_QUANTITY,
        default=None,
        help="How many units or pieces it says it is for.",
    )
    approval_number: str = text("Approval number of the issuer", 60, default="")
    signatory: str = text("Signed by", 80, default="", help="The name of who signed it.")
    file: FileFact | None = file("Its scan", default=None, help="Its scan.")


@dataclass(frozen=True, slots=True)
class TitleSaid:
    """Whose the unit is from its receipt on; ``sort`` is one of ``Title.SORTS``."""

    sort: str = choice("Whose it is", Title.SORTS)
    owner: str = text("Owner", 80)
    return_by: date | None = day("Goes back by", default=None)
    core_due_on: date | None = day("Core due back on", default=None)
    customs: str = text("Customs", 80, default="")
    restriction: str = text("Owner's restriction", 120, default="")
    charge: str = text("What it costs, in words", 80, default="")
    document: str = text("Document", 80, default="")
    charge_amount: str = text("Charge", 16, default="", help="An amount such as 40.00.")
    charge_per: str = choice("Charged", [("", "not charged"), *PER], default="")
    currency: str = text("Currency", 3, default="", help="Its three letters.")


@dataclass(frozen=True, slots=True)
class CameInside:
    """A unit that came inside another, by the code of its position there."""

    position: str = text("Position inside", 24)
    part_number: str = text("Part number on its plate", 40)
    serial_number: str = text("Serial number on its plate", 40)


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """One unit or lot that came in: by its ``scanned`` code, by hand, or both.

    ``printed_serial`` is what the certificate's block 10 says of it, all its numbers where it has several.
    ``is_confirmed``: whoever received it looked again at a number that looks like another one, and it is as given;
    ``is_same_serial``: plate and paper differ in characters that look alike only, and are the same number;
    ``is_of_another``: the certificate names another unit, and is kept with this one, which stays in quarantine.
    ``stated_life_months`` is the life that its label states, from its manufacture; ``standard`` the
    code of its modification standard, as its plate has it.
    """

    part_number: str = text("Part number on the plate", 40, default="")
    serial_number: str = text("Serial number on the plate", 40, default="")
    maker: str = text("Maker, if two make this part number", 80, default="")
    scanned: str = text("The scanned code", 1000, default="")
    printed_serial: str = text(
        "Serial number on its certificate (block 10)",
        MOST_PRINTED,
        default="",
        help="What block 10 says, all numbers of several; N/A of what is tracked by lot.",
    )
    quantity: int = number("How many (of a lot)", least=1, most=MOST_QUANTITY, default=1)
    manufactured_on: date | None = stamp("Manufactured on", "manufactured_precision", default=None)
    manufactured_precision: str = "day"
    stated_life_months: int | None = stated_life()
    standard: str = standard_text()
    works: tuple[WorkFact, ...] = parts("Works that its certificate certifies", WorkFact)
    totals: tuple[TotalFact, ...] = parts("Totals that its certificate states", TotalFact)
    bin_name: str = text("Bin of the quarantine", 80, default="", name="bin")
    is_confirmed: bool = yes_no(
        "I have looked at the plate again: it is another unit.",
        help="Looked at again: it is another unit.",
    )
    is_same_serial: bool = same_serial()
    is_of_another: bool = yes_no(
        "The certificate names another unit: keep it with this one, in quarantine."
    )
    inside: tuple[CameInside, ...] = parts("What came inside it", CameInside)


@dataclass(frozen=True, slots=True)
class Receipt:
    """What came in together, under one certificate or none.

    ``certifies`` is the operator's data: which works each term of block 11 stands for.
    """

    station_id: int = station_coded(help="A station's code.")
    received_on: date = day("Received on")
    lines: tuple[ReceiptLine, ...] = parts("What came", ReceiptLine, default=MISSING)
    paper: Paper | None = part("Its certificate", Paper, default=None, name="certificate")
    certifies: Mapping[str, tuple[str, ...]] = parts(
        "What its terms stand for", CertifiedTerm, default={}
    )
    title: TitleSaid | None = part("Whose it is", TitleSaid, default=None)
    document: str = text("Delivery note", 80, default="")
    price: str = text("Price of each", 16, default="", help="An amount such as 480.50.")
    currency: str = text("Currency of the price", 3, default="", help="Its three letters.")


@dataclass(frozen=True, slots=True)
class ReceivedLine:
    """What became of one line. ``why_quarantined`` says what it waits for; ``is_new`` if it was not known."""

    unit_id: int
    movement_id: int
    why_quarantined: str
    is_known: bool
    certificate: Entered | None = None


@dataclass(frozen=True, slots=True)
class Receiving:
    """What became of a receipt; ``is_new`` is false where the same act had been done before. ``bought`` says what came of
    which purchase request."""

    lines: tuple[ReceivedLine, ...]
    is_new: bool = True
    bought: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NewInspection:
    """What was looked at, by the names of ``inspections.CHECKS``, and what came of it."""

    unit_id: int
    result: str
    checks: Mapping[str, bool]
    words: str = ""
    bin_name: str = ""
