"""Which needs ask for a certificate released under both authorities' rules, and which units have none."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from functools import partial

from equipment.models import Unit
from equipment.segregation.facts import without_dual_release
from equipment.segregation.rules_of_aircraft import RuleSets, dual_words
from scheduling.models import ProgrammeOfAircraft

Asking = dict[tuple[int, date], str]


def dual_release_for(needs: Sequence[tuple[int, date]]) -> Asking:
    """Of each aircraft and day of a need the rules, by name, that ask for it; those that ask nothing are
    missing. One question where no rules ever did, else two."""
    rules = RuleSets.read()
    if not rules.ever_dual:
        return {}
    followed = _programmes()
    found = {
        (aircraft, day): dual_words(rules.on(day, aircraft, partial(_on, followed[aircraft], day)))
        for aircraft, day in set(needs)
    }
    return {key: words for key, words in found.items() if words}


def _programmes() -> dict[int, list[tuple[date, str]]]:
    """By aircraft the codes of the programmes that it follows, the latest first."""
    rows = ProgrammeOfAircraft.objects.order_by("-from_on", "-pk")
    found: dict[int, list[tuple[date, str]]] = defaultdict(list)
    for aircraft, from_on, code in rows.values_list("aircraft", "from_on", "programme__code"):
        found[aircraft].append((from_on, code))
    return found


def _on(programmes: Sequence[tuple[date, str]], day: date) -> str:
    return next((code for from_on, code in programmes if from_on <= day), "")


def single_release(unit_ids: Sequence[int]) -> set[int]:
    """Those of the units whose latest certificate is of one authority only. Two questions."""
    kept = {unit: unit for unit in unit_ids}
    for record in Unit.objects.filter(merged_into__in=unit_ids):
        kept[record.pk] = record.merged_into_id or record.pk
    return without_dual_release(kept)
