"""What scheduling knows of units in the stores: what has run out, what starts from what, what else is due."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from equipment.common.wording import unit_words
from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from equipment.segregation.ports import LimitsSay
from equipment.stores.ports import LimitStart, NestedWork
from equipment.units.ports import Ending, Published
from fleet.words.said import day_words
from scheduling.answers.acts.rehearse import due_if_done
from scheduling.due.due_list import stored_day
from scheduling.due.failed import failed_tests
from scheduling.due.lists.doubtful import doubtful_units
from scheduling.due.lists.explained import explained_units
from scheduling.due.of_units import reckoned
from scheduling.due.uncovered import uncovered
from scheduling.engine.basis.bands import Band
from scheduling.engine.telling.flags import Flag, missing_words
from scheduling.facts.items import UNIT, Item, subject_of
from scheduling.models import Limit
from scheduling.programme.published import points_for

from .swaps import SPENT, subjects_of_works

#: Up to so many units are reckoned whatever the stored list says of them.
FEW = 40


def run_out(inside: Mapping[int, Sequence[int]], on: date) -> dict[int, LimitsSay]:
    """What has run out as of a day, failed its test, or is unknown, of each unit and what is inside it."""
    holders: dict[int, list[int]] = {}
    for root, units in inside.items():
        for unit in units:
            holders.setdefault(unit, []).append(root)
    asked = _to_reckon(sorted(holders), on)
    items = [item for item in reckoned(asked, on) if item.unit_id is not None] if asked else []
    said = {
        unit: LimitsSay(expired=tuple(words)) for unit, words in failed_tests(holders, on).items()
    }
    for unit, limits in _said(items).items():
        before = said.get(unit, LimitsSay())
        said[unit] = LimitsSay((*before.expired, *limits.expired), limits.unknown)
    for unit, words in uncovered(holders, on).items():
        before = said.get(unit, LimitsSay())
        said[unit] = LimitsSay(before.expired, (*before.unknown, words))
    found: dict[int, LimitsSay] = {}
    for unit, limits in said.items():
        for root in holders[unit]:
            so_far = found.get(root, LimitsSay())
            found[root] = LimitsSay(
                (*so_far.expired, *limits.expired), (*so_far.unknown, *limits.unknown)
            )
    return found


def _said(items: Sequence[Item]) -> dict[int, LimitsSay]:
    """The sentences of items that have run out or have no basis, by unit."""
    told = [item for item in items if has_run_out(item) or lacks_basis(item)]
    limits = Limit.objects.in_bulk({item.limit_id for item in told})
    units = Unit.objects.select_related("part_number").in_bulk(
        {item.unit_id for item in told if item.unit_id is not None}
    )
    expired: dict[int, list[str]] = defaultdict(list)
    unknown: dict[int, list[str]] = defaultdict(list)
    for item in told:
        if item.unit_id is None:
            continue
        limit, unit = limits[item.limit_id], units[item.unit_id]
        if has_run_out(item):
            expired[item.unit_id].append(_sentence(item, limit, unit))
        else:
            lacks = ", ".join(missing_words(item.missing)) or "a fact"
            words = f"{unit_words(unit)}: when {limit.title} ({limit.code}) is due is unknown, for lack of {lacks}."
            unknown[item.unit_id].append(words)
    return {
        unit: LimitsSay(tuple(expired[unit]), tuple(unknown[unit]))
        for unit in sorted({*expired, *unknown})
    }


def _to_reckon(units: list[int], on: date) -> list[int]:
    """Few units are all reckoned; of a whole stock only those that the stored list does not clear."""
    if len(units) <= FEW or stored_day() != on:
        return units
    return sorted(doubtful_units(units, on, SPENT))


def may_have_run_out(units: Sequence[int], on: date) -> set[int]:
    """Of many units those that the stored list does not clear of having run out, or of a test that failed; with
    no list of that day all of them."""
    if stored_day() != on:
        return set(units)
    found = doubtful_units(units, on, SPENT, with_unknown=False)
    return {*found, *failed_tests(units, on)}


def has_run_out(item: Item) -> bool:
    """Past its last good day, its variation not counted as life; or spent by a measure of its own."""
    if subject_of(item.id)[2] != UNIT or item.band in (Band.QUIET, Band.NO_BASIS):
        return False
    return item.band == Band.OVERDUE or bool(item.flags & SPENT)


def lacks_basis(item: Item) -> bool:
    """A limit of the unit itself of which it cannot be said when it is due."""
    return subject_of(item.id)[2] == UNIT and item.band == Band.NO_BASIS


def _sentence(item: Item, limit: Limit, unit: Unit) -> str:
    ended = "its life has ended" if item.flags & Flag.END_OF_LIFE else "it is past its limit"
    since = f", due {day_words(item.due_on)}" if item.due_on else ""
    return f"{unit_words(unit)}: {limit.title} ({limit.code}), {ended}{since}."


def ends_first_of(unit_id: int, on: date) -> Ending | None:
    """The earliest day on which something of the unit, or inside it, ends; and which limit of which."""
    items = [
        item
        for item in reckoned(inside_now([unit_id])[unit_id], on)
        if subject_of(item.id)[2] == UNIT and item.due_on is not None
    ]
    if not items:
        return None
    first = min(items, key=lambda item: (item.due_on or on, item.id))
    limit = Limit.objects.get(pk=first.limit_id)
    words = limit.title
    if first.unit_id != unit_id and first.unit_id is not None:
        inner = Unit.objects.select_related("part_number").get(pk=first.unit_id)
        words = f"{limit.title}, {unit_words(inner)} in it"
    return Ending(first.due_on or on, words)


def starts_of(unit_id: int, on: date) -> list[LimitStart]:
    """Each limit of the unit itself: its work, what it starts from and when it falls due, in words."""
    every, told = explained_units([unit_id], on)
    items = [item for item in every if subject_of(item.id)[2] == UNIT]
    limits = Limit.objects.select_related("work").in_bulk({item.limit_id for item in items})
    found = []
    for item in sorted(items, key=lambda each: (each.band, each.sort_on, each.id)):
        limit = limits[item.limit_id]
        steps = told[item.id].steps if item.id in told else ()
        starts = day_words(item.start_on) if item.start_on else "not known"
        found.append(LimitStart(limit.code, limit.title, limit.work.code, starts, " ".join(steps)))
    return found


def scope_of(unit_id: int, works: Sequence[str], done_on: date) -> list[NestedWork]:
    """What falls due on the unit or inside it before these works are due again on it, if they are
    done on a day; where no next day of theirs is known, everything that has a date. The earliest first.

    What these works restart as well is done with them; all else has the date that it has on record.
    """
    subjects = subjects_of_works(unit_id, list(works), done_on)
    units = inside_now([unit_id])[unit_id]
    items = due_if_done([(unit, work.pk) for unit, _, work in subjects], units, done_on)
    on_record = {item.id: item.due_on for item in reckoned(units, done_on)}
    asked = {work.pk for _, _, work in subjects}
    again = [i.due_on for i in items if i.work_id in asked and i.unit_id == units[0] and i.due_on]
    before = min(again, default=None)
    limits = Limit.objects.select_related("work").in_bulk({item.limit_id for item in items})
    named = Unit.objects.select_related("part_number").in_bulk(units)
    found = [
        NestedWork(
            item.unit_id,
            unit_words(named[item.unit_id]),
            limits[item.limit_id].code,
            limits[item.limit_id].work.code,
            item.due_on,
            before,
        )
        for item in items
        if item.due_on is not None
        and item.unit_id in named
        and item.work_id not in asked
        and on_record.get(item.id) == item.due_on
        and (before is None or item.due_on < before)
        and item.unit_id is not None
    ]
    return sorted(found, key=lambda each: (each.due_on, each.unit_id, each.limit))


def what_is_published(specification: str, marks: tuple[str, ...]) -> tuple[Published, ...]:
    """The published periods of a cylinder's specification, the one that its marks choose first."""
    return tuple(
        Published(one.slug, one.months, f"{one.work} {one.words}", one.source, one.more)
        for one in points_for(specification, marks)
    )
