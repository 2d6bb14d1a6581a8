"""What is in transit, and what the papers of a shipment must say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from equipment.common.wording import unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import DangerousGoods, Transfer, Unit


@dataclass(frozen=True, slots=True)
class Particulars:
    """One piece of dangerous goods as its paper says it."""

    part_number: str
    serial_number: str
    un_number: str
    hazard_class: str
    quantity: str
    packing: str
    document: str = ""


@dataclass(frozen=True, slots=True)
class InTransit:
    """A transfer under way, and for how many days."""

    transfer: Transfer
    unit: str
    days: int


def dangerous_inside(unit: Unit) -> tuple[list[Particulars], list[str]]:
    """The particulars of a unit and of all inside it; and which of them are dangerous goods without any."""
    keys = [unit.pk, *inside_now([unit.pk]).get(unit.pk, ())]
    units = Unit.objects.filter(pk__in=set(keys)).select_related("part_number").order_by("pk")
    goods = {
        row.part_number_id: row
        for row in DangerousGoods.objects.filter(part_number__in={u.part_number_id for u in units})
    }
    found, missing = [], []
    for each in units:
        row = goods.get(each.part_number_id)
        if row is not None:
            found.append(
                Particulars(
                    each.part_number.number,
                    each.serial_number,
                    row.un_number,
                    row.hazard_class,
                    row.quantity,
                    row.packing,
                    row.document,
                )
            )
        elif each.part_number.dangerous_goods:
            missing.append(unit_words(each))
    return found, missing


def transfers_under_way() -> QuerySet[Transfer]:
    """Sent and not received, with what pages and doors show."""
    rows = Transfer.objects.filter(received=None)
    return rows.select_related("unit__part_number", "origin", "station", "recorded_by")


def in_transit(today: date) -> list[InTransit]:
    """What is in transit, the longest first."""
    rows = transfers_under_way().order_by("sent_on", "pk")
    return [InTransit(t, unit_words(t.unit), (today - t.sent_on).days) for t in rows]
