"""Supplies: units in stores, units at the shop, and what planned removals will release."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import NamedTuple

from equipment.ledger.nesting import INSIDE_NOW
from equipment.models import Place, Title
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import UnitUse, asks_decision, why_not_use
from fleet.models import Aircraft
from scheduling.due.uncovered import uncovered
from scheduling.matching.facts.facts import NO_LIMIT, Supply
from scheduling.matching.facts.lasting import DAY_SECONDS

from .decisions import Decisions
from .lives import Back, Life, Lives, life_after_shop, life_on_shelf, lives_of
from .needs import NeedFact, Rules
from .papers import single_release
from .parts import Parts
from .reading import rows
from .shops import AtShop, at_shop, home_station, learned_turns

SPARES = """
SELECT u.id, u.part_number_id, coalesce(m.code, ''), u.serial_number, p.sort, coalesce(s.code, ''),
       u.quantity, pn.is_lot
FROM equipment_unit u JOIN equipment_place p ON p.id = u.place_id
JOIN equipment_partnumber pn ON pn.id = u.part_number_id
LEFT JOIN fleet_station s ON s.id = p.station_id
LEFT JOIN equipment_modificationstandard m ON m.id = u.standard_id
WHERE u.merged_into_id IS NULL AND u.quantity > 0 AND p.sort IN ('store', 'quarantine', 'shop')
ORDER BY u.id
"""
# Units of which something inside, at any depth, is of these parts.
CONTAINING = f"""{INSIDE_NOW}
SELECT DISTINCT i.root FROM inside i JOIN equipment_unit u ON u.id = i.id
WHERE u.part_number_id = ANY(%(parts)s::bigint[])
"""
#: What the stores say that the matching says too, need by need.
OF_A_NEED = {"reserved_elsewhere", "unit_of_another_owner", "unit_expired", "part_does_not_fit"}


class SpareRow(NamedTuple):
    unit_id: int
    part_id: int
    standard: str
    serial: str
    sort: str
    station: str
    pieces: int = 1
    is_lot: bool = False


class RootRow(NamedTuple):
    unit_id: int


class OwnerRow(NamedTuple):
    """Whose a unit is, which aircraft may have it (None: any), and until when we may."""

    owner: str = ""
    only_msns: frozenset[str] | None = None
    return_by: date = NO_LIMIT


@dataclass(frozen=True, slots=True)
class SupplyFact:
    """A supply with its unit, and what the stores say against using it at all."""

    supply: Supply
    unit_id: int
    kind: str
    said: tuple[tuple[str, str], ...] = ()
    is_lot: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """What every supply is made from."""

    parts: Parts
    rules: Rules
    turns: dict[int, int]
    owners: dict[int, OwnerRow]
    decisions: Decisions
    lives: Lives
    as_of: date
    dangerous: frozenset[int]
    single: set[int]

    def turn_days(self, part_id: int) -> int:
        """As learned from the shop's own returns of the part, else by the rule of its kind."""
        return self.turns.get(part_id) or self.rules.turn_days(self.parts.kind_of[part_id])

    def kind(self, part_id: int) -> str:
        return self.rules.kinds[self.parts.kind_of[part_id]][0]

    def reserved_for(self, unit_id: int) -> str | None:
        aside = self.decisions.set_aside.get(unit_id)
        return (aside.need_key or aside.words) if aside else None


def supplies_of(
    needs: Sequence[NeedFact],
    known_of: tuple[Parts, Rules, Decisions],
    *,
    at: datetime,
    as_of: date,
) -> list[SupplyFact]:
    """Every unit that may cover a need, good or not. A fixed number of questions for any number."""
    parts, rules, decisions = known_of
    spares = rows(SpareRow, SPARES, {})
    # Several pieces that come off are several needs, and one lot that comes back.
    coming = [fact for fact in needs if not fact.removal.ends_life and fact.piece < 2]
    units = [row.unit_id for row in spares]
    every = [*units, *(fact.row.unit_id for fact in coming)]
    owners, lives = _owners(every, as_of), lives_of(every, rules.measures, as_of)
    dangerous = _dangerous(every, parts)
    single = single_release(units) if any(fact.need.dual_release for fact in needs) else set()
    turns = learned_turns()
    known = Known(parts, rules, turns, owners, decisions, lives, as_of, dangerous, single)
    uses = uses_of(units, Asked(on=as_of, at=at, with_expired=False))
    for unit, words in uncovered(units, as_of).items():
        uses[unit] = replace(uses[unit], unknown=(words,))
    turn_of = {
        row.unit_id: known.turn_days(row.part_id) for row in spares if row.sort == Place.SHOP
    }
    shops = at_shop(turn_of, turn_of, as_of)
    return [
        *(
            _at_shop(row, shops[row.unit_id], uses[row.unit_id], known)
            if row.sort == Place.SHOP
            else _in_store(row, uses[row.unit_id], known, as_of)
            for row in spares
        ),
        *(_released(fact, known) for fact in coming),
    ]


