"""The operator's data of how a change is done: lists of steps and rules of signing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import date, datetime
from typing import Any

from django.db import transaction

from equipment.common.texts import lock_entering, too_long
from equipment.judging.steps.step_lists import NewStep, why_not_steps
from equipment.ledger.facts import Entered, RowsRefused
from equipment.models import PartNumber, RuleSet, Step, StepList
from fleet.house.desks import ask
from fleet.house.refusals import Refusal, Refused
from fleet.models import Kind, User

__all__ = ["NewRuleSet", "NewStep", "NewStepList", "enter_rule_set", "enter_step_lists"]

_LONGEST = {"code": 32, "revision": 24, "title": 120, "document": 80, "document_revision": 24}


@dataclass(frozen=True, slots=True)
class NewStepList:
    """The steps of a change for a kind of position, or for one part number there, from a day on; or of
    a work done in place (``for_work``, its code)."""

    code: str
    revision: str
    title: str
    kind_id: int
    document: str
    document_revision: str
    from_on: date
    steps: Sequence[NewStep] = field(default_factory=tuple)
    part_number_id: int | None = None
    for_work: str = ""


@dataclass(frozen=True, slots=True)
class NewRuleSet:
    """The rules of signing from a day on; the statements are printed exactly as they stand here.

    With ``programme`` (a code) or ``aircraft_id`` they hold only for what follows it, or for it.
    ``needs_dual_release``: what goes on needs a certificate released under both authorities' rules.
    """

    code: str
    revision: str
    document: str
    from_on: date
    step_statement: str
    inspection_statement: str
    release_statement: str
    reinspection_statement: str = ""
    may_reinspect: bool = False
    warns_same_mistake: bool = True
    programme: str = ""
    aircraft_id: int | None = None
    needs_dual_release: bool = False


@transaction.atomic
def enter_step_lists(*, by: User, rows: Sequence[NewStepList], at: datetime) -> list[Entered]:
    """This will enter lists of steps with all their steps; one on record already is left as it is.

    A revision is a list of its own; swaps that are open keep theirs. Refuses (:class:`RowsRefused`,
    with the step's number) a rule that cannot be judged by, phases out of order, a return that
    answers no count, and a revision that is on record with other contents.
    """
    ask(by, "enter_procedures")
    lock_entering("step lists")
    there = _there(rows)
    wrong = {i: why for i, row in enumerate(rows) if (why := _why_not_list(row, there, rows[:i]))}
    if wrong:
        raise RowsRefused(wrong)
    return [_entered(row, there, by, at) for row in rows]


def _there(rows: Sequence[NewStepList]) -> dict[tuple[str, str], StepList]:
    found = StepList.objects.filter(code__in={row.code for row in rows}).prefetch_related("steps")
    return {(each.code, each.revision): each for each in found}


def _why_not_list(
    row: NewStepList,
    there: Mapping[tuple[str, str], StepList],
    before: Sequence[NewStepList],
) -> list[Refusal]:
    found = too_long(row, _LONGEST, needed=tuple(_LONGEST))
    if not Kind.objects.filter(pk=row.kind_id).exists():
        found.append(Refusal("unknown_kind", "There is no such kind of equipment.", "kind"))
    if (
        row.part_number_id is not None
        and not PartNumber.objects.filter(pk=row.part_number_id).exists()
    ):
        words = "There is no such part number: enter it first."
        found.append(Refusal("unknown_part_number", words, "part_number"))
    found += too_long(row, {"for_work": 32}) + why_not_steps(row.steps)
    if row.for_work and any(step.posts for step in row.steps):
        words = "A work done in place moves nothing: no step of it records a removal or an installation."
        found.append(Refusal("moves_in_place", words, "for_work"))
    known = there.get((row.code, row.revision))
    twin = next((each for each in before if _key(each) == _key(row)), None)
    if not found and ((known and _stored(known) != _said(row)) or (twin and twin != row)):
        words = f"List {row.code} revision {row.revision} is on record with other contents: give it its next revision."
        found.append(Refusal("step_list_on_record", words, "revision"))
    return found


def _key(row: NewStepList) -> tuple[str, str]:
    return row.code, row.revision


_OF_STEP = (
    "number",
    "phase",
    "sort",
    "words",
    "caution",
    "document",
    "is_needed",
    "is_inspected",
    "rule",
    "posts",
    "returns",
    "earns",
    "covers",
)


def _said(row: NewStepList) -> dict[str, Any]:
    plain = {name: value for name, value in asdict(replace(row, steps=())).items()}
    steps = [
        {**asdict(step), "rule": dict(step.rule), "covers": list(step.covers)} for step in row.steps
    ]
    return {**plain, "steps": sorted(steps, key=lambda step: step["number"])}


def _stored(known: StepList) -> dict[str, Any]:
    names = (
        "code",
        "revision",
        "title",
        "kind_id",
        "document",
        "document_revision",
        "from_on",
        "part_number_id",
        "for_work",
    )
    steps = [
        {name: getattr(step, name) for name in _OF_STEP}
        for step in sorted(known.steps.all(), key=lambda step: step.number)
    ]
    return {**{name: getattr(known, name) for name in names}, "steps": steps}


def _entered(
    row: NewStepList, there: dict[tuple[str, str], StepList], by: User, at: datetime
) -> Entered:
    known = there.get(_key(row))
    if known is not None:
        return Entered(known.pk, is_new=False)
    plain = _said(row)
    steps = plain.pop("steps")
    made = StepList.objects.create(**plain, recorded_at=at, recorded_by=by)
    Step.objects.bulk_create(Step(step_list=made, **step) for step in steps)
    there[_key(row)] = made
    return Entered(made.pk)


_STATEMENTS = {"step_statement": 400, "inspection_statement": 400, "release_statement": 600}


@transaction.atomic
def enter_rule_set(*, by: User, new: NewRuleSet, at: datetime) -> Entered:
    """This will enter the rules of signing that hold from a day on; the same again changes nothing.

    Refuses an empty statement, a code and revision on record with other contents, a day from which
    others hold for the same, both a programme and an aircraft, and rules that have reinspection
    without its statement.
    """
    ask(by, "enter_procedures")
    lock_entering("rule sets")
    lengths = {"code": 24, "revision": 24, "document": 80, **_STATEMENTS}
    found = too_long(new, lengths, needed=tuple(lengths))
    found += too_long(new, {"reinspection_statement": 400, "programme": 32})
    if new.may_reinspect and not new.reinspection_statement.strip():
        words = "Say what a reinspection by the same person states."
        found.append(Refusal("missing", words, "reinspection_statement"))
    if new.programme.strip() and new.aircraft_id is not None:
        words = "The rules are a programme's or an aircraft's, not both."
        found.append(Refusal("one_of_two", words, "aircraft"))
    if found:
        raise Refused.all_of(found)
    new = replace(new, programme=new.programme.strip())
    known = RuleSet.objects.filter(code=new.code, revision=new.revision).first()
    if known is not None:
        if {name: getattr(known, name) for name in asdict(new)} != asdict(new):
            words = "This revision of the rules is on record with other contents: give it the next."
            raise Refused("rule_set_on_record", words, "revision")
        return Entered(known.pk, is_new=False)
    same = RuleSet.objects.filter(programme=new.programme, aircraft=new.aircraft_id)
    if same.filter(from_on=new.from_on).exists():
        words = "Other rules hold from this day: give another day."
        raise Refused("rule_set_from_day", words, "from_on")
    return Entered(RuleSet.objects.create(**asdict(new), recorded_at=at, recorded_by=by).pk)
