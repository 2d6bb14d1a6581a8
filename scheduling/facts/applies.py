"""Which rule applies to which subject: by programme, kind, part, standard, serial, position, MSN.

Where the fact that would decide is not known (no date of manufacture, no standard recorded), the
rule applies: nothing is silently skipped.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from django.db.models import Q, QuerySet

from equipment.models import ModificationStandard, Unit

from .copying import Ints
from .craft import AircraftFacts
from .rules import Rule, Rules

Bools = npt.NDArray[np.bool_]
SPAN = re.compile(r"^(.*?)(\d+)$")


@dataclass(frozen=True, slots=True)
class UnitTraits:
    """One row per unit. ``programme_id`` -1: on an aircraft that follows none, or gone; -2: on no
    aircraft, so under the programmes that govern spares. ``standard`` -1 is not recorded."""

    ids: Ints
    programme_id: Ints
    part_id: Ints
    kind_id: Ints
    standard: Ints
    manufactured_on: npt.NDArray[np.datetime64]
    position_id: Ints
    aircraft: Ints


SPARE = -2


def within(text: str, spans: Sequence[tuple[str, str]]) -> bool:
    """Whether a serial number or MSN is in one of the ranges, ends included.

    Of a range the letters before the last digits must be the same, and the number between; ends
    that are the same name one. Outer spaces and case do not matter.
    """
    text = text.strip().upper()
    for low, high in ((low.strip().upper(), high.strip().upper()) for low, high in spans):
        if text in (low, high):
            return True
        parts = [SPAN.match(one) for one in (low, text, high)]
        if all(parts) and len({part[1] for part in parts if part}) == 1:
            first, number, last = (int(part[2]) for part in parts if part)
            if first <= number <= last:
                return True
    return False


def units_under(rule: Rule, rules: Rules, who: UnitTraits, craft: AircraftFacts) -> Ints:
    """Rows of ``who`` that the rule applies to."""
    on = who.programme_id == rule.programme_id
    if rule.programme_id in rules.spares_programmes:
        on |= who.programme_id == SPARE
    rows = np.flatnonzero(on)
    for asked, holds in _conditions(rule, rules, who, craft):
        if asked and len(rows):
            rows = rows[holds(rows)]
    return rows


def _conditions(
    rule: Rule, rules: Rules, who: UnitTraits, craft: AircraftFacts
) -> list[tuple[object, Callable[[Ints], Bools]]]:
    """(whether the rule asks it, which of these rows meet it), the cheap ones first."""
    return [
        (rule.part_ids, lambda rows: np.isin(who.part_id[rows], sorted(rule.part_ids))),
        (rule.kind_id, lambda rows: who.kind_id[rows] == rule.kind_id),
        (rule.standards, lambda rows: _standards(rule, rules, who.standard[rows])),
        (
            rule.manufactured_from or rule.manufactured_to,
            lambda rows: _manufactured(rule, who.manufactured_on[rows]),
        ),
        (
            rule.positions,
            lambda rows: np.isin(
                who.position_id[rows],
                craft.positions.ids[craft.positions.with_codes(rule.positions)],
            ),
        ),
        (rule.msns, lambda rows: np.isin(who.aircraft[rows], craft_under_msns(rule, craft))),
        (rule.serials, lambda rows: _serials(rule, who.ids[rows])),
    ]


def _standards(rule: Rule, rules: Rules, standard: Ints) -> Bools:
    listed = [index for index, code in enumerate(rules.standards) if code in rule.standards]
    return np.isin(standard, [-1, *listed])


def _manufactured(rule: Rule, on: npt.NDArray[np.datetime64]) -> Bools:
    holds = np.ones(len(on), bool)
    unknown = np.isnat(on)
    if rule.manufactured_from:
        holds &= unknown | (on >= np.datetime64(rule.manufactured_from))
    if rule.manufactured_to:
        holds &= unknown | (on <= np.datetime64(rule.manufactured_to))
    return holds


def _serials(rule: Rule, unit_ids: Ints) -> Bools:
    """Only of the units that all else leaves: serial numbers are the one text that is fetched."""
    serials = dict(Unit.objects.filter(pk__in=unit_ids.tolist()).values_list("pk", "serial_number"))
    return np.array([within(serials[unit], rule.serials) for unit in unit_ids.tolist()], bool)


def craft_under_msns(rule: Rule, craft: AircraftFacts) -> list[int]:
    """Indices of the aircraft whose MSN is in the rule's ranges."""
    return [index for index, msn in enumerate(craft.msns) if within(msn, rule.msns)]


def craft_under(rule: Rule, craft: AircraftFacts) -> Ints:
    """Indices of the aircraft that a rule about aircraft applies to."""
    found = np.flatnonzero(craft.programme_id == rule.programme_id)
    return found[np.isin(found, craft_under_msns(rule, craft))] if rule.msns else found


def positions_under(rule: Rule, craft: AircraftFacts) -> Ints:
    """Rows of ``craft.positions`` that a rule about positions applies to: those that are active."""
    positions = craft.positions
    holds = positions.is_active & np.isin(positions.aircraft, craft_under(rule, craft))
    if rule.kind_id:
        holds &= positions.kind_id == rule.kind_id
    if rule.positions:
        holds &= positions.with_codes(rule.positions)
    return np.flatnonzero(holds)


def population_rows(rule: Rule, units: QuerySet[Unit]) -> list[int]:
    """Keys of the units of a sample, by kind, part, standard, dates of manufacture and serial numbers,
    wherever they are: a trial counts for it though the unit was scrapped afterwards. A unit whose date
    or standard is not known is not counted: its trial would put off the next."""
    if rule.part_ids:
        units = units.filter(part_number__in=rule.part_ids)
    if rule.kind_id:
        units = units.filter(part_number__kind=rule.kind_id)
    if rule.standards:
        units = units.filter(_of_standards(rule.standards))
    if rule.manufactured_from:
        units = units.filter(manufactured_on__gte=rule.manufactured_from)
    if rule.manufactured_to:
        units = units.filter(manufactured_on__lte=rule.manufactured_to)
    if not rule.serials:
        return list(units.values_list("pk", flat=True))
    serials = units.values_list("pk", "serial_number")
    return [unit for unit, serial in serials if within(serial, rule.serials)]


def _of_standards(codes: Sequence[str]) -> Q:
    """A part without standards is at the plain one, whose code is empty."""
    listed = Q(standard__code__in=codes)
    plain = Q(standard=None) & ~Q(
        part_number__in=ModificationStandard.objects.values("part_number")
    )
    return listed | plain if "" in codes else listed
