"""What stands in the way of a swap's release: every reason, each with its step if it has one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from fleet.words.said import count_words, day_words

from .state import (
    CountPair,
    LedgerFacts,
    Mark,
    Obstacle,
    OpenItemFact,
    StepState,
    SwapState,
    UnitOnFacts,
)

__all__ = [
    "CountPair",
    "LedgerFacts",
    "Mark",
    "Obstacle",
    "OpenItemFact",
    "StepState",
    "SwapState",
    "UnitOnFacts",
    "stands_in_the_way",
    "uninspected_under",
    "waits_words",
]


PHASES_OF_FITTING = frozenset({"inspect", "install", "test"})


def stands_in_the_way(state: SwapState) -> list[Obstacle]:
    """Every obstacle to the release, in the order of the work; empty if there is none.

    A missing or off-tolerance step, a missing or void signature, an inspection missing or by who did
    the work, a safety device not back, the ledger's facts, the unit that goes on, an open item past
    its last day, authorisations, and what upper layers add.
    """
    found: list[Obstacle] = []
    for step in sorted(state.steps, key=lambda step: step.number):
        found += _of_step(step, state)
    found += _of_ledger(state)
    if state.unit_on is not None and not is_left_open(state.ledger):
        found += _of_unit(state.unit_on)
    found += [Obstacle(each.code, each.sentence) for each in state.authorisation_problems]
    return [*found, *state.other]


def is_left_open(ledger: LedgerFacts) -> bool:
    """Whether nothing went on and an open item says so: then no step of fitting is missing."""
    return ledger.left_open is not None and not ledger.is_installation_recorded


def _of_step(step: StepState, state: SwapState) -> Iterator[Obstacle]:
    if step.verdict is None:
        yield from _of_missing(step, state.ledger)
        return
    if step.verdict == "out":
        yield _at(step, "step_out_of_tolerance", "is off tolerance", step.sentence)
    elif step.verdict == "cannot_judge":
        yield _at(step, "step_not_judged", "cannot be judged", step.sentence)
    yield from _of_counts(step)
    yield from _of_sign_off(step)
    if step.is_inspected:
        yield from _of_inspection(step, state.rules_may_reinspect)
    yield from _of_covered(step, state)


def _of_missing(step: StepState, ledger: LedgerFacts) -> Iterator[Obstacle]:
    """What was fitted to make safe must come back even where its step may be left out."""
    is_spared = step.phase in PHASES_OF_FITTING and is_left_open(ledger)
    if step.is_needed and not is_spared:
        yield _at(step, "step_missing", "is not done")
    elif any(pair.fitted for pair in step.counts):
        yield from _of_counts(step)


def _at(step: StepState, code: str, what: str, more: str = "") -> Obstacle:
    """One sentence at a step: ``Step 7, torque the hose nut, is not done.``"""
    words = step.words.strip().rstrip(".")
    sentence = f"Step {step.number}, “{words}”, {what}."
    return Obstacle(code, f"{sentence} {more}".strip(), step.number)


def _of_counts(step: StepState) -> Iterator[Obstacle]:
    for pair in step.counts:
        if pair.is_balanced:
            continue
        if pair.fitted is None or pair.returned is None:
            missing = "were fitted" if pair.fitted is None else "are back"
            what = f"does not say how many {pair.what} {missing}"
            yield _at(step, "count_not_recorded", what)
            continue
        what = (
            f"has {count_words(pair.returned)} of {count_words(pair.fitted)} {pair.what} back: "
            "every pin, lock and tool must be accounted for"
        )
        yield _at(step, "safety_device_not_back", what)


def uninspected_under(step: StepState, steps: Iterable[StepState]) -> list[StepState]:
    """The steps that this one covers and whose inspection, of what stands there now, is missing."""
    covered = [each for each in steps if each.number in step.covers and each.is_inspected]
    return [each for each in covered if each.inspected is None or not each.inspected.is_current]


def waits_words(number: int, under: Iterable[StepState]) -> str:
    """``Step 15 covers what is not inspected yet: step 13, “Hose on first”. Call the inspector first.``"""
    steps = ", ".join(f"step {each.number}, “{each.words.strip().rstrip('.')}”" for each in under)
    return f"Step {number} covers what is not inspected yet: {steps}. Call the inspector first."


def _of_covered(step: StepState, state: SwapState) -> Iterator[Obstacle]:
    """What was inspected after it was covered was not seen as it lies there now."""
    for under in state.steps:
        if under.number not in step.covers or under.inspected is None or step.entered_at is None:
            continue
        if step.entered_at < under.inspected.at:
            what = f"covers step {under.number}, which was inspected only afterwards: do it again"
            yield _at(step, "covered_before_inspection", what)


def _of_sign_off(step: StepState) -> Iterator[Obstacle]:
    if step.not_accepted is not None:
        by, why = step.not_accepted.by.name, step.not_accepted.reason.strip().rstrip(".")
        what = (
            f"was not accepted by {by}, because: {why}. Do it again, enter it and have it inspected"
        )
        yield _at(step, "inspection_not_accepted", what)
        return
    if step.signed is None:
        yield _at(step, "step_not_signed", "is not signed off")
        return
    if step.signed.is_current and (step.entered_at is None or step.entered_at <= step.signed.at):
        return
    what = f"was changed after {step.signed.by.name} signed it: it has to be signed again"
    yield _at(step, "signed_value_changed", what)


def _of_inspection(step: StepState, may_reinspect: bool) -> Iterator[Obstacle]:
    mark = step.inspected
    if step.not_accepted is not None:
        return
    if mark is None:
        yield _at(step, "inspection_missing", "is not inspected by a second person")
        return
    yield from _of_order(step, mark)
    workers = {person.id for person in step.performers}
    workers |= {step.signed.by.id} if step.signed else set()
    if mark.by.id not in workers:
        return
    if not mark.is_reinspection:
        yield _at(step, "inspected_by_performer", f"was inspected by {mark.by.name}, who did it")
    elif not may_reinspect:
        yield _at(step, "no_reinspection", "was reinspected, which the rules in force do not have")
    elif not mark.reason.strip():
        yield _at(step, "reinspection_without_reason", "was reinspected without a reason")


def _of_order(step: StepState, mark: Mark) -> Iterator[Obstacle]:
    """An inspection is of signed work as it stands now."""
    if step.signed is not None and mark.at < step.signed.at:
        yield _at(step, "inspected_before_sign_off", "was inspected before it was signed off")
    elif not mark.is_current or (step.entered_at is not None and mark.at < step.entered_at):
        what = f"was changed after {mark.by.name} inspected it: it has to be inspected again"
        yield _at(step, "inspected_value_changed", what)


def _of_ledger(state: SwapState) -> Iterator[Obstacle]:
    ledger = state.ledger
    if ledger.needs_removal and not ledger.is_removal_recorded:
        yield Obstacle("removal_not_recorded", "The removal is not recorded.")
    if ledger.is_removal_recorded and not ledger.is_removal_conforming:
        yield Obstacle("removal_not_conforming", _not_conforming("removal", ledger))
    if ledger.nested_off_unaccounted:
        units = ", ".join(ledger.nested_off_unaccounted)
        sentence = f"Not accounted for, from the unit that came off: {units}."
        yield Obstacle("nested_unaccounted", sentence)
    yield from _of_installation(ledger)
    if ledger.left_open is not None:
        yield from _of_open_item(ledger.left_open, state)


def _of_installation(ledger: LedgerFacts) -> Iterator[Obstacle]:
    if ledger.needs_installation and not ledger.is_installation_recorded:
        if ledger.left_open is None:
            yield Obstacle("installation_not_recorded", "The installation is not recorded.")
    elif ledger.is_installation_recorded and not ledger.is_installation_conforming:
        yield Obstacle("installation_not_conforming", _not_conforming("installation", ledger))
    elif not ledger.needs_installation and ledger.needs_removal and ledger.left_open is None:
        sentence = "The position is left open without a document: name the open item."
        yield Obstacle("position_left_open", sentence)


def _not_conforming(what: str, ledger: LedgerFacts) -> str:
    why = ledger.why_not_conforming.strip().rstrip(".")
    reason = f": {why}" if why else ""
    return f"The {what} does not conform and waits to be reconciled{reason}."


def _of_open_item(item: OpenItemFact, state: SwapState) -> Iterator[Obstacle]:
    if not item.document.strip():
        yield Obstacle("open_item_without_document", f"{item.words} has no document.")
    if item.expires_on is None:
        yield Obstacle("open_item_without_expiry", f"{item.words} does not say until when.")
    elif state.on > item.expires_on:
        sentence = f"{item.words} was good until {day_words(item.expires_on)}."
        yield Obstacle("open_item_expired", sentence)


def _of_unit(unit: UnitOnFacts) -> Iterator[Obstacle]:
    if not unit.fits:
        why = f": {unit.why_not_fit.strip().rstrip('.')}" if unit.why_not_fit else ""
        yield Obstacle("part_does_not_fit", f"{unit.words} may not go there{why}.")
    yield from unit.why_not_use
    if unit.nested_unaccounted:
        units = ", ".join(unit.nested_unaccounted)
        yield Obstacle("nested_unaccounted", f"Not accounted for inside {unit.words}: {units}.")
