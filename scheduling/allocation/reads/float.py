"""The float: the fewest spares that a plan needs, with their proof; beside it what chance needs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from equipment.models import StoresRule
from fleet.drawing.time import Mark, Scale, percent
from scheduling.allocation.facts.codec import need_read
from scheduling.matching.facts.facts import NO_LIMIT
from scheduling.matching.solving.chains import Released, fewest_chains, serving_pairs
from scheduling.matching.solving.float_size import float_size
from scheduling.matching.solving.unforeseen import Cover, mean_away, spares_for
from scheduling.models import ProposalRun, ProposedNeed

from .lacking import Lacking, lacking_of
from .removals import KindRecord
from .unlisted import unlisted_families, unlisted_words

#: Beyond so many needs of one family, all released units are taken to serve all later needs.
MOST_CHAINED = 3000


@dataclass(frozen=True, slots=True)
class Out:
    """A need of the proof: out from a day until it is back (None: never), and its bar in percent."""

    key: str
    out: date
    back: date | None
    x: str
    width: str
    end: str
    is_proof: bool = False


@dataclass(frozen=True, slots=True)
class Lane:
    """What one spare serves in turn, as a lane of the chart: its bars, and where it lies (pixels from above)."""

    outs: tuple[Out, ...]
    y: int

    @property
    def middle(self) -> int:
        return self.y + LANE // 2

    @property
    def words(self) -> str:
        return ", then ".join(out.key for out in self.outs)


#: How high a lane of the chart is, what the axis takes, and how many are drawn.
LANE, AXIS, MOST_LANES = 16, 36, 40


@dataclass(frozen=True, slots=True)
class FamilyFloat:
    """``spares`` is the fewest with which no need of the family waits; ``proof`` as many needs, none of
    which can be served by what another of them releases; ``have`` the units in stores and at shops that may
    cover one of its needs; ``lacking`` how many are short, as the shortage says.
    ``on`` is a day on which all of the proof are out, where there is one. ``unlisted`` says where no fits tell hands
    and doors apart."""

    name: str
    kind: str
    needs: int
    spares: int
    have: int
    lacking: int
    proof: list[Out]
    on: date | None
    on_x: str
    chains: list[list[str]]
    months: list[tuple[date, int]]
    unlisted: str = ""
    lanes: tuple[Lane, ...] = ()
    marks: tuple[Mark, ...] = ()

    @property
    def height(self) -> int:
        return AXIS + LANE * len(self.lanes)

    @property
    def more_lanes(self) -> int:
        """How many spares are not drawn."""
        return len(self.chains) - len(self.lanes)

    @property
    def is_by_number(self) -> bool:
        """Whether what is short is what the numbers alone tell."""
        return self.lacking == max(self.spares - self.have, 0)


@dataclass(frozen=True, slots=True)
class KindChance:
    """A kind's unforeseen removals: a rate, a turn time, the fill rate asked for, and what covers it. ``record``:
    what was recorded of such removals; the rate is the record's where the operator states none."""

    kind: str
    removals_a_year: float
    turn_days: int
    fill_rate: float
    mean: float
    cover: Cover
    record: KindRecord | None = None
    is_of_record: bool = False

    @property
    def differs(self) -> str:
        """On which side of what the record allows the stated rate lies; empty inside, or without a record."""
        found = self.record.between if self.record and not self.is_of_record else None
        if found is None:
            return ""
        if self.removals_a_year < found.least:
            return "less than"
        return "more than" if found.most is not None and self.removals_a_year > found.most else ""

    @property
    def fill_percent(self) -> str:
        return f"{self.fill_rate * 100:.1f}"

    @property
    def got_percent(self) -> str:
        return f"{self.cover.fill_rate * 100:.1f}"

    @property
    def ready_percent(self) -> str:
        return f"{self.cover.ready_rate * 100:.1f}"


def floats_shown(run: ProposalRun) -> list[FamilyFloat]:
    """Each family's float, those that lack spares first. Three questions."""
    families: dict[str, list[ProposedNeed]] = defaultdict(list)
    for row in ProposedNeed.objects.filter(run=run).order_by("on", "key"):
        families[row.family].append(row)
    lacking = lacking_of(run, [row for rows in families.values() for row in rows])
    unlisted = unlisted_families(run)
    found = [
        _family(name, rows, run, lacking[name], unlisted_words(unlisted.get(name, [])))
        for name, rows in families.items()
    ]
    return sorted(found, key=lambda one: (-one.lacking, one.name))


