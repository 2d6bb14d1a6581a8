"""What scheduling answers the apps below, and does for them when asked. Inside their acts."""

from __future__ import annotations

import dataclasses
from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID, uuid5

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef

from equipment.availability.in_hand import holds_in_hand, set_aside_in_hand
from equipment.availability.ports import (
    Requalified,
    bottle_limits_of,
    record_requalified_works,
)
from equipment.findings.walk import ports
from equipment.judging.release.obstacles import Obstacle
from equipment.ledger.nesting import inside_now
from equipment.models import Swap
from equipment.segregation.ports import expired_among, not_cleared_of, programme_followed_by
from equipment.stores import ports as of_stores
from equipment.stores.ports import CertifiedWork, KnownWork, ToSetAside
from equipment.swaps import ports as of_swaps
from equipment.swaps.reads.in_hand import calls_in_hand, swaps_in_hand
from equipment.swaps.reads.rows import day_of
from equipment.units.ports import (
    ends_first,
    life_totals_of,
    published_periods_of,
    works_of_lot_follow,
)
from fleet.aircraft.ports import groundings_of
from fleet.house.pages import zone
from fleet.house.refusals import Refused
from fleet.loading import ports as of_loads
from fleet.models import User
from fleet.offers import ports as of_pages
from fleet.people.ports import OpenJob, open_jobs_of
from scheduling.allocation.reads.to_set_aside import to_set_aside
from scheduling.drafts.acts.drafts import keep_change
from scheduling.drafts.reads import open_names
from scheduling.models import Amount, DueItem, ProgrammeOfAircraft, Work, WorkDone
from scheduling.programme.acts.works import NewWork, record_certified, record_works

from . import grounding, lives, own_sheets, stamps, stores, swaps


def provide_all() -> None:
    """This will say which function answers which question; called once, as the app gets ready."""
    of_swaps.release_obstacles.provide(what_is_due_stands_in_the_way)
    of_swaps.record_earned_works.provide(works_are_earned)
    of_swaps.life_status_of.provide(life_is_told)
    programme_followed_by.provide(programme_code)
    bottle_limits_of.provide(swaps.bottle_limits)
    record_requalified_works.provide(cylinder_is_tested)
    expired_among.provide(stores.run_out)
    not_cleared_of.provide(stores.may_have_run_out)
    ends_first.provide(stores.ends_first_of)
    life_totals_of.provide(lives.lives_of)
    published_periods_of.provide(stores.what_is_published)
    works_of_lot_follow.provide(works_follow)
    of_stores.record_certified_works.provide(works_are_recorded)
    of_stores.limit_starts.provide(stores.starts_of)
    of_stores.nested_scope.provide(stores.scope_of)
    of_stores.known_works.provide(what_works_there_are)
    of_stores.proposed_to_set_aside.provide(what_is_proposed)
    ports.expiries_of.provide(when_limits_run_out)
    groundings_of.provide(grounding.what_grounds)
    open_jobs_of.provide(what_is_in_hand)
    of_pages.keep_in_draft.provide(keep_change)
    of_pages.open_drafts_for.provide(open_names)
    of_loads.equipment_on_record.provide(own_sheets.equipment_is_told)
    of_loads.reckoned_beside.provide(own_sheets.dates_are_told)
    of_loads.stamp_told.provide(stamps.stamp_is_told)


# --- swaps ------------------------------------------------------------------------------------


def what_is_due_stands_in_the_way(
    swap: Swap, unit_on_id: int | None, earned: Sequence[str], at: datetime
) -> list[Obstacle]:
    """The unit that went on, and all inside it, may not be past a limit or without a basis. Where none
    did, what is repeated while the position is open may not be overdue."""
    on = day_of(swap, at)
    if unit_on_id is None:
        return grounding.why_not_repeated(swap.place_id, on)
    return swaps.why_due(unit_on_id, on, earned)


def cylinder_is_tested(test: Requalified) -> set[str]:
    """A test is the work of each limit that forbids a filling once it is due; the codes that were recorded."""
    works = swaps.works_of_tests(test.unit_id, day_of_act(test.at))
    rows = [
        NewWork(
            work_id=work.pk,
            unit_id=test.unit_id,
            done_on=test.month,
            precision="month",
            act_id=uuid5(test.act_id, f"work {work.code}"),
            method=test.method,
            result="passed" if test.is_passed else "failed",
            who=test.who,
            document=test.document,
        )
        for work in works
    ]
    record_certified(by=test.by, rows=rows, now=test.at)
    return {work.code for work in works}


def day_of_act(at: datetime) -> date:
    return at.astimezone(zone()).date()


def programme_code(aircraft_id: int, on: date) -> str:
    """The code of the programme that an aircraft follows on a day; empty if none."""
    rows = ProgrammeOfAircraft.objects.filter(aircraft=aircraft_id, from_on__lte=on)
    return rows.order_by("-from_on", "-pk").values_list("programme__code", flat=True).first() or ""


