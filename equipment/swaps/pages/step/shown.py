"""One step as its page shows it: its controls filled, its verdict, who may do what, what others entered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import uuid4

from django.urls import reverse
from django.utils import timezone

from equipment.judging.release.obstacles import uninspected_under, waits_words
from equipment.judging.steps.aims import aim_of
from equipment.judging.steps.judge import judge, rule_of
from equipment.judging.steps.rules import StepRule
from equipment.judging.verdicts import Outcome
from equipment.models import Step, StepEntry, Swap
from equipment.swaps.pages.forms import SignForm
from equipment.swaps.pages.shown import SwapPage, swap_page, whole_swap
from equipment.swaps.pages.signing_shown import WHAT
from equipment.swaps.pages.step_rows import StepRow, typed_words
from equipment.swaps.reads.contents import NOT_ACCEPTED
from equipment.swaps.reads.given import GivenRows, given_for
from equipment.swaps.reads.whereabouts import call_of
from fleet.house.desks import may
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.screens.act_forms import ProofForm
from fleet.words.said import clock_words

from .forms import controls_of
from .papers import papers_of
from .tools import tools_for
from .unread import shown_now
from .verdicts import Verdict, verdict_of

POSTS = {
    "removal": ("swap_off", "Record what came off"),
    "installation": ("swap_on", "Record what went on"),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """A step with what was sent for it; ``typed`` None: what was entered last."""

    swap: Swap
    step: Step
    typed: Mapping[str, str] | None
    tool_code: str


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """What another person entered after this form was opened."""

    id: int
    by: str
    words: str
    at: Any
    mine: str
    href: str


def _outcome(asked: Asked, given: GivenRows) -> Outcome | None:
    rule = rule_of(asked.step.sort, asked.step.rule)
    if not isinstance(rule, StepRule) or not asked.typed:
        return None
    return judge(rule, asked.typed, tool=given.tool, chart=given.chart, fitted=given.fitted)


def judged(asked: Asked, on: date) -> dict[str, Any]:
    """What a typing person sees: the verdict, and what to aim at."""
    given = given_for(asked.swap, asked.step, asked.tool_code, on)
    verdict = verdict_of(_outcome(asked, given), is_typing=True)
    return {"verdict": verdict, **_aim(asked, given)}


def _aim(asked: Asked, given: GivenRows) -> dict[str, Any]:
    step, typed = asked.step, asked.typed or {}
    rule = rule_of(step.sort, step.rule)
    if not isinstance(rule, StepRule):
        return {"controls": controls_of(step.sort, step.rule, typed), "setting": ""}
    setting = aim_of(
        rule,
        typed,
        wrench_length_mm=given.tool.facts.length_mm if given.tool else None,
        chart=given.chart,
    )
    return {
        "controls": controls_of(step.sort, step.rule, typed, fitted=given.fitted),
        "setting": setting,
    }


@dataclass(frozen=True, slots=True)
class Showing:
    """A step about to be shown: what was asked, what stands there, to whom, what was refused."""

    asked: Asked
    shown: Asked
    page: SwapPage
    row: StepRow
    by: User
    given: GivenRows
    on: date
    refused: Refused | None
    is_again: bool

    @property
    def problems(self) -> dict[str, str]:
        """The sentences of what was refused, by field."""
        refusals = self.refused.refusals if self.refused else ()
        return {each.field or "": each.message for each in refusals}


def context(asked: Asked, by: User, on: date, more: Mapping[str, Any]) -> dict[str, Any]:
    """All that the page of a step shows. ``more`` may have ``refused``, ``meanwhile``, ``again``."""
    swap = whole_swap(asked.swap.pk)
    assert swap is not None
    page = swap_page(swap)
    row = page.row(asked.step.number)
    shown = asked if asked.typed is not None else _as_entered(asked, row)
    given = given_for(asked.swap, asked.step, shown.tool_code, on)
    refused, again = more.get("refused"), bool(more.get("again"))
    showing = Showing(asked, shown, page, row, by, given, on, refused, again)
    previous, following = page.beside(asked.step.number)
    return {
        "swap": page,
        "step": row,
        "previous": previous,
        "next": following,
        "act_id": uuid4(),
        "shown_at": shown_now(timezone.now()),
        **_aim(shown, given),
        **_form(showing),
        **_told(showing),
        "earlier": _earlier(page, asked.step),
        **_signing(page, row, by),
        "papers": papers_of(page, row),
        **more,
    }


def _as_entered(asked: Asked, row: StepRow) -> Asked:
    entry = row.entry
    if entry is None:
        return Asked(asked.swap, asked.step, {}, "")
    tool = entry.tool.code if entry.tool else ""
    return Asked(asked.swap, asked.step, entry.typed, tool)


def _form(showing: Showing) -> dict[str, Any]:
    row, problems = showing.row, showing.problems
    may_enter = showing.page.is_open and may(showing.by, "enter_step")
    is_signed = row.state.signed is not None and row.condition != "entered"
    name, label = POSTS.get(row.posts, ("", ""))
    controls = controls_of(
        row.step.sort,
        row.step.rule,
        showing.shown.typed or {},
        fitted=showing.given.fitted,
        problems=problems,
    )
    return {
        "controls": controls,
        "tools": tools_for(
            controls.tool_sort, showing.page.swap, showing.shown.tool_code, showing.on
        ),
        "tool_problem": problems.get("tool", "") or problems.get("tool_code", ""),
        "may_enter": may_enter,
        "is_open_to_me": may_enter
        and (not is_signed or showing.is_again or showing.refused is not None),
        "form_sort": "plain" if controls.is_photo else "whole" if controls.choices else "each",
        "hold_words": _hold_words(showing),
        "posts_href": reverse(f"equipment:{name}", args=[showing.page.id]) if name else "",
        "posts_label": label,
    }


def _hold_words(showing: Showing) -> str:
    """Which inspections this step waits for, since it covers what is to be seen; empty for none."""
    state = showing.row.state
    waits = uninspected_under(state, [row.state for row in showing.page.rows])
    return waits_words(state.number, waits) if waits and showing.page.is_open else ""


def _told(showing: Showing) -> dict[str, Any]:
    """The verdict and the kept line: of what was sent and refused, or of what stands there."""
    refused, entry = showing.refused, showing.row.entry
    if refused is None:
        verdict = verdict_of(_outcome(showing.shown, showing.given)) if entry else Verdict()
        return {"verdict": verdict, "kept": _kept(entry)}
    verdict = verdict_of(_outcome(showing.asked, showing.given))
    # A question is asked instead of a refusal; where there is none, what was refused is said.
    if verdict.code != "asking" or not verdict.sentences:
        sentences = tuple(dict.fromkeys(each.message for each in refused.refusals))
        verdict = Verdict("out", "Not kept", "out", sentences)
    words = "Not kept yet: what you typed stays here."
    return {"verdict": verdict, "kept": {"words": words, "mood": "waiting"}}


@dataclass(frozen=True, slots=True)
class Earlier:
    """What was entered at a step before the entry that counts."""

    words: str
    by: str
    at: Any


def _earlier(page: SwapPage, step: Step) -> list[Earlier]:
    """What later entries replaced, the latest first: it stays readable."""
    replaced = page.read.entries.get(step.pk, [])[:-1]
    return [
        Earlier(
            each.sentence or typed_words(step, each.typed),
            each.entered_by.shown_name,
            each.entered_at,
        )
        for each in reversed(replaced)
    ]


def _kept(entry: StepEntry | None) -> dict[str, str]:
    if entry is None:
        return {"words": "", "mood": ""}
    words = f"Kept {clock_words(entry.entered_at)}, {entry.entered_by.shown_name}"
    return {"words": words, "mood": ""}


def _signing(page: SwapPage, row: StepRow, by: User) -> dict[str, Any]:
    can_inspect = page.is_open and row.is_to_inspect and may(by, "enter_step")
    inspector = by.username if may(by, "inspect_step") else ""
    return {
        "can_sign": page.is_open and row.is_to_sign and may(by, "sign_step"),
        "can_inspect": can_inspect,
        "sign_form": ProofForm(initial={"username": by.username}, auto_id="sign_%s"),
        "inspect_form": ProofForm(initial={"username": inspector}, auto_id="inspect_%s"),
        "sign_act_id": uuid4(),
        "inspect_act_id": uuid4(),
        "refuse_form": _refusal_form(inspector),
        "refuse_act_id": uuid4(),
        "refusal_statement": NOT_ACCEPTED,
        "call_act_id": uuid4(),
        "call": call_of(page.id, row.step.pk, timezone.now()) if can_inspect else None,
        "may_call": may(by, "call_inspector"),
    }


def _refusal_form(inspector: str) -> SignForm:
    form = SignForm(initial={"username": inspector}, auto_id="refuse_%s")
    form.asks_for_reason(WHAT["refusal"].asks)
    return form


def meanwhile(asked: Asked, sent: Mapping[str, str], by: User) -> Meanwhile | None:
    """What another person entered at the step since the sender saw it; None if nothing, or if told."""
    entries = StepEntry.objects.filter(swap=asked.swap, step=asked.step)
    latest = entries.select_related("entered_by").order_by("-pk").first()
    if latest is None or latest.entered_by_id == by.pk or "seen" not in sent:
        return None
    if str(latest.pk) in {sent.get("seen", ""), sent.get("over", "")}:
        return None
    if str(latest.act_id) == sent.get("act_id", ""):
        return None
    return Meanwhile(
        latest.pk,
        latest.entered_by.shown_name,
        typed_words(asked.step, latest.typed),
        latest.entered_at,
        typed_words(asked.step, asked.typed or {}),
        reverse("equipment:swap_step", args=[asked.swap.pk, asked.step.number]),
    )
