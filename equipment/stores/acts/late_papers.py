"""A certificate that comes after its unit: what it waited for in quarantine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.units import lock_unit
from equipment.common.attached import refuse_file
from equipment.ledger.facts import Entered
from equipment.models import Certificate
from equipment.stores.acts.scans import attach_paper
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.models import User

from .facts import Paper, TotalFact, WorkFact
from .papers import OfUnit, record_paper, refuse_paper, refuse_printed, refuse_uncertified


@dataclass(frozen=True, slots=True)
class LatePaper:
    """The paper as printed, what its block 10 says, and the works and totals that it states."""

    paper: Paper
    printed_serial: str
    works: tuple[WorkFact, ...] = ()
    totals: tuple[TotalFact, ...] = ()
    certifies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


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
    refuse_printed(late.printed_serial, unit.part_number, unit.serial_number)
    refuse_uncertified(late.paper, late.works, late.certifies)
    of_unit = OfUnit(unit.pk, late.works, late.totals)
    entered = record_paper(by=by, paper=late.paper, units=[of_unit], at=at)[unit.pk]
    attach_paper(by=by, paper=late.paper, certificate_id=entered.id, act_id=act_id, at=at)
    return entered


def _kept(unit_id: int, paper: Paper) -> Certificate:
    """The paper as it was recorded for the unit."""
    named = {"form": paper.form.strip(), "tracking_number": paper.tracking_number.strip()}
    return what_was_done(Certificate.objects.filter(unit=unit_id, **named))
