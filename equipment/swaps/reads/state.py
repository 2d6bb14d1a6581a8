"""A swap as its release is decided by: plain facts for :mod:`equipment.judging.release.obstacles`."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import cast

from django.utils import timezone

from equipment.common.wording import unit_words
from equipment.grounding.unreconciled import of_units, sentence_of
from equipment.judging.release.obstacles import (
    PHASES_OF_FITTING,
    CountPair,
    LedgerFacts,
    Mark,
    Obstacle,
    OpenItemFact,
    StepState,
    SwapState,
)
from equipment.judging.release.state import Verdict
from equipment.ledger.nesting import inside_at, inside_now
from equipment.models import (
    Attachment,
    Discrepancy,
    Movement,
    OpenItem,
    Signature,
    Step,
    Swap,
    Unit,
)
from equipment.swaps.ports import release_obstacles

from .contents import is_current, not_accepted
from .ink import earned_on_paper, why_not_inspected_on_paper
from .people import performers_of, person_of
from .rows import INSPECTIONS, SwapRows, day_of, rows_of, whole
from .unit_on import unit_on_of

NEEDS_OFF = frozenset({"swap", "removal", "robbery", "inside"})
ONLY_OFF = frozenset({"removal", "robbery"})
NEEDS_ON = frozenset({"swap", "fitting", "inside"})
GOOD = ("in", "none")


def state_of(swap: Swap | int, at: datetime | None = None) -> SwapState:
    """Everything that a release at ``at`` is decided by; of an ended swap, when it ended.

    ``at`` None: as the page that asks sees it, now.
    """
    found = whole(swap if isinstance(swap, int) else swap.pk)
    if found is None:
        raise Swap.DoesNotExist
    return state_of_rows(rows_of(found), at or timezone.now())


def state_of_rows(rows: SwapRows, at: datetime) -> SwapState:
    """The state out of rows that were read already."""
    end = getattr(rows.swap, "end", None)
    at = end.at if end is not None else at
    state = SwapState(
        on=day_of(rows.swap, at),
        steps=step_states(rows),
        ledger=ledger_of(rows),
        unit_on=unit_on_of(rows, at),
        rules_may_reinspect=rows.swap.rule_set.may_reinspect,
        other=tuple(_other(rows)),
    )
    if end is not None:
        return state
    unit = rows.on.unit_id if rows.on else None
    more = release_obstacles(rows.swap, unit, earned_by(rows), at)
    return replace(state, other=(*state.other, *more))


def earned_by(rows: SwapRows) -> list[str]:
    """The codes of the works that the job counts as once it is released, each once."""
    if rows.swap.is_transcribed:
        return earned_on_paper(rows)
    codes = [rows.swap.work] if rows.swap.work else []
    for step in rows.steps:
        entry = rows.entry(step.pk)
        if step.earns and entry is not None and entry.verdict in GOOD:
            codes.append(step.earns)
    return list(dict.fromkeys(codes))


# --- steps ------------------------------------------------------------------------------------


def step_states(rows: SwapRows) -> tuple[StepState, ...]:
    """Every step as it stands, in the order of the list; nothing is asked."""
    return tuple(step_state(rows, step) for step in rows.steps)


def step_state(rows: SwapRows, step: Step) -> StepState:
    """One step as it stands."""
    entry = rows.entry(step.pk)
    verdict = cast(Verdict, entry.verdict) if entry else None
    return StepState(
        number=step.number,
        phase=step.phase,
        words=step.words,
        sort=step.sort,
        is_needed=step.is_needed and step.phase not in spared_phases(rows),
        is_inspected=step.is_inspected,
        verdict=verdict,
        sentence=entry.sentence if entry else "",
        entered_at=entry.entered_at if entry else None,
        performers=tuple(person_of(user) for user in performers_of(rows, step)),
        signed=mark_of(rows, step, Signature.STEP),
        inspected=mark_of(rows, step, *INSPECTIONS),
        counts=_counts(rows, step),
        not_accepted=_refusal(rows, step),
        covers=tuple(step.covers),
    )


def spared_phases(rows: SwapRows) -> frozenset[str]:
    """The phases that this sort of swap has no work in: one list of steps serves them all."""
    if rows.swap.sort == "fitting" and rows.off is None:
        return frozenset({"remove"})
    if rows.swap.sort in ONLY_OFF and rows.on is None:
        return PHASES_OF_FITTING
    return frozenset()


def mark_of(rows: SwapRows, step: Step, *sorts: str) -> Mark | None:
    """The signature that counts: the latest one that still holds, or else the latest void one."""
    found = [(s, is_current(rows, step, s)) for s in rows.of_step(step.pk, *sorts)]
    if not found:
        return None
    signature, holds = max(found, key=lambda pair: (pair[1], pair[0].pk))
    return Mark(
        person_of(signature.by),
        signature.signed_at,
        is_current=holds,
        is_reinspection=signature.sort == Signature.REINSPECTION,
        reason=signature.reason,
    )


def _refusal(rows: SwapRows, step: Step) -> Mark | None:
    found = not_accepted(rows, step)
    return Mark(person_of(found.by), found.signed_at, reason=found.reason) if found else None


def _counts(rows: SwapRows, step: Step) -> tuple[CountPair, ...]:
    if step.returns is None:
        return ()
    what = str(step.rule.get("what") or "things")
    fitted, returned = rows.entry_of(step.returns), rows.entry(step.pk)
    return (CountPair(what, counted(fitted), counted(returned)),)


def counted(entry: object) -> int | None:
    """How many a count says; None if there is none."""
    count = getattr(entry, "values", {}).get("count")
    return int(count["value"].split(".")[0]) if count else None


# --- the ledger -------------------------------------------------------------------------------


def ledger_of(rows: SwapRows) -> LedgerFacts:
    """What the ledger must have and has."""
    swap, off, on = rows.swap, rows.off, rows.on
    wrong = [m for m in (off, on) if m is not None and not m.is_conforming]
    return LedgerFacts(
        needs_removal=swap.sort in NEEDS_OFF,
        is_removal_recorded=off is not None,
        needs_installation=swap.sort in NEEDS_ON,
        is_installation_recorded=on is not None,
        is_installation_conforming=on is None or on.is_conforming,
        is_removal_conforming=off is None or off.is_conforming,
        why_not_conforming=" ".join(_reasons(wrong)),
        left_open=_left_open(rows),
        nested_off_unaccounted=tuple(_lost_inside(rows)),
    )


def _reasons(movements: list[Movement]) -> list[str]:
    said = [str(each.get("message", "")) for m in movements for each in m.reasons]
    return list(dict.fromkeys(said))


def open_items_of(swap: Swap) -> list[OpenItem]:
    """The open items of the swap's place that nothing closed, the latest first."""
    return list(OpenItem.objects.filter(place=swap.place_id, closed=None).order_by("-pk"))


