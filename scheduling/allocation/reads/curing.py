"""What would cure each need that is short, solved anew with everything that hangs together with it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from equipment.models import Alternate
from scheduling.allocation.facts.codec import need_read, supply_read
from scheduling.matching.facts.columns import columns_of
from scheduling.matching.facts.facts import Facts, Need, Supply
from scheduling.matching.solving.proposal import Proposal, propose
from scheduling.matching.telling.anew import MOST, cures_for
from scheduling.matching.telling.cures import Asked, Cure
from scheduling.models import DueItem, OfferedUnit, ProposalRun, ProposedNeed

from .kept import facts_of

Alternates = frozenset[tuple[str, str]]


def short_needs(run: ProposalRun, most: int = MOST) -> list[tuple[ProposedNeed, list[Cure]]]:
    """Every need that is short, by day, with at most so many cures. Four questions at most."""
    rows = list(ProposedNeed.objects.filter(run=run).order_by("on", "key"))
    short = [row for row in rows if row.unit_id is None]
    if not short or not most:
        return [(row, []) for row in short]
    around = _Around.of(run, rows, short)
    return [(row, around.cures(row, most)) for row in short]


@dataclass(frozen=True, slots=True)
class _Around:
    """All needs and offers of a proposal, and what moves together with which check."""

    run: ProposalRun
    rows: Sequence[ProposedNeed]
    needs: dict[str, Need]
    offers: dict[str, list[OfferedUnit]]
    takes: dict[str, set[str]]
    at_check: dict[tuple[int, date], list[ProposedNeed]]
    due: dict[int, list[date]]
    alternates: Alternates
    solved: dict[frozenset[str], tuple[Facts, Proposal]]

    @classmethod
    def of(
        cls, run: ProposalRun, rows: Sequence[ProposedNeed], short: Sequence[ProposedNeed]
    ) -> _Around:
        needs = {row.key: need_read(row.facts) for row in rows}
        takes: dict[str, set[str]] = defaultdict(set)
        at_check: dict[tuple[int, date], list[ProposedNeed]] = defaultdict(list)
        for row in rows:
            takes[row.family] |= {fit.part for fit in needs[row.key].fits}
            at_check[row.aircraft_id, row.on].append(row)
        offers: dict[str, list[OfferedUnit]] = defaultdict(list)
        for offer in OfferedUnit.objects.filter(run=run).order_by("unit"):
            offers[offer.part].append(offer)
        return cls(run, rows, needs, offers, takes, at_check, _due(short), _alternates(), {})

    def cures(self, row: ProposedNeed, most: int) -> list[Cure]:
        together = self._together(row)
        facts, before = self._solved({one.family for one in together})
        parts = {fit.part for fit in self.needs[row.key].fits}
        parts |= {other for part, other in self.alternates if part in parts}
        free = [
            _supply(offer)
            for part in sorted(parts)
            for offer in self.offers.get(part, ())
            if not offer.for_key
        ]
        asked = Asked(
            latest_on={row.key: self._latest(row, together)},
            together={row.key: tuple(one.key for one in together)},
            released={one.key: str(one.unit_off_id) for one in together},
            alternates=self.alternates,
        )
        need = self.needs[row.key]
        return cures_for(need, facts, free, asked, before=before, most=most)

    def _together(self, row: ProposedNeed) -> list[ProposedNeed]:
        """What moves with it: all that comes off at the same check; of a ground time of its own what has the same day."""
        return self.at_check[row.aircraft_id, row.on]

    def _latest(self, row: ProposedNeed, together: Iterable[ProposedNeed]) -> date:
        """The last day to which the check may move: of all that comes off there, and of all else that is due by then."""
        later = [day for day in self.due.get(row.aircraft_id, ()) if day >= row.on]
        return min([*(one.latest_on for one in together), *later])

    def _solved(self, families: set[str]) -> tuple[Facts, Proposal]:
        """The facts of these families and of those whose parts may stand for theirs, and their proposal."""
        parts = {part for family in families for part in self.takes[family]}
        parts |= {other for part, other in self.alternates if part in parts}
        reached = frozenset(name for name, takes in self.takes.items() if takes & parts)
        if reached not in self.solved:
            parts |= {part for family in reached for part in self.takes[family]}
            needs = [self.needs[row.key] for row in self.rows if row.family in reached]
            units = [_supply(one) for part in sorted(parts) for one in self.offers.get(part, ())]
            facts = facts_of(self.run, needs, units)
            self.solved[reached] = facts, propose(columns_of(facts))
        return self.solved[reached]


def _supply(offer: OfferedUnit) -> Supply:
    return supply_read(offer.facts)


def _due(short: Iterable[ProposedNeed]) -> dict[int, list[date]]:
    """Of each aircraft with something short every day by which something on it is due. One question."""
    craft = {row.aircraft_id: row.on for row in short}
    found: dict[int, list[date]] = defaultdict(list)
    rows = DueItem.objects.filter(aircraft__in=craft, due_on__gte=min(row.on for row in short))
    for aircraft, day in rows.values_list("aircraft", "due_on").distinct():
        if day is not None:
            found[aircraft].append(day)
    return found


def _alternates() -> frozenset[tuple[str, str]]:
    """Parts that stand for another one way: whether the other way would do is for engineering to approve."""
    rows = Alternate.objects.values_list("part_number__number", "alternate__number")
    return frozenset(pair for one, other in rows for pair in ((one, other), (other, one)))
