"""The unit that is to be fitted, with its papers: what a step before the fitting is compared with."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.models import Certificate, Swap, Unit
from equipment.swaps.pages.shown import SwapPage
from equipment.swaps.pages.step_rows import StepRow
from fleet.words.said import day_words

MOST = 5


@dataclass(frozen=True, slots=True)
class Papers:
    """A unit as its plate should read, and its certificates on record, the latest first."""

    part_number: str
    serial_number: str
    description: str
    certificates: tuple[str, ...]


def papers_of(page: SwapPage, row: StepRow) -> Papers | None:
    """What is to go on, or has gone on; None at a step of another phase, or where nobody has chosen it."""
    if row.step.phase != "inspect":
        return None
    unit = _unit_of(page.swap, page.on.unit_id if page.on else None)
    if unit is None:
        return None
    records = Unit.objects.same_as([unit.pk])
    rows = Certificate.objects.filter(unit__in=records).order_by("-issued_on", "-pk")[:MOST]
    part = unit.part_number
    return Papers(part.number, unit.serial_number, part.description, tuple(map(_words, rows)))


def _unit_of(swap: Swap, recorded: int | None) -> Unit | None:
    key = recorded or swap.planned_on_id
    return Unit.objects.select_related("part_number").filter(pk=key).first() if key else None


def _words(paper: Certificate) -> str:
    """``Form 1 C-533, overhauled, Shop, 1 Feb 2026``."""
    said = (f"{paper.form} {paper.tracking_number}", paper.status, paper.issuer)
    return ", ".join([*filter(None, said), day_words(paper.issued_on)])
