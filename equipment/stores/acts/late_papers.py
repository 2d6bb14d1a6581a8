"""A certificate that comes after its unit: what it waited for in quarantine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.attached import refuse_file
from equipment.common.said import unit_row
from equipment.ledger.facts import Entered
from equipment.models import Certificate
from equipment.stores.acts.scans import attach_paper
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import part, parts, text, within
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.models import User

from .facts import (
    EXAMPLE_PAPER,
    MOST_PRINTED,
    CertifiedTerm,
    Paper,
    TotalFact,
    WorkFact,
    same_serial,
)
from .papers import OfUnit, record_paper, refuse_paper, refuse_printed, refuse_uncertified


@dataclass(frozen=True, slots=True)
class LatePaper:
    """The paper as printed, what its block 10 says, and the works and totals that it states."""

    paper: Paper = part("The certificate", Paper, name="certificate")
    printed_serial: str = text(
        "Serial number on it (block 10)", MOST_PRINTED, help="What block 10 says."
    )
    works: tuple[WorkFact, ...] = parts("Works that it certifies", WorkFact)
    totals: tuple[TotalFact, ...] = parts("Totals that it states", TotalFact)
    certifies: Mapping[str, tuple[str, ...]] = parts(
        "What its terms stand for", CertifiedTerm, default={}
    )
    is_same_serial: bool = same_serial()


@dataclass(frozen=True, slots=True)
class BroughtPaper:
    """A certificate that comes after its unit, and what it certifies."""

    unit_id: int = unit_row()
    late: LatePaper = within(LatePaper)


@transaction.atomic
def bring_paper(
    *, by: User, unit_id: int, late: LatePaper, act_id: UUID, at: datetime, today: date
) -> Entered:
    """This will record a unit's certificate with its file, the works it certifies and the totals it states.

    It moves nothing: the unit goes to stock by its incoming inspection. The same paper again
    changes nothing. Refuses what receiving refuses of a paper, and an unknown unit.
    """
    ask(by, "record_certificate")
    is_new = claim(act_id, "bring_paper", {"unit_id": unit_id, "late": late}, by=by, at=at)
    unit = lock_unit(unit_id)
    if not is_new:
        return Entered(_kept(unit.pk, late.paper).pk, is_new=False)
    refuse_paper(late.paper, today)
    refuse_file(late.paper.file)
    refuse_printed(
        late.printed_serial, unit.part_number, unit.serial_number, is_same=late.is_same_serial
    )
    refuse_uncertified(late.paper, late.works, late.certifies)
    of_unit = OfUnit(unit.pk, late.works, late.totals, late.printed_serial)
    entered = record_paper(by=by, paper=late.paper, units=[of_unit], at=at)[unit.pk]
    attach_paper(by=by, paper=late.paper, certificate_id=entered.id, act_id=act_id, at=at)
    return entered


def _kept(unit_id: int, paper: Paper) -> Certificate:
    """The paper as it was recorded for the unit."""
    named = {"form": paper.form.strip(), "tracking_number": paper.tracking_number.strip()}
    return what_was_done(Certificate.objects.filter(unit=unit_id, **named))


# --- declared ---------------------------------------------------------------------------------

BRING_PAPER = Act(
    name="bring_paper",
    does=bring_paper,
    said=BroughtPaper,
    who="record_certificate",
    needs_today=True,
    tag="Stores",
    summary="Bring a certificate that comes late",
    description="Records a unit's certificate after its receipt, with its scan, the works that it certifies "
    "and the totals that it states. It moves nothing: the unit goes to stock by its inspection.",
    address="stores/papers",
    example={
        "act_id": EXAMPLE_ID,
        "unit": 812,
        "certificate": {
            **EXAMPLE_PAPER,
            "file": {"name": "LS-2024-118.pdf", "content": "JVBERi0xLjQKJSVFT0YK"},
        },
        "printed_serial": "B00117",
        "certifies": [{"term": "Overhauled", "works": ["overhaul"]}],
        "works": [{"code": "overhaul", "done_on": "2024-02-19"}],
    },
)
