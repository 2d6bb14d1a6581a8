"""What a person enters at a step: every entry is kept, the latest counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.texts import not_before, refuse_all
from equipment.judging.release.obstacles import uninspected_under, waits_words
from equipment.judging.steps.judge import judge, rule_of
from equipment.judging.steps.rules import StepRule
from equipment.judging.verdicts import Outcome
from equipment.models import Step, StepEntry, Swap
from equipment.swaps.reads.given import GivenRows, given_for
from equipment.swaps.reads.rows import day_of, rows_of
from equipment.swaps.reads.state import step_states
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User

from .held import lock_swap, refuse_ended, step_of

MOST_FIELDS, MOST_TEXT, MOST_SENTENCE = 40, 2000, 400


@dataclass(frozen=True, slots=True)
class _Judged:
    """What was typed with what became of it."""

    typed: dict[str, str]
    outcome: Outcome
    given: GivenRows


@transaction.atomic
def enter_step(
    *,
    by: User,
    swap_id: int,
    step_id: int,
    typed: Mapping[str, str],
    tool_code: str = "",
    is_confirmed: bool = False,
    act_id: UUID,
    at: datetime,
    sender_at: datetime | None = None,
) -> StepEntry:
    """This will keep what was typed at a step, with its verdict; an earlier signature of the step
    no longer counts then.

    A value off tolerance is kept as it is. Refuses what cannot be read, at its fields; a value that
    would be right in another unit (``value_questioned``) unless it is confirmed; an unknown tool; a
    step that covers what is not inspected yet; a swap that has ended.
    """
    ask(by, "enter_step")
    told = {"swap_id": swap_id, "step_id": step_id, "typed": typed, "tool_code": tool_code}
    told |= {"is_confirmed": is_confirmed}
    rows = StepEntry.objects.filter(act_id=act_id)
    if done := done_before(act_id, "enter_step", told, rows, by=by, at=at, sender_at=sender_at):
        return done
    swap = lock_swap(swap_id)
    refuse_ended(swap)
    step = step_of(swap, step_id)
    _refuse_covering(swap, step)
    given = given_for(swap, step, tool_code, day_of(swap, at))
    if tool_code.strip() and given.tool_row is None:
        words = f"No tool “{tool_code.strip()[:24]}” is on record: read its label again."
        raise Refused("unknown_tool", words, "tool")
    judged = _judged(step, _plain(typed), given, is_confirmed)
    last = StepEntry.objects.filter(swap=swap, step=step).order_by("-pk").first()
    entry = _entry(judged, by, sender_at)
    entry.swap, entry.step, entry.act_id = swap, step, act_id
    entry.entered_at = not_before(at, last.entered_at if last else None)
    entry.save()
    return entry


def _refuse_covering(swap: Swap, step: Step) -> None:
    """This will refuse (``inspection_waited_for``) what covers steps that are to be inspected first."""
    if not step.covers:
        return
    states = step_states(rows_of(swap))
    this = next(each for each in states if each.number == step.number)
    if waits := uninspected_under(this, states):
        raise Refused("inspection_waited_for", waits_words(step.number, waits), "step")


def _plain(typed: Mapping[str, Any]) -> dict[str, str]:
    """The fields as texts; refuses more than anybody types."""
    if len(typed) > MOST_FIELDS:
        raise Refused("too_much", f"A step has at most {MOST_FIELDS} fields.")
    plain = {str(name)[:40]: "" if value is None else str(value) for name, value in typed.items()}
    for name, text in plain.items():
        if len(text) > MOST_TEXT:
            raise Refused("too_long", f"At most {MOST_TEXT} characters, please.", name)
        if "\x00" in text:
            raise Refused("unreadable", "This cannot be read. Type it again.", name)
    return plain


def _judged(step: Step, typed: dict[str, str], given: GivenRows, is_confirmed: bool) -> _Judged:
    rule = rule_of(step.sort, step.rule)
    if not isinstance(rule, StepRule):
        words = f"The rule of this step cannot be used: {rule[0].sentence} Have the list mended."
        raise Refused("rule_unusable", words)
    outcome = judge(rule, typed, tool=given.tool, chart=given.chart, fitted=given.fitted)
    while outcome.question is not None and is_confirmed:
        # Each question is answered for the value it was asked about, and kept with the entry.
        typed = {**typed, outcome.question.answer_field: outcome.question.answer}
        outcome = judge(rule, typed, tool=given.tool, chart=given.chart, fitted=given.fitted)
    refuse_all([each.as_refusal(name) for name, each in outcome.problems.items()])
    if outcome.question is not None:
        raise Refused("value_questioned", outcome.question.sentence, outcome.question.field)
    return _Judged(typed, outcome, given)


def _entry(judged: _Judged, by: User, sender_at: datetime | None) -> StepEntry:
    outcome, given = judged.outcome, judged.given
    assert outcome.judgement is not None
    beside = {"beside": list(outcome.beside)} if outcome.beside else {}
    asked = [name for name in judged.typed if name.endswith("confirmed") and judged.typed[name]]
    return StepEntry(
        typed=judged.typed,
        values={**outcome.values, **beside},
        verdict=outcome.judgement.verdict,
        sentence=outcome.judgement.sentence[:MOST_SENTENCE],
        is_confirmed=bool(asked),
        tool=given.tool_row,
        calibration_id=given.calibration_id,
        chart=given.chart_row,
        entered_by=by,
        sender_at=sender_at,
    )