def _in_store(row: SpareRow, use: UnitUse, known: Known, as_of: date) -> SupplyFact:
    life = life_on_shelf(known.lives, row.unit_id)
    supply = _supply(
        row,
        known,
        station=row.station or home_station(),
        free_from=as_of,
        lasts_until=life.lasts_until,
        left=life.left,
        shelf_until=life.shelf_until,
        has_certificate=use.has_certificate,
        is_serviceable=life.may_install and not use.unserviceable,
        is_quarantined=use.is_quarantined or bool(use.holds),
        needs_decision=bool(asks_decision(use)),
        has_dual_release=row.unit_id not in known.single,
    )
    against = [*why_not_use(use), *asks_decision(use)]
    said = [(one.code, one.message) for one in against if one.code not in OF_A_NEED]
    return SupplyFact(supply, row.unit_id, known.kind(row.part_id), tuple(said), row.is_lot)


def _at_shop(row: SpareRow, shop: AtShop, use: UnitUse, known: Known) -> SupplyFact:
    """Expected serviceable and with its papers; a doubt that holds it is not the shop's to clear."""
    back = shop.back_on
    life = (
        life_after_shop(known.lives, row.unit_id, Back(back, shop.works))
        if back
        else Life(NO_LIMIT)
    )
    supply = _supply(
        row,
        known,
        station=shop.station,
        free_from=back,
        lasts_until=life.lasts_until,
        left=life.left,
        is_quarantined=bool(use.holds),
        source="shop",
        turn_days=shop.turn_days,
        hurry_days=known.rules.hurry_days(known.parts.kind_of[row.part_id]),
    )
    said = [(one.code, one.message) for one in why_not_use(use) if one.code == "unit_on_hold"]
    return SupplyFact(supply, row.unit_id, known.kind(row.part_id), tuple(said), row.is_lot)


def _released(fact: NeedFact, known: Known) -> SupplyFact:
    """What a planned removal releases, after the shop's turn time, at the station where it comes off."""
    row = fact.row
    turn = max(known.turn_days(row.part_id), 1)
    back = fact.need.on + timedelta(days=turn)
    used = {
        rate.measure: rate.gain * (fact.need.on - known.as_of).days * DAY_SECONDS // rate.seconds
        for rate in fact.need.rates
    }
    life = life_after_shop(known.lives, row.unit_id, Back(back, used=used))
    spare = SpareRow(row.unit_id, row.part_id, row.standard, row.serial, Place.SHOP, "", row.pieces)
    supply = _supply(
        spare,
        known,
        station=fact.need.station,
        free_from=back,
        lasts_until=life.lasts_until,
        left=life.left,
        source="removal",
        turn_days=turn,
        hurry_days=known.rules.hurry_days(known.parts.kind_of[row.part_id]),
    )
    is_lot = row.pieces > 1
    return SupplyFact(supply, row.unit_id, known.kind(row.part_id), is_lot=is_lot)


def _supply(row: SpareRow, known: Known, **more: object) -> Supply:
    owner = known.owners.get(row.unit_id, OwnerRow())
    part = known.parts.words[row.part_id]
    facts = {
        "key": str(row.unit_id),
        "unit": f"{part} S/N {row.serial}",
        "part": part,
        "standard": row.standard,
        "reserved_for": known.reserved_for(row.unit_id),
        "owner": owner.owner,
        "only_msns": owner.only_msns,
        "return_by": owner.return_by,
        "is_dangerous": row.unit_id in known.dangerous,
        "quantity": row.pieces,
        **more,
    }
    return Supply(**facts)  # type: ignore[arg-type]


def _dangerous(unit_ids: Sequence[int], parts: Parts) -> frozenset[int]:
    """Units that are dangerous goods, or contain some: freight takes a unit as it is. One question."""
    values = {"units": sorted(set(unit_ids)), "parts": sorted(parts.dangerous)}
    return frozenset(row.unit_id for row in rows(RootRow, CONTAINING, values))


def _owners(unit_ids: Sequence[int], on: date) -> dict[int, OwnerRow]:
    """Titles as of a day. A restriction allows the aircraft that it names and no other. Two questions."""
    craft = list(Aircraft.objects.values_list("registration", "msn"))
    titles = Title.objects.filter(unit__in=unit_ids, from_on__lte=on).order_by("from_on", "pk")
    return {
        title.unit_id: OwnerRow(
            title.owner, _allowed(title.restriction, craft), title.return_by or NO_LIMIT
        )
        for title in titles
    }


def _allowed(restriction: str, craft: Sequence[tuple[str, str]]) -> frozenset[str] | None:
    if not restriction:
        return None
    named = {word.upper() for word in re.findall(r"[\w-]+", restriction)}
    return frozenset(msn for reg, msn in craft if {reg.upper(), msn.upper()} & named)
