"""The stock list: every unit in a store or quarantine, where it lies and whether it may be used."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime

from equipment.models import Place, Unit
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse, asks_decision, why_not_use
from fleet.acts.fields import Choices, choice, code_of, fields_of, text
from fleet.models import Kind, Station

from .day_sections import stations

#: The state of a unit in stock, the first that is true.
STATES = (
    ("quarantined", "in quarantine"),
    ("held", "held"),
    ("unserviceable", "unserviceable"),
    ("expired", "past a limit"),
    ("no_papers", "without a certificate"),
    ("incomplete", "not complete"),
    ("unknown", "a limit unknown"),
    ("restricted", "restricted by its owner"),
    ("issued", "issued"),
    ("reserved", "set aside"),
    ("available", "available"),
)
WORDS = dict(STATES)
MOST_ROWS = 2000


@dataclass(frozen=True, slots=True)
class StockRow:
    """One unit in stock: ``state`` and its words, and every reason why it may not be used."""

    unit_id: int
    part_number: str
    serial_number: str
    description: str
    kind: str
    quantity: int
    station: str
    place: str
    bin_name: str
    state: str
    state_words: str
    reasons: tuple[str, ...]

    @property
    def is_available(self) -> bool:
        return self.state == "available"


def _kinds() -> Choices:
    return list(Kind.objects.order_by("name").values_list("code", "name"))


@dataclass(frozen=True, slots=True)
class StockAsked:
    """Which stock: a station's, a kind's, a part's, a bin's; each empty where it does not matter."""

    station: str = code_of("Station", Station, "code", "station", 8, choices=stations)
    kind: str = code_of("Kind", Kind, "code", "kind", 24, choices=_kinds)
    part_number: str = text("Part number", 40, default="")
    bin_name: str = text("Bin", 80, default="", name="bin")
    state: str = choice("State", [("", "any"), *STATES], default="", what="state")


#: What each filter means, of a unit; the state is reckoned, so that it is looked at last.
MEANS = {
    "station": "place__station__code",
    "kind": "part_number__kind__code",
    "part_number": "part_number__number__iexact",
    "bin_name": "place__name",
}


def stock(
    asked: StockAsked, *, on: date, at: datetime, most: int | None = MOST_ROWS
) -> list[StockRow]:
    """The stock in the order of station, part and serial number; a fixed number of questions. ``most``: so many
    units at most; None: all there are."""
    units = Unit.objects.filter(
        place__sort__in=(Place.STORE, Place.QUARANTINE), merged_into=None, quantity__gt=0
    )
    for each in fields_of(StockAsked):
        value = getattr(asked, each.attribute)
        if value and each.attribute != "state":
            units = units.filter(**{MEANS[each.attribute]: value})
    units = units.select_related("part_number__kind", "place__station")
    order = ("place__station__code", "part_number__number", "serial_number", "pk")
    found = list(units.order_by(*order)[:most])
    uses = uses_of([unit.pk for unit in found], Asked(on, at))
    rows = [_row(unit, uses[unit.pk]) for unit in found]
    return [row for row in rows if not asked.state or row.state == asked.state]


def counts(rows: list[StockRow]) -> dict[str, int]:
    """How many (of a lot: its quantity) are in each state, in the order of ``STATES``."""
    found = Counter({state: 0 for state, _ in STATES})
    for row in rows:
        found[row.state] += row.quantity
    return dict(found)


def _row(unit: Unit, use: UnitUse) -> StockRow:
    assert unit.place is not None
    state = state_of(use)
    return StockRow(
        unit.pk,
        unit.part_number.number,
        unit.serial_number,
        unit.part_number.description,
        unit.part_number.kind.code,
        unit.quantity,
        unit.place.station.code if unit.place.station else "",
        unit.place.get_sort_display(),
        unit.place.name,
        state,
        WORDS[state],
        tuple(each.message for each in (*why_not_use(use), *asks_decision(use))),
    )


def state_of(use: UnitUse) -> str:
    """The gravest state that is true of a unit in stock."""
    found = (
        ("quarantined", use.is_quarantined),
        ("held", bool(use.holds)),
        ("unserviceable", bool(use.unserviceable)),
        ("expired", bool(use.expired)),
        ("no_papers", not use.has_certificate),
        ("incomplete", bool(use.empty_inside)),
        ("unknown", bool(use.unknown)),
        ("restricted", bool(use.foreign)),
        ("issued", bool(use.issued_to)),
        ("reserved", bool(use.reserved_for)),
    )
    return next((state for state, is_true in found if is_true), "available")
