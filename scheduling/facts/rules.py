"""The limits in force on a day as the engine's rules, and what each of them applies to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any, TypeVar

from django.db.models import Model

from equipment.models import ModificationStandard
from fleet.models import Measure
from scheduling.engine.basis import limits as engine
from scheduling.engine.basis.words import RUNS

from .. import models

ANOTHER_METHOD = "another method"
ONE_DAY = timedelta(days=1)
R = TypeVar("R", engine.Clock, engine.Amount)
M = TypeVar("M", bound=Model)


@dataclass(frozen=True, slots=True)
class Rule:
    """One limit in force: as the engine knows it, and which subjects it applies to.

    ``work_ids`` are the works that restart it. Empty sets and tuples mean *all*.
    """

    id: int
    programme_id: int
    programme_stamp: int
    work_id: int
    is_directive: bool
    repeats: bool
    kind_id: int | None
    part_ids: frozenset[int]
    standards: tuple[str, ...]
    serials: tuple[Any, ...]
    manufactured_from: date | None
    manufactured_to: date | None
    positions: frozenset[str]
    msns: tuple[Any, ...]
    work_ids: frozenset[int]
    limit: engine.Limit


@dataclass(frozen=True, slots=True)
class Rules:
    """All rules in force on a day, sorted by key, with what their amounts ask about. ``ahead``: on each
    later day on which that changes, all that are in force from then on."""

    rules: tuple[Rule, ...]
    spares_programmes: frozenset[int]
    measures: tuple[Measure, ...]
    methods: tuple[str, ...]
    standards: tuple[str, ...]
    standard_of: dict[int, int]
    parts_with_standards: frozenset[int]
    ahead: tuple[tuple[date, tuple[Rule, ...]], ...] = ()

    @property
    def limits(self) -> tuple[engine.Limit, ...]:
        return tuple(rule.limit for rule in self.rules)

    @property
    def need_store(self) -> bool:
        """Whether any clock asks for times in store, now or later."""
        return any(
            RUNS[clock.runs].reads_stays for rule in self.every() for clock in rule.limit.clocks
        )

    @property
    def asks(self) -> bool:
        """Whether anything can fall due, now or later."""
        return any(True for _ in self.every())

    def every(self) -> Iterator[Rule]:
        """All rules in force now or on a later day; some more than once."""
        for rules in (self.rules, *(rules for _, rules in self.ahead)):
            yield from rules

    def only(self, rules: Iterable[Rule]) -> Rules:
        """The same with only these rules, of any day, in the order of their keys."""
        found = tuple(sorted(rules, key=lambda rule: rule.id))
        return replace(self, rules=found, methods=(*_methods(found), ANOTHER_METHOD), ahead=())


def rules_on(as_of: date) -> Rules:
    """The rules in force on a day. They are read again only after a stamp was raised."""
    programmes = models.Programme.objects.order_by("pk")
    stamps = tuple(programmes.values_list("pk", "facts_stamp", "govern_spares"))
    standards = tuple(
        ModificationStandard.objects.order_by("pk").values_list("pk", "part_number_id", "code")
    )
    measures = tuple(Measure.objects.order_by("pk"))
    revisions = _revisions(stamps, tuple(measure.code for measure in measures))
    rules = _in_force(revisions, as_of)
    codes = sorted({"", *(code for _, _, code in standards)})
    return Rules(
        rules=rules,
        spares_programmes=frozenset(pk for pk, _, governs in stamps if governs),
        measures=measures,
        methods=(*_methods(rules), ANOTHER_METHOD),
        standards=tuple(codes),
        standard_of={pk: codes.index(code) for pk, _, code in standards},
        parts_with_standards=frozenset(part for _, part, _ in standards),
        ahead=tuple((day, _in_force(revisions, day)) for day in _changes(revisions, as_of)),
    )


def _changes(revisions: Iterable[_Revision], as_of: date) -> list[date]:
    """The later days on which a limit begins or has ended."""
    begins = {each.from_on for each in revisions if each.from_on}
    ended = {each.until_on + ONE_DAY for each in revisions if each.until_on}
    return sorted(day for day in begins | ended if day > as_of)


def every_revision() -> list[tuple[date | None, date | None, Rule]]:
    """Every revision of every limit, whenever in force: its first and last day (None: no end), its rule."""
    programmes = models.Programme.objects.order_by("pk")
    stamps = tuple(programmes.values_list("pk", "facts_stamp", "govern_spares"))
    codes = tuple(Measure.objects.order_by("pk").values_list("code", flat=True))
    return [(each.from_on, each.until_on, each.rule) for each in _revisions(stamps, codes)]


def _methods(rules: Iterable[Rule]) -> list[str]:
    amounts = (a for rule in rules for clock in rule.limit.clocks for a in clock.amounts)
    return sorted({amount.method for amount in amounts if amount.method})


@dataclass(frozen=True, slots=True)
class _Revision:
    """One revision of a limit: the days on which it may be in force (None: no end), and its rule."""

    from_on: date | None
    until_on: date | None
    rule: Rule

    def holds(self, day: date) -> bool:
        return (self.from_on or day) <= day <= (self.until_on or day)


def _in_force(revisions: Iterable[_Revision], as_of: date) -> tuple[Rule, ...]:
    """Of the revisions of each limit the one in force on the day, in the order of their keys."""
    latest: dict[tuple[int, str], _Revision] = {}
    for each in revisions:
        if each.holds(as_of):
            limit = (each.rule.programme_id, each.rule.limit.code)
            other = latest.get(limit)
            if other is None or _order(other) < _order(each):
                latest[limit] = each
    return tuple(sorted((each.rule for each in latest.values()), key=lambda rule: rule.id))


def _order(revision: _Revision) -> tuple[date, int]:
    return revision.from_on or date.min, revision.rule.id


# Every revision, whatever the day: a page that asks about other days than the last one reads nothing
# anew, and only a raised stamp does.
@lru_cache(maxsize=2)
def _revisions(
    stamps: tuple[tuple[int, int, bool], ...], measures: tuple[str, ...]
) -> tuple[_Revision, ...]:
    stamp_of = {pk: stamp for pk, stamp, _ in stamps}
    read = models.Limit.objects.select_related("work").prefetch_related("part_numbers", "resets")
    rows = [row for row in read.order_by("pk") if row.programme_id in stamp_of]
    clocks = _clocks([row.pk for row in rows])
    return tuple(
        _Revision(
            row.from_on,
            row.until_on,
            _rule(row, clocks[row.pk], stamp_of[row.programme_id], measures),
        )
        for row in rows
    )


def _clocks(limit_ids: list[int]) -> dict[int, list[models.Clock]]:
    found: dict[int, list[models.Clock]] = defaultdict(list)
    rows = models.Clock.objects.filter(limit__in=limit_ids).prefetch_related("amounts")
    for clock in rows.order_by("limit", "seq"):
        found[clock.limit_id].append(clock)
    return found


def _rule(
    row: models.Limit, clocks: list[models.Clock], stamp: int, measures: tuple[str, ...]
) -> Rule:
    # Entered past the acts: such a limit cannot be worked, and its items say so.
    known = all(clock.measure in {*engine.CALENDAR, *measures} for clock in clocks)
    try:
        limit = _limit(row, clocks if known else [])
    except ValueError:
        limit = _limit(row, [])
    return Rule(
        id=row.pk,
        programme_id=row.programme_id,
        programme_stamp=stamp,
        work_id=row.work_id,
        is_directive=row.is_directive,
        repeats=any(a.when != "first" for clock in limit.clocks for a in clock.amounts),
        kind_id=row.kind_id,
        part_ids=frozenset(part.pk for part in row.part_numbers.all()),
        standards=tuple(row.standards),
        serials=tuple(_spans(row.serials)),
        manufactured_from=row.manufactured_from,
        manufactured_to=row.manufactured_to,
        positions=frozenset(row.positions),
        msns=tuple(_spans(row.msns)),
        work_ids=frozenset([row.work_id, *(reset.work_id for reset in row.resets.all())]),
        limit=limit,
    )


def _spans(listed: list[Any]) -> list[tuple[str, str]]:
    """A single number is a range of itself."""
    return [
        (str(one[0]), str(one[1])) if isinstance(one, list | tuple) else (str(one), str(one))
        for one in listed
    ]


def _limit(row: models.Limit, clocks: list[models.Clock]) -> engine.Limit:
    return engine.Limit(
        code=row.code,
        revision=row.revision,
        title=row.title,
        work=row.work.name,
        document=row.document,
        document_revision=row.document_revision,
        clocks=tuple(
            _read(engine.Clock, clock, CLOCK_READS) for clock in clocks if clock.amounts.all()
        ),
        subject=row.subject,  # type: ignore[arg-type]
        when=row.when,  # type: ignore[arg-type]
        variation=engine.Variation(
            days=row.variation_days,
            percent=_fraction(row.variation_percent) or Fraction(0),
            days_most=row.variation_days_most,
            minutes=row.variation_minutes,
            count=row.variation_count,
        ),
        next_from_original_due=row.next_from_original_due,
        extendable=row.is_extendable,
        extension_days_most=row.extension_days_most,
        extension_minutes_most=row.extension_minutes_most,
        extension_count_most=row.extension_count_most,
        quota=row.quota,
    )


#: Fields of a clock and of an amount that a column of theirs holds under another name, or otherwise.
CLOCK_READS: Mapping[str, Callable[[models.Clock], Any]] = {
    "amounts": lambda row: tuple(
        _read(engine.Amount, one, AMOUNT_READS)
        for one in sorted(row.amounts.all(), key=lambda amount: amount.seq)
    ),
    "store_ratio": lambda row: _share(row.store_ratio_percent),
    "before_first_fitting": lambda row: row.store_before_first_fitting,
}
AMOUNT_READS: Mapping[str, Callable[[models.Amount], Any]] = {
    "share": lambda row: _share(row.share_percent),
}


def _read(rule: type[R], row: M, reads: Mapping[str, Callable[[M], Any]]) -> R:
    """The rule that a row says: each of its fields by the column of its name, blank as None; else as
    ``reads`` says. AttributeError for a field that no column holds: none is left out in silence."""
    said: dict[str, Any] = {}
    for one in fields(rule):
        value = reads[one.name](row) if one.name in reads else getattr(row, one.name)
        # A blank that must not be stays one, and is refused.
        said[one.name] = None if value == "" and one.default is None else value
    return rule(**said)


def _share(percent: Decimal | int | None) -> Fraction | None:
    return None if percent is None else Fraction(percent) / 100


def _fraction(number: Decimal | None) -> Fraction | None:
    return None if number is None else Fraction(number)