def _family(
    name: str,
    rows: list[ProposedNeed],
    run: ProposalRun,
    lacking: Lacking,
    unlisted: str,
) -> FamilyFloat:
    never = run.until_on + timedelta(days=1)
    outs = [row.on for row in rows]
    backs = [max(row.back_on or never, row.on + timedelta(days=1)) for row in rows]
    size = float_size(outs, backs)
    spares, proof, chains = size.spares, list(size.together), _by_spare(size.spare_of)
    if len(rows) <= MOST_CHAINED:
        spares, proof, chains = _chained(rows, backs, never)
    day = _common_day(proof, outs, backs)
    scale = (run.as_of, max(run.until_on, run.as_of + timedelta(days=1)))
    return FamilyFloat(
        name=name,
        kind=rows[0].kind,
        unlisted=unlisted,
        lanes=_lanes(
            chains,
            [
                _out(row, backs[at], never, scale, is_proof=at in proof)
                for at, row in enumerate(rows)
            ],
        ),
        marks=tuple(Scale(*scale).marks(7)),
        needs=len(rows),
        spares=spares,
        have=lacking.good,
        lacking=lacking.short,
        proof=[_out(rows[at], backs[at], never, scale) for at in proof],
        on=day,
        on_x=_x(day, scale) if day else "",
        chains=[[rows[at].key for at in chain] for chain in chains],
        months=[
            (month.month, month.spares) for month in size.months if month.month <= run.until_on
        ],
    )


def _lanes(chains: list[list[int]], outs: list[Out]) -> tuple[Lane, ...]:
    """A lane for each spare, those of the proof first."""
    served = [tuple(outs[at] for at in chain) for chain in chains]
    served.sort(key=lambda chain: (not any(out.is_proof for out in chain), chain[0].out))
    return tuple(Lane(chain, AXIS + LANE * at) for at, chain in enumerate(served[:MOST_LANES]))


def _by_spare(spare_of: tuple[int, ...]) -> list[list[int]]:
    found: dict[int, list[int]] = defaultdict(list)
    for at, spare in enumerate(spare_of):
        found[spare].append(at)
    return list(found.values())


def _chained(
    rows: list[ProposedNeed], backs: list[date], never: date
) -> tuple[int, list[int], list[list[int]]]:
    """(fewest spares, needs of which none serves another, as many; what each spare serves in turn).

    A need that is neither among the givers nor among the takers of the cover (König) is in no pair
    with another such: they are at least as many as there are chains, so each takes a spare of its own.
    """
    released = [
        Released(
            row.off_part,
            NO_LIMIT if back >= never and row.back_on is None else back,
            quantity=row.pieces,
        )
        for row, back in zip(rows, backs, strict=True)
    ]
    needs = [need_read(row.facts) for row in rows]
    found = fewest_chains(len(rows), serving_pairs(needs, released))
    covered = {*found.cover[0], *found.cover[1]}
    proof = [at for at in range(len(rows)) if at not in covered][: found.chains]
    return found.chains, proof, _followed(found.next_of)


def _followed(next_of: tuple[int, ...]) -> list[list[int]]:
    follows = {after for after in next_of if after >= 0}
    chains = []
    for start in (at for at in range(len(next_of)) if at not in follows):
        chain, at = [], start
        while at >= 0:
            chain.append(at)
            at = next_of[at]
        chains.append(chain)
    return chains


def _common_day(proof: list[int], outs: list[date], backs: list[date]) -> date | None:
    """The first day on which all of these are out, if there is one."""
    if not proof:
        return None
    day = max(outs[at] for at in proof)
    return day if all(day < backs[at] for at in proof) else None


def _x(day: date, scale: tuple[date, date]) -> str:
    first, last = scale
    share = (day - first).days * 100.0 / (last - first).days
    return percent(min(max(share, 0.0), 100.0))


def _out(
    row: ProposedNeed, back: date, never: date, scale: tuple[date, date], *, is_proof: bool = True
) -> Out:
    end = min(back, scale[1])
    x, until = _x(row.on, scale), _x(end, scale)
    width = percent(max(float(until.rstrip("%")) - float(x.rstrip("%")), 0.6))
    return Out(row.key, row.on, row.back_on and back, x, width, until, is_proof)


def chances_shown(records: Mapping[str, KindRecord] | None = None) -> list[KindChance]:
    """What is known of removals that nobody plans, kind by kind: by the operator's rules, and where these state no
    rate by the record (``records``, by the kind's name). One question."""
    found = []
    for rule in StoresRule.objects.select_related("kind").order_by("kind__name"):
        stated, fill = float(rule.unplanned_a_year), float(rule.fill_rate)
        record = (records or {}).get(rule.kind.name)
        rate = stated or (record.a_year if record else 0.0)
        if rate and 0 <= fill < 1:
            mean = mean_away(rate, rule.turn_days)
            cover = spares_for(mean, fill)
            found.append(
                KindChance(
                    rule.kind.name, rate, rule.turn_days, fill, mean, cover, record, not stated
                )
            )
    return found
