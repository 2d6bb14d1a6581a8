"""What the allocation page shows: the needs of a filter, and one need with all that could cover it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet

from scheduling.matching.facts.facts import Need
from scheduling.models import PairingRuling, ProposalRun, ProposedNeed

from .judged import Effect, Judged, effect_of, judged, ranked
from .kept import STATES, NeedContext, Wanted, accepted_of, around, is_accepted, needs_listed

PAGE_ROWS = 60
MOST_ASKED = 5


@dataclass(frozen=True, slots=True)
class NeedShown:
    """A line of the list: the need, its state, and who accepted what for it."""

    row: ProposedNeed
    state: str
    accepted: PairingRuling | None

    @property
    def state_word(self) -> str:
        return dict(STATES)[self.state]

    @property
    def unit_words(self) -> str:
        """What is set aside, else what is proposed; empty where it is short."""
        if self.accepted is not None:
            return f"{self.accepted.unit.part_number} S/N {self.accepted.unit.serial_number}"
        return self.row.unit_words


@dataclass(frozen=True, slots=True)
class ListShown:
    """A page of needs, how many there are in each state, and where the list goes on."""

    needs: list[NeedShown]
    counts: dict[str, int]
    page: int
    has_more: bool

    @property
    def total(self) -> int:
        return sum(self.counts.values())


def needs_shown(run: ProposalRun, wanted: Wanted, page: int) -> ListShown:
    """A page of the list. A fixed number of questions."""
    rows = needs_listed(run, wanted)
    begin = (page - 1) * PAGE_ROWS
    found = list(rows[begin : begin + PAGE_ROWS + 1])
    shown = found[:PAGE_ROWS]
    return ListShown(states_of(shown), _counts(run, wanted), page, len(found) > PAGE_ROWS)


def states_of(rows: Sequence[ProposedNeed]) -> list[NeedShown]:
    accepted = accepted_of(rows)
    return [_shown(row, accepted.get(row.came)) for row in rows]


def _shown(row: ProposedNeed, ruling: PairingRuling | None) -> NeedShown:
    state = "set_aside" if ruling else "proposed" if row.unit_id else "short"
    return NeedShown(row, state, ruling)


def _counts(run: ProposalRun, wanted: Wanted) -> dict[str, int]:
    every: QuerySet[ProposedNeed] = needs_listed(
        run, Wanted(wanted.station, wanted.kind, text=wanted.text)
    )
    aside, rest = every.filter(is_accepted()), every.exclude(is_accepted())
    short = rest.filter(unit=None).count()
    return {"short": short, "proposed": rest.count() - short, "set_aside": aside.count()}


@dataclass(frozen=True, slots=True)
class Choice:
    """The unit that is looked at for a need, and what each decision about it would change."""

    unit: Judged
    if_accepted: Effect | None
    if_forbidden: Effect | None

    @property
    def is_in_store(self) -> bool:
        return self.unit.offer.source == "store"


@dataclass(frozen=True, slots=True)
class NeedTold:
    """One need in full: what is chosen for it, what else could be, what cannot and why, what was decided."""

    shown: NeedShown
    need: Need
    choice: Choice | None
    able: list[Judged]
    unable: list[Judged]
    asked: list[Judged]
    rulings: list[PairingRuling]
    at: NeedContext

    @property
    def until(self) -> date | None:
        """The day that a unit must reach; None where no later opportunity is planned."""
        return self.need.until if self.need.until > self.need.on else None


def need_told(row: ProposedNeed, take: int | None, asked: Sequence[int]) -> NeedTold:
    """A need with a unit to look at (``take``; else what is set aside, proposed, or the cheapest), and
    units asked about by name."""
    [shown] = states_of([row])
    extra = [*asked, *([take] if take else []), *([row.unit_id] if row.unit_id else [])]
    at = around(row, extra)
    able, unable = ranked(at)
    rulings = list(
        PairingRuling.objects.filter(unit_off=row.unit_off_id, piece=row.piece)
        .select_related("unit__part_number", "ruled_by", "reservation")
        .order_by("-pk")
    )
    return NeedTold(
        shown=shown,
        need=at.need,
        choice=_choice(row, shown, at, take, able),
        able=able,
        unable=unable,
        asked=[judged(at, key) for unit in asked if (key := at.key_of(unit)) is not None],
        rulings=_in_force(rulings),
        at=at,
    )


def _choice(
    row: ProposedNeed, shown: NeedShown, at: NeedContext, take: int | None, able: list[Judged]
) -> Choice | None:
    if shown.accepted is not None and not take:
        return None
    unit = take or row.unit_id or (able[0].offer.unit_id if able else None)
    key = at.key_of(unit) if unit is not None else None
    if key is None:
        return None
    found = judged(at, key)
    if found.cost is None:
        return Choice(found, None, None)
    accepted = effect_of(row, found.key, PairingRuling.ACCEPT)
    return Choice(found, accepted, effect_of(row, found.key, PairingRuling.FORBID))


def _in_force(rulings: list[PairingRuling]) -> list[PairingRuling]:
    """Locks and prohibitions that hold, each pair's latest, and what stands accepted."""
    seen: set[int] = set()
    found = []
    for ruling in rulings:
        if ruling.sort == PairingRuling.ACCEPT:
            if ruling.reservation is not None and ruling.reservation.ended_at is None:
                found.append(ruling)
            continue
        if ruling.unit_id not in seen and ruling.sort != PairingRuling.FREE:
            found.append(ruling)
        seen.add(ruling.unit_id)
    return found
