"""What to order and why: of each family of parts the least stock, the point at which more are ordered, and what lacks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from equipment.buying.reads import open_by_part
from equipment.models import StoresRule
from fleet.words.said import count_words, day_words, days_words
from scheduling.matching.solving.unforeseen import mean_away, spares_for
from scheduling.models import ProposalRun, ProposedNeed

from .float import FamilyFloat, floats_shown

COLUMNS = (
    "Family",
    "Parts",
    "Kind",
    "Removals planned in a year",
    "Removals nobody plans in a year",
    "Turn time in days",
    "Least stock",
    "Reorder point",
    "Good",
    "Asked for or ordered",
    "To order",
    "Why",
)


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One family of parts. ``least`` is the proven float: the fewest spares with which no planned removal waits while a
    shop has its turn time; ``reorder_at`` has besides what removals that nobody plans ask for; ``good`` are in stores
    and at shops and may cover a need; ``coming`` are asked for or ordered. ``why`` says it in words."""

    family: str
    parts: tuple[str, ...]
    kind: str
    planned: int
    unforeseen_a_year: float
    turn_days: int
    least: int
    reorder_at: int
    good: int
    coming: int
    why: str

    @property
    def to_order(self) -> int:
        return max(self.reorder_at - self.good - self.coming, 0)

    @property
    def cells(self) -> list[str | int | float]:
        """In the order of ``COLUMNS``."""
        return [
            self.family,
            ", ".join(self.parts),
            self.kind,
            self.planned,
            round(self.unforeseen_a_year, 2),
            self.turn_days,
            self.least,
            self.reorder_at,
            self.good,
            self.coming,
            self.to_order,
            self.why,
        ]


def to_buy(run: ProposalRun, today: date) -> list[ToBuy]:
    """Each family of the proposal, what lacks most first. A fixed number of questions."""
    families = floats_shown(run)
    parts = _parts(run)
    rules = {rule.kind.code: rule for rule in StoresRule.objects.select_related("kind")}
    coming = open_by_part(today)
    needs: dict[str, int] = defaultdict(int)
    for family in families:
        needs[family.kind] += family.needs
    found = [
        _one(family, parts[family.name], rules.get(family.kind), needs[family.kind], coming)
        for family in families
    ]
    return sorted(found, key=lambda one: (-one.to_order, one.family))


def _parts(run: ProposalRun) -> dict[str, tuple[str, ...]]:
    """The parts that each family takes."""
    found: dict[str, set[str]] = defaultdict(set)
    for family, off, facts in ProposedNeed.objects.filter(run=run).values_list(
        "family", "off_part", "facts"
    ):
        found[family] |= {fit["part"] for fit in facts["fits"]} or {off}
    return {family: tuple(sorted(several)) for family, several in found.items()}


def _one(
    family: FamilyFloat,
    parts: Sequence[str],
    rule: StoresRule | None,
    of_kind: int,
    coming: Mapping[str, int],
) -> ToBuy:
    turn = (rule or StoresRule()).turn_days
    # Removals that nobody plans are told for a kind: each family has its share by what is planned of it.
    rate = float(rule.unplanned_a_year) * family.needs / of_kind if rule else 0.0
    fill = float(rule.fill_rate) if rule else 0.0
    by_chance = spares_for(mean_away(rate, turn), fill).spares if rate and 0 <= fill < 1 else 0
    ordered = sum(coming.get(part, 0) for part in parts)
    at = family.spares + by_chance
    words = _words(family, turn, rate, by_chance, ordered)
    return ToBuy(
        family.name,
        tuple(parts),
        family.kind,
        family.needs,
        rate,
        turn,
        family.spares,
        at,
        family.have,
        ordered,
        words,
    )


def _words(family: FamilyFloat, turn: int, rate: float, by_chance: int, ordered: int) -> str:
    day = f" (all out on {day_words(family.on)})" if family.on else ""
    said = [
        f"{count_words(family.needs)} removal{'s' if family.needs != 1 else ''} planned, {count_words(family.spares)} out"
        f" at one time{day}",
        f"{count_words(by_chance)} more for {rate:.1f} removals a year that nobody plans, the shop taking {days_words(turn)}"
        if by_chance
        else "no rate of removals that nobody plans is entered",
        f"{count_words(family.have)} good",
        f"{count_words(ordered)} asked for or ordered" if ordered else "",
    ]
    return "; ".join(part for part in said if part) + "."
