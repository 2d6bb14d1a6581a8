"""A swap's steps as its pages show them: one row a step, its state as a shape, a word and a tone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from equipment.judging.release.obstacles import Mark, StepState
from equipment.models import Step, StepEntry

# What a step's state is called, its shape and its tone: by the mark on the job line.
LOOKS = {
    "open": ("open", "open", "not done"),
    "entered": ("entered", "asks", "done, not signed"),
    "waiting": ("signed", "asks", "signed, not inspected"),
    "done": ("in", "in", "signed"),
    "refused": ("out", "out", "not accepted"),
    "out": ("out", "out", "off tolerance"),
    "unjudged": ("asks", "asks", "cannot be judged"),
}
ON_LINE = {"waiting": "entered", "unjudged": "out", "refused": "out"}
WORDS = {"yes": "done", "no": "not done", "pass": "passed", "fail": "failed"}
LONGEST = 48


@dataclass(frozen=True, slots=True)
class ShownMark:
    """A signature on a step."""

    what: str
    name: str
    at: Any
    is_inspection: bool
    is_void: bool
    is_refusal: bool = False


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step with what stands there now."""

    step: Step
    state: StepState
    entry: StepEntry | None
    document: str
    is_posted: bool = False

    @property
    def number(self) -> int:
        return self.step.number

    @property
    def words(self) -> str:
        return self.step.words

    @property
    def caution(self) -> str:
        return self.step.caution

    @property
    def is_needed(self) -> bool:
        return self.step.is_needed

    @property
    def is_inspected(self) -> bool:
        return self.step.is_inspected

    @property
    def phase_title(self) -> str:
        return self.step.get_phase_display()

    @property
    def posts(self) -> str:
        return self.step.posts

    @property
    def entry_id(self) -> int | None:
        return self.entry.pk if self.entry else None

    @property
    def typed_words(self) -> str:
        return typed_words(self.step, self.entry.typed) if self.entry else ""

    @property
    def condition(self) -> str:
        """One of LOOKS."""
        state = self.state
        if state.verdict is None:
            return "open"
        if state.not_accepted is not None:
            return "refused"
        if state.verdict in {"out", "cannot_judge"}:
            return "out" if state.verdict == "out" else "unjudged"
        if not holds(state.signed):
            return "entered"
        return "waiting" if state.is_inspected and not holds(state.inspected) else "done"

    @property
    def mark(self) -> str:
        return ON_LINE.get(self.condition, self.condition)

    @property
    def shape(self) -> str:
        return (
            "pair" if self.is_inspected and self.condition == "done" else LOOKS[self.condition][0]
        )

    @property
    def tone(self) -> str:
        return LOOKS[self.condition][1]

    @property
    def state_word(self) -> str:
        return LOOKS[self.condition][2]

    @property
    def by(self) -> str:
        """How it is off, in the verdict's own words; why it was not accepted, in the inspector's."""
        if self.state.not_accepted is not None:
            return refusal_words(self.state.not_accepted)
        return self.state.sentence if self.condition in {"out", "unjudged"} else ""

    @property
    def waits_for(self) -> str:
        if self.condition == "entered":
            return "to be signed off"
        return "to be inspected by a second person" if self.condition == "waiting" else ""

    @property
    def is_quiet(self) -> bool:
        return self.condition == "done"

    @property
    def names(self) -> str:
        marks = [self.state.signed, self.state.inspected]
        return ", ".join(mark.by.name for mark in marks if holds(mark) and mark)

    @property
    def is_to_sign(self) -> bool:
        state = self.state
        return state.verdict is not None and state.not_accepted is None and not holds(state.signed)

    @property
    def is_to_inspect(self) -> bool:
        state = self.state
        return state.is_inspected and holds(state.signed) and not holds(state.inspected)

    @property
    def marks(self) -> list[ShownMark]:
        found = []
        if self.state.signed:
            found.append(_shown("Signed off", self.state.signed, is_inspection=False))
        if self.state.not_accepted:
            refused = self.state.not_accepted
            said = ShownMark(
                refusal_words(refused), refused.by.name, refused.at, True, False, is_refusal=True
            )
            found.append(said)
        if self.state.inspected:
            again = self.state.inspected.is_reinspection
            what = "Reinspected by the same person" if again else "Inspected"
            found.append(_shown(what, self.state.inspected, is_inspection=True))
        return found


def refusal_words(mark: Mark) -> str:
    return f"Not accepted, because: {mark.reason.rstrip('.')}."


def _shown(what: str, mark: Mark, *, is_inspection: bool) -> ShownMark:
    return ShownMark(what, mark.by.name, mark.at, is_inspection, not mark.is_current)


def holds(mark: Mark | None) -> bool:
    """Whether a signature still stands for what is there."""
    return mark is not None and mark.is_current


def typed_words(step: Step, typed: Mapping[str, Any]) -> str:
    """What was typed at a step, in a few words: ``62 in-lb``, ``done``, ``2``."""
    unit = str(typed.get("unit") or step.rule.get("unit") or "")
    if typed.get("before") and typed.get("after"):
        fall = f"{typed['before']} to {typed['after']} {unit}"
        return f"{fall} over {typed.get('value') or '?'} min"
    if value := str(typed.get("value") or ""):
        words = value if not unit or any(mark.isalpha() for mark in value) else f"{value} {unit}"
        result = str(typed.get("result") or "")
        return f"{WORDS.get(result, result)}, {words}" if result else words
    for name in ("done", "result", "results", "count", "text"):
        if said := str(typed.get(name) or ""):
            said = WORDS.get(said, said)
            return said if len(said) <= LONGEST else f"{said[:LONGEST]}…"
    return "photo" if typed.get("photo") else ""


@dataclass(frozen=True, slots=True)
class Phase:
    """The steps of one phase."""

    title: str
    steps: list[StepRow]

    @property
    def done(self) -> int:
        return sum(row.condition == "done" for row in self.steps)


def phases_of(rows: Iterable[StepRow]) -> list[Phase]:
    """The rows by phase, in the order of the work; a phase that comes twice is shown twice."""
    phases: list[Phase] = []
    for row in rows:
        if not phases or phases[-1].title != row.phase_title:
            phases.append(Phase(row.phase_title, []))
        phases[-1].steps.append(row)
    return phases
