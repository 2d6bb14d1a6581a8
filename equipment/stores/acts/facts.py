"""What the acts of the stores take and give back: plain, frozen facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from equipment.common.attached import FileFact
from equipment.ledger.facts import Entered


@dataclass(frozen=True, slots=True)
class WorkFact:
    """A work that a certificate certifies, as last done. Totals are the unit's own: minutes, counts."""

    code: str
    done_on: date
    precision: str = "day"
    method: str = ""
    total_minutes: int | None = None
    total_cycles: int | None = None


@dataclass(frozen=True, slots=True)
class TotalFact:
    """A total of a measure as a paper states it, since new or since overhaul: minutes or a count."""

    measure: str
    total: int
    since: str = "new"


@dataclass(frozen=True, slots=True)
class Paper:
    """A release certificate as printed. ``status`` is its term for the work (block 11)."""

    form: str
    tracking_number: str
    issuer: str
    status: str
    issued_on: date
    is_dual_release: bool = False
    supplier: str = ""
    work_order: str = ""
    remarks: str = ""
    file: FileFact | None = None


@dataclass(frozen=True, slots=True)
class TitleSaid:
    """Whose the unit is from its receipt on; ``sort`` is one of ``Title.SORTS``."""

    sort: str
    owner: str
    return_by: date | None = None
    core_due_on: date | None = None
    customs: str = ""
    restriction: str = ""
    charge: str = ""
    document: str = ""


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """One unit or lot that came in: by its ``scanned`` code, by hand, or both.

    ``printed_serial`` is what the certificate's block 10 says of it. ``is_confirmed``: whoever
    received it looked again at a number that looks like another one, and it is as given.
    ``stated_life_months`` is the life that its label states, from its manufacture; ``standard`` the
    code of its modification standard, as its plate has it.
    """

    part_number: str = ""
    serial_number: str = ""
    maker: str = ""
    scanned: str = ""
    printed_serial: str = ""
    quantity: int = 1
    manufactured_on: date | None = None
    manufactured_precision: str = "day"
    stated_life_months: int | None = None
    standard: str = ""
    works: tuple[WorkFact, ...] = ()
    totals: tuple[TotalFact, ...] = ()
    bin_name: str = ""
    is_confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Receipt:
    """What came in together, under one certificate or none.

    ``certifies`` is the operator's data: which works each term of block 11 stands for.
    """

    station_id: int
    received_on: date
    lines: tuple[ReceiptLine, ...]
    paper: Paper | None = None
    certifies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    title: TitleSaid | None = None
    document: str = ""


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
    """What became of a receipt; ``is_new`` is false where the same act had been done before."""

    lines: tuple[ReceivedLine, ...]
    is_new: bool = True


@dataclass(frozen=True, slots=True)
class NewInspection:
    """What was looked at, by the names of ``inspections.CHECKS``, and what came of it."""

    unit_id: int
    result: str
    checks: Mapping[str, bool]
    words: str = ""
    bin_name: str = ""


@dataclass(frozen=True, slots=True)
class NewOrder:
    """A unit goes to a shop: which works are asked for, and when it is promised back."""

    unit_id: int
    shop: str
    number: str
    station_id: int
    sent_on: date
    promised_on: date
    works: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class ShopBack:
    """A shop order ends: ``how`` is one of ``ShopReturn.HOW``, with the shop's paper if there is one."""

    order_id: int
    returned_on: date
    how: str = "done"
    station_id: int | None = None
    paper: Paper | None = None
    printed_serial: str = ""
    certifies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    works: tuple[WorkFact, ...] = ()
    totals: tuple[TotalFact, ...] = ()
    price: str = ""
    currency: str = ""
    words: str = ""
