"""How many spares to own: what the plan needs and what chance needs, joined by kind, with both parts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from fleet.models import Kind

from .float import FamilyFloat, KindChance


@dataclass(frozen=True, slots=True)
class ToOwn:
    """Of one kind: ``planned`` spares are the fewest with which no planned removal of any of its ``families`` waits
    (proven), ``unforeseen`` those that meet the asked share of removals that nobody plans; None where the operator gives
    no rate, so that the sum covers the plan alone. ``have`` are good for at least one planned removal."""

    kind: str
    families: int
    planned: int
    unforeseen: int | None
    have: int

    @property
    def total(self) -> int:
        """Enough for both at once. What serves one may serve the other on a quiet day, so fewer may do; that many do."""
        return self.planned + (self.unforeseen or 0)

    @property
    def missing(self) -> int:
        return max(self.total - self.have, 0)


def to_own(families: Iterable[FamilyFloat], chances: Iterable[KindChance]) -> list[ToOwn]:
    """Each kind that the plan or chance asks spares of: those that lack most first. One question."""
    names = dict(Kind.objects.values_list("code", "name"))
    of_kind: dict[str, list[FamilyFloat]] = defaultdict(list)
    for family in families:
        of_kind[names.get(family.kind, family.kind)].append(family)
    by_chance = {one.kind: one.cover.spares for one in chances}
    found = [
        ToOwn(
            kind,
            len(of_kind[kind]) if kind in of_kind else 0,
            sum(family.spares for family in of_kind.get(kind, ())),
            by_chance.get(kind),
            sum(family.have for family in of_kind.get(kind, ())),
        )
        for kind in {*of_kind, *by_chance}
    ]
    return sorted(found, key=lambda one: (-one.missing, one.kind))