def works_are_earned(earned: of_swaps.EarnedWorks) -> set[str]:
    """The works that the job counts as are recorded of its unit; the codes that were."""
    unit = earned.unit_on_id or earned.unit_off_id
    if (unit is None and earned.position_id is None) or not earned.codes:
        return set()
    signature = earned.signature
    day = earned.done_on or day_of(earned.swap, earned.at)
    if earned.instead_of_unit_id is not None:
        _withdraw(earned, earned.instead_of_unit_id)
    if earned.position_id is not None and swaps.is_of_position(earned.swap, unit):
        unit = None
    subjects: list[tuple[int | None, str, Work]] = (
        [*swaps.subjects_of_works(unit, list(earned.codes), day)]
        if unit is not None
        else [(None, work.code, work) for work in Work.objects.filter(code__in=earned.codes)]
    )
    rows = [
        NewWork(
            work_id=work.pk,
            unit_id=subject,
            position_id=None if unit is not None else earned.position_id,
            done_on=day,
            released_on=day,
            act_id=uuid5(signature.act_id, f"{code} {subject or 'position'}"),
            who=(signature.ink_signer or signature.name)[:80],
            document=f"swap {earned.swap.pk}",
            authorisation=signature.authorisation_words[:40],
            result="passed",
        )
        for subject, code, work in subjects
    ]
    # Whoever enters a card records what others did and signed for: that act has asked for its permission.
    by, now = earned.corrected_by or signature.by, earned.corrected_at or earned.at
    record = record_certified if signature.is_ink else record_works
    record(by=by, rows=rows, now=now)
    return {code for _, code, _ in subjects}


def _withdraw(earned: of_swaps.EarnedWorks, unit_id: int) -> None:
    """The works that the swap earned for a unit that was not the one, and for what is in it."""
    of_swap = {"document": f"swap {earned.swap.pk}", "corrected_by": None, "is_annulment": False}
    found = WorkDone.objects.filter(unit__in=inside_now([unit_id])[unit_id], **of_swap)
    rows = [
        NewWork(
            work_id=each.work_id,
            unit_id=each.unit_id,
            done_on=each.done_on,
            act_id=uuid5(each.act_id, "withdrawn"),
            result=each.result,
            document=each.document,
            corrects_id=each.pk,
            is_annulment=True,
        )
        for each in found.order_by("pk")
    ]
    if rows:
        by = earned.corrected_by or earned.signature.by
        record_certified(by=by, rows=rows, now=earned.corrected_at or earned.at)


def life_is_told(unit_id: int, at: datetime) -> list[dict[str, str]]:
    """What of a unit's life is used and left, as of the operator's day."""
    return swaps.life_status(unit_id, at.astimezone(zone()).date())


# --- stores -----------------------------------------------------------------------------------


def works_are_recorded(by: User, works: Sequence[CertifiedWork], at: datetime) -> None:
    """The works that a certificate certifies restart their limits; refuses ``unknown_work``."""
    codes = {each.code.upper() for each in works}
    known = {
        work.code.upper(): work.pk for work in Work.objects.all() if work.code.upper() in codes
    }
    for each in works:
        if each.code.upper() not in known:
            words = f"There is no work “{each.code[:24]}”: give one that is on record."
            raise Refused("unknown_work", words, "works")
    rows = [
        NewWork(
            work_id=known[each.code.upper()],
            unit_id=each.unit_id,
            done_on=each.done_on,
            act_id=each.act_id,
            precision=each.precision,
            shop_released_on=each.released_on,
            method=each.method,
            result="passed",
            total_minutes=each.total_minutes,
            total_cycles=each.total_cycles,
            who=each.who[:80],
            document=each.document[:80],
            certificate=each.certificate[:40],
        )
        for each in works
    ]
    record_certified(by=by, rows=rows, now=at)


def works_follow(lot_id: int, new_id: int, by: User, act_id: UUID, at: datetime) -> None:
    """Every work that stands of a lot is recorded of what was split off it, as it was done."""
    standing = {"unit": lot_id, "corrected_by": None, "is_annulment": False}
    names = [one.name for one in dataclasses.fields(NewWork)]
    rows = [
        NewWork(
            **{name: getattr(each, name) for name in names}
            | {"unit_id": new_id, "corrects_id": None, "act_id": uuid5(act_id, f"work {each.pk}")}
        )
        for each in WorkDone.objects.filter(**standing).order_by("pk")
    ]
    if rows:
        record_certified(by=by, rows=rows, now=at)


def what_works_there_are() -> list[KnownWork]:
    """Every work that is on record, by name, with the methods that choose its next date. One question."""
    methods = Amount.objects.filter(clock__limit__work=OuterRef("pk")).exclude(method="")
    named = methods.order_by("method").values("method").distinct()
    rows = Work.objects.annotate(by_method=ArraySubquery(named)).order_by("name", "pk")
    columns = rows.values_list("code", "name", "certified_by", "by_method")
    return [KnownWork(code, name, tuple(terms), tuple(by)) for code, name, terms, by in columns]


def what_is_proposed(station: str, today: date) -> list[ToSetAside]:
    """The needs whose proposed unit may be set aside now: by the kept proposal, whatever its day."""
    return to_set_aside(station)


# --- people ----------------------------------------------------------------------------------


IN_HAND = {
    "swap": swaps_in_hand,
    "call": calls_in_hand,
    "hold": holds_in_hand,
    "set-aside": set_aside_in_hand,
}


def what_is_in_hand(person_id: int, taken: Sequence[str]) -> list[OpenJob]:
    """What is open of the person's: swaps, calls, holds, units set aside; and what was taken over."""
    keys: dict[str, list[int]] = defaultdict(list)
    for job in taken:
        sort, _, key = job.rpartition("-")
        keys[sort].append(int(key))
    return [job for sort, read in IN_HAND.items() for job in read(person_id, keys[sort])]


# --- walk-rounds ------------------------------------------------------------------------------


def when_limits_run_out(unit_ids: Sequence[int]) -> dict[int, tuple[date, ...]]:
    """The days of the due items that the calendar alone decides; a projected day is on no plate."""
    found: dict[int, list[date]] = defaultdict(list)
    items = DueItem.objects.filter(
        unit__in=unit_ids, due_on__isnull=False, due_on_projected=False, missing=0
    )
    for unit_id, day in items.values_list("unit", "due_on").order_by("due_on", "pk"):
        if day is not None:
            found[unit_id].append(day)
    return {unit_id: tuple(days) for unit_id, days in found.items()}
