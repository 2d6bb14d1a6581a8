"""What is owed: units that are another's and cores for exchanges, which go back; and our loans, which come back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Q
from django.urls import reverse

from equipment.common.money import charge_words, charged, money_words
from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Loan, Place, SentBack, Title, Unit

#: So many days before its date what is owed stands on the clerk's day.
AHEAD = 14


@dataclass(frozen=True, slots=True)
class Owed:
    """One thing that must go or come back: ``what`` in words, to or from whom, by when, at what charge and what that has
    come to, where it is now, and the one act that closes it.

    ``days_left`` is below nought once it is late.
    """

    unit_id: int
    unit: str
    what: str
    sort: str
    owner: str
    by_on: date
    charge: str
    counted: Decimal | None
    currency: str
    document: str
    where: str
    station: str
    days_left: int
    act: str
    link: str

    @property
    def is_late(self) -> bool:
        return self.days_left < 0

    @property
    def so_far(self) -> str:
        """What the charge has come to until today; empty where none is agreed."""
        return "" if self.counted is None else money_words(self.counted, self.currency)


def owed(today: date) -> list[Owed]:
    """Everything owed as of a day, the soonest first. A fixed number of questions."""
    found = [*_titles(today), *_loans(today)]
    return sorted(found, key=lambda each: (each.by_on, each.unit_id, each.what))


def owed_soon(every: Iterable[Owed], station: str = "") -> list[Owed]:
    """Of what is owed what is late or due within two weeks; of a station what lies there, and what lies in no store."""
    return [
        each
        for each in every
        if each.days_left <= AHEAD and (not station or each.station in ("", station))
    ]


def totals(every: Iterable[Owed]) -> list[str]:
    """What all charges have come to, by currency."""
    sums: dict[str, Decimal] = {}
    for each in every:
        if each.counted is not None:
            sums[each.currency] = sums.get(each.currency, Decimal(0)) + each.counted
    return [money_words(amount, currency) for currency, amount in sorted(sums.items())]


def _titles(today: date) -> list[Owed]:
    """What titles owe. A later title of the unit settles an earlier one; a unit that has gone to another party is no
    longer owed itself; a core is until one was sent, or a later title says so."""
    parts = (f"unit__place__{part}" for part in PLACE_PARTS)
    rows = Title.objects.filter(from_on__lte=today, unit__merged_into=None)
    latest = rows.order_by("unit", "-from_on", "-pk").distinct("unit").values("pk")
    rows = Title.objects.filter(pk__in=latest).filter(
        Q(return_by__isnull=False) | Q(core_due_on__isnull=False)
    )
    closed = set(SentBack.objects.filter(title__in=rows).values_list("title", "what"))
    found = []
    for row in rows.select_related("unit__part_number", *parts):
        place = row.unit.place
        is_with_us = place is None or place.sort not in (Place.PARTY, Place.GONE)
        if row.return_by is not None and is_with_us and (row.pk, "unit") not in closed:
            found.append(_of_title(row, "the unit itself", row.return_by, today))
        if row.core_due_on is not None and (row.pk, "core") not in closed:
            found.append(_of_title(row, "a core in exchange", row.core_due_on, today))
    return found


def _of_title(row: Title, what: str, by_on: date, today: date) -> Owed:
    is_core = what != "the unit itself"
    name = "stores_send_core" if is_core else "stores_send_back"
    return Owed(
        row.unit_id,
        unit_words(row.unit),
        what,
        row.get_sort_display(),
        row.owner,
        by_on,
        charge_words(row.charge_amount, row.charge_per, row.currency) or row.charge,
        charged(row.charge_amount, row.charge_per, row.from_on, today),
        row.currency,
        row.document,
        place_words(row.unit.place),
        _station(row.unit),
        (by_on - today).days,
        "Send a core" if is_core else "Send it back",
        reverse(f"equipment:{name}", args=[row.pk]),
    )


def _loans(today: date) -> list[Owed]:
    """Our own units that others have, until they are recorded back."""
    rows = Loan.objects.filter(ended=None).select_related("unit__part_number", "station")
    return [
        Owed(
            row.unit_id,
            unit_words(row.unit),
            "our unit, lent out",
            "lent",
            row.party,
            row.return_by,
            charge_words(row.charge_amount, row.charge_per, row.currency),
            charged(row.charge_amount, row.charge_per, row.lent_on, today),
            row.currency,
            row.agreement,
            f"with {row.party}",
            row.station.code,
            (row.return_by - today).days,
            "Record it back",
            reverse("equipment:stores_loan", args=[row.pk]),
        )
        for row in rows
    ]


def _station(unit: Unit) -> str:
    """The station of the store that a unit lies in; empty where it lies in none."""
    place = unit.place
    is_in_store = place is not None and place.sort in (Place.STORE, Place.QUARANTINE)
    return place.station.code if is_in_store and place is not None and place.station else ""