def _left_open(rows: SwapRows) -> OpenItemFact | None:
    """The item that the position stays open under: none of a fitting, whose item it closes."""
    if rows.on is not None or rows.swap.sort in {"fitting", Swap.IN_PLACE}:
        return None
    item = next(iter(open_items_of(rows.swap)), None)
    return OpenItemFact(item.words, item.document, item.expires_on) if item else None


def _lost_inside(rows: SwapRows) -> list[str]:
    """Units that were inside the one that came off and are recorded as lost since it came off."""
    off = rows.off
    if off is None or not off.is_conforming:
        return []
    before = off.happened_at - timedelta(microseconds=1)
    _, *inside = inside_at([off.unit_id], before)[off.unit_id]
    if not inside:
        return []
    lost = Movement.objects.filter(
        unit__in=Unit.objects.same_as(inside),
        sort="lost",
        corrected_by=None,
        annulment=None,
        happened_at__gte=off.happened_at,
    )
    records = lost.values_list("unit", flat=True)
    units = Unit.objects.same_as(records).filter(merged_into=None).select_related("part_number")
    return [unit_words(unit) for unit in units.order_by("pk")]


# --- what else --------------------------------------------------------------------------------


def _other(rows: SwapRows) -> list[Obstacle]:
    found = []
    if rows.swap.sort == Swap.IN_PLACE and rows.swap.expected_off is not None:
        found += _not_where_it_was(rows.swap, rows.swap.expected_off)
    if rows.on is not None:
        found += _not_there_now(rows.on)
        found += _not_reconciled(rows)
    photos = set(Attachment.objects.filter(swap=rows.swap).values_list("step_id", flat=True))
    for step in rows.steps:
        if step.sort == "photo" and rows.entry(step.pk) is not None and step.pk not in photos:
            sentence = f"Step {step.number}, “{step.words.rstrip('.')}”, has no photo."
            found.append(Obstacle("photo_missing", sentence, step.number))
    if rows.swap.is_transcribed:
        found += why_not_inspected_on_paper(rows)
    open_ones = Discrepancy.objects.filter(swap=rows.swap, settlement=None)
    open_ones = open_ones.exclude(sort__in=Discrepancy.OF_RECORDS).order_by("pk")
    return found + [Obstacle("discrepancy_open", each.words) for each in open_ones]


def _not_reconciled(rows: SwapRows) -> list[Obstacle]:
    """What somebody recorded of the unit that went on, or of what is in it, and does not conform."""
    assert rows.on is not None
    inside = inside_now([rows.on.unit_id])[rows.on.unit_id]
    own = {movement.pk for movement in rows.moves.values()}
    return [
        Obstacle("unit_not_reconciled", sentence_of(movement))
        for movement in of_units(inside)
        if movement.pk not in own
    ]


def _not_where_it_was(swap: Swap, unit: Unit) -> list[Obstacle]:
    """A unit that was moved since a work was begun on it in place."""
    if Unit.objects.filter(pk=unit.merged_into_id or unit.pk, place=swap.place_id).exists():
        return []
    sentence = f"{unit_words(unit)} is no longer recorded at this position."
    return [Obstacle("unit_not_there", sentence)]


def _not_there_now(on: Movement) -> list[Obstacle]:
    """A unit that was moved on since it was installed is not what is released."""
    unit = on.unit
    kept = unit.merged_into_id or unit.pk
    if not on.is_conforming or Unit.objects.filter(pk=kept, place=on.to_place_id).exists():
        return []
    sentence = f"{unit_words(unit)} is no longer recorded at this position."
    return [Obstacle("unit_not_there", sentence)]
