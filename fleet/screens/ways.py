"""The ways in of each desk, in the order of that person's day. The first is where the person begins."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from fleet.house.desks import (
    ADMINISTRATOR,
    AUDITOR,
    CERTIFYING,
    CONTROLLER,
    INSPECTOR,
    STORES,
    TECHNICIAN,
)


@dataclass(frozen=True, slots=True)
class Way:
    """A page by its name, and what it is called. ``within``: how the names of the pages begin that belong
    to it. ``beside``: what it is called where somebody with several desks has another of that name."""

    page: str
    label: str
    within: tuple[str, ...] = ()
    beside: str = ""

    def is_of(self, page: str) -> bool:
        """Whether a page is this one or belongs to it."""
        return page == self.page or page.startswith(self.within)


TODAY = Way("scheduling:today", "Today")
DUE = Way("scheduling:due_list", "Due", ("scheduling:due_",))
PLAN = Way("scheduling:plan", "Plan", ("scheduling:plan", "scheduling:hangars", "scheduling:draft"))
AIRCRAFT = Way("fleet:aircraft_list", "Aircraft", ("fleet:aircraft",))
UNITS = Way("equipment:unit_list", "Units", ("equipment:unit",))
PARTS = Way("scheduling:allocation", "Parts", ("scheduling:shortage", "scheduling:float"))
SWAPS = Way("equipment:swap_list", "Swaps", ("equipment:swap",))
FINDINGS = Way(
    "equipment:discrepancies",
    "Findings",
    ("equipment:discrepanc", "equipment:open_item", "equipment:walk", "equipment:tools"),
)
RECORDS = Way(
    "scheduling:setting_up",
    "Records",
    (
        "scheduling:limit",
        "scheduling:hours",
        "scheduling:checks",
        "scheduling:enter_",
        "equipment:step_list",
        "equipment:bottle_chart",
        "fleet:load",
    ),
)
MY_WORK = Way("scheduling:my_work", "My work", ("equipment:swap",))
INSPECTIONS = Way("equipment:swap_inspections", "Inspections")
FIND = Way("scheduling:find", "Find")
SCAN = Way("scheduling:find", "Scan")
SCAN_ON_LINE = Way("equipment:swap_start", "Scan", beside="Scan for a swap")
COUNTER = Way("equipment:stores", "Today", beside="Stores")
RECEIVE = Way("equipment:stores_receive", "Receive", ("equipment:stores_receive",))
STOCK = Way("equipment:stores_stock", "Stock", ("equipment:stores_unit",))
SHOPS = Way("equipment:stores_shop", "Shops", ("equipment:stores_order",))
HOLDS = Way("equipment:stores_holds", "Holds", ("equipment:stores_hold",))
LOADS = Way("fleet:loads", "Data loads", ("fleet:load",))
PEOPLE = Way("fleet:people", "People", ("fleet:people",))
MOVING_IN = Way("scheduling:setting_up", "Moving in", RECORDS.within)
TOKENS = Way("api-tokens", "Tokens")

#: Role -> its ways. A person with several desks has the ways of each, in this order.
DESKS: dict[str, tuple[Way, ...]] = {
    CONTROLLER: (TODAY, DUE, PLAN, AIRCRAFT, PARTS, SWAPS, FINDINGS, RECORDS),
    STORES: (COUNTER, SCAN, RECEIVE, STOCK, SHOPS, HOLDS, PARTS),
    CERTIFYING: (MY_WORK, INSPECTIONS, DUE, AIRCRAFT, FIND),
    INSPECTOR: (MY_WORK, INSPECTIONS, AIRCRAFT, FIND),
    TECHNICIAN: (MY_WORK, SCAN_ON_LINE, AIRCRAFT, FIND),
    AUDITOR: (DUE, AIRCRAFT, UNITS, SWAPS, FINDINGS, LOADS),
    ADMINISTRATOR: (MOVING_IN, PEOPLE, LOADS, AIRCRAFT, DUE, TOKENS),
}
#: Whose ways are under the thumb on a phone.
BY_THUMB = frozenset({TECHNICIAN, INSPECTOR, CERTIFYING})


def ways_of(roles: Iterable[str]) -> list[Way]:
    """The ways of all these roles, each page once, no two of one name."""
    held = set(roles)
    found: dict[str, Way] = {}
    labels: set[str] = set()
    for way in (way for role, ways in DESKS.items() if role in held for way in ways):
        if way.page in found:
            continue
        label = way.beside if way.beside and way.label in labels else way.label
        found[way.page] = replace(way, label=label)
        labels.add(label)
    return list(found.values())


def is_by_thumb(roles: Iterable[str]) -> bool:
    """Whether all that a person does is done beside the aircraft."""
    held = set(roles)
    return bool(held) and held <= BY_THUMB
