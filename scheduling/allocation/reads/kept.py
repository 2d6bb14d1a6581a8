"""The kept proposal read: its needs, the facts around one of them, whether it is of now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Exists, OuterRef, Q, QuerySet

from scheduling.allocation.facts.codec import need_read, pairs_read, supply_read, way_read
from scheduling.allocation.facts.stamps import stamp_of
from scheduling.matching.facts.facts import Facts, Need, Supply
from scheduling.models import OfferedUnit, PairingRuling, ProposalRun, ProposedNeed

#: A need's state in the proposal: code and word.
STATES = (("short", "short"), ("proposed", "proposed"), ("set_aside", "set aside"))


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which needs are asked for; empty: all."""

    station: str = ""
    kind: str = ""
    state: str = ""
    text: str = ""


def current() -> ProposalRun | None:
    """The proposal that counts: the latest, which is whole."""
    return ProposalRun.objects.order_by("-pk").first()


def is_stale(run: ProposalRun, day: date) -> bool:
    """Whether facts differ from those that the proposal was made from, or its day is gone by."""
    return run.stamp != stamp_of(day)


def needs_listed(run: ProposalRun, wanted: Wanted) -> QuerySet[ProposedNeed]:
    """The needs of a proposal by day, then by name."""
    rows = ProposedNeed.objects.filter(run=run)
    if wanted.station:
        rows = rows.filter(station=wanted.station)
    if wanted.kind:
        rows = rows.filter(kind=wanted.kind)
    if wanted.text:
        text = wanted.text
        rows = rows.filter(
            Q(key__icontains=text) | Q(off_words__icontains=text) | Q(unit_words__icontains=text)
        )
    if wanted.state == "short":
        rows = rows.filter(unit=None)
    elif wanted.state == "set_aside":
        rows = rows.filter(is_accepted())
    elif wanted.state == "proposed":
        rows = rows.exclude(unit=None).exclude(is_accepted())
    return rows.order_by("on", "key")


def is_accepted() -> Exists:
    """Whether a unit is set aside for a need."""
    return Exists(standing().filter(unit_off=OuterRef("unit_off"), piece=OuterRef("piece")))


def standing() -> QuerySet[PairingRuling]:
    """Acceptances whose unit is still set aside."""
    return PairingRuling.objects.filter(sort=PairingRuling.ACCEPT, reservation__ended_at=None)


def accepted_of(needs: Iterable[ProposedNeed]) -> dict[tuple[int, int], PairingRuling]:
    """What stands accepted, by the unit that comes off and which of its pieces. One question."""
    rows = standing().filter(unit_off__in=[need.unit_off_id for need in needs])
    rows = rows.select_related("ruled_by", "reservation", "unit__part_number").order_by("pk")
    return {(row.unit_off_id, row.piece): row for row in rows}


def need_of(run: ProposalRun, off: str) -> ProposedNeed | None:
    """The need that an address names by what comes off; None where there is none."""
    unit, _, piece = off.partition("-")
    if not all(_is_number(text) for text in (unit, piece or "0")):
        return None
    rows = ProposedNeed.objects.filter(run=run, unit_off=int(unit)).select_related("run")
    # Without a piece the first of several.
    return (rows.filter(piece=int(piece)) if piece else rows).order_by("piece").first()


def _is_number(text: str) -> bool:
    return text.isdecimal() and text.isascii() and len(text) < 19


@dataclass(frozen=True, slots=True)
class NeedContext:
    """One need with every unit of a part that may go there, and the facts that judge them."""

    row: ProposedNeed
    need: Need
    offers: dict[str, OfferedUnit]
    supplies: dict[str, Supply]
    facts: Facts

    def key_of(self, unit_id: int) -> str | None:
        """The unit's supply that is judged for the need: of a lot the pieces proposed for it, else those that would do and
        are nobody's, else any. None of a unit that is no supply."""
        keys = [key for key, offer in self.offers.items() if offer.unit_id == unit_id]
        ours = [key for key in keys if self.offers[key].for_key == self.need.key]
        fit = [key for key in keys if self.supplies[key].quantity >= self.need.quantity]
        free = [key for key in fit if not self.offers[key].for_key and not self._is_held(key)]
        return next(iter([*ours, *free, *fit, *keys]), None)

    def one_of_each(self) -> list[str]:
        """One supply of each unit."""
        units = dict.fromkeys(offer.unit_id for offer in self.offers.values())
        return [key for unit in units if (key := self.key_of(unit)) is not None]

    def _is_held(self, key: str) -> bool:
        return any(key == supply for _, supply in self.facts.locked)


def around(row: ProposedNeed, extra_units: Iterable[int] = ()) -> NeedContext:
    """The facts around one need, its own lock left out, so that every unit can be judged for it.

    ``extra_units`` are units asked about, of whatever part. Two questions.
    """
    need = need_read(row.facts)
    parts = {fit.part for fit in need.fits}
    asked = Q(part__in=parts) | Q(unit__in=list(extra_units))
    offers = {o.key: o for o in OfferedUnit.objects.filter(asked, run=row.run_id).order_by("pk")}
    supplies = {key: supply_read(offer.facts) for key, offer in offers.items()}
    facts = facts_of(row.run, (need,), supplies.values())
    locked = tuple(pair for pair in facts.locked if pair[0] != need.key)
    return NeedContext(row, need, offers, supplies, replace(facts, locked=locked))


def group_facts(row: ProposedNeed) -> tuple[Facts, dict[str, str]]:
    """The facts of all that hangs together with a need by possible pairs, and each unit's words.

    No decision about the need reaches further. Two questions.
    """
    needs = ProposedNeed.objects.filter(run=row.run_id, group=row.group).order_by("key")
    offers = OfferedUnit.objects.filter(run=row.run_id, group=row.group).order_by("unit")
    units = list(offers)
    facts = facts_of(
        row.run,
        [need_read(one.facts) for one in needs],
        [supply_read(one.facts) for one in units],
    )
    return facts, {one.key: one.words for one in units}


def facts_of(run: ProposalRun, needs: Iterable[Need], supplies: Iterable[Supply]) -> Facts:
    return Facts(
        needs=tuple(needs),
        supplies=tuple(supplies),
        ways=tuple(way_read(way) for way in run.ways),
        locked=pairs_read(run.locked),
        forbidden=pairs_read(run.forbidden),
    )
