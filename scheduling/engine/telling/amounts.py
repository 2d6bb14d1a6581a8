"""Why a clock allows this amount and no other, with the facts that decided it."""

from __future__ import annotations

import numpy as np

from scheduling.engine.basis.limits import Amount
from scheduling.engine.basis.months import stamped

from .story import ClockStory
from .wording import conditions, day_said, quantity


def why_amount(story: ClockStory) -> str:
    """The conditions of the amount, what it was made on or of which standard it is where that counts,
    and of an amount without a condition why none before it holds. Empty for one of all."""
    clock, row = story.clock, int(story.result.amount_row[0])
    amount = clock.amounts[row]
    said = conditions(amount)
    parts = [said] if said else []
    if len(clock.amounts) > 1 and not _is_chosen(amount):
        others = [one for one in clock.amounts[:row] if _is_chosen(one) and _in_turn(one, story)]
        parts += [f"not {_worth(one, story)} {conditions(one)}" for one in others]
    asked = clock.amounts[: row + 1]
    if any(one.age_from_months for one in asked) and (born := made_on(story)):
        parts.append(f"made on {born}")
    if any(one.standard is not None for one in asked) and not amount.standard:
        parts.append(f"its standard is {_standard(story)}")
    return ", ".join(parts)


def made_on(story: ClockStory) -> str:
    """The day of manufacture that the clock reckons with; empty where none is recorded."""
    unit = int(story.facts.items.unit[0])
    if unit >= 0:
        units = story.facts.units
        day = stamped(
            units.manufactured_on[[unit]],
            units.manufactured_precision[[unit]],
            story.clock.month_only_stamp,
        )[0]
    else:
        aircraft = int(story.facts.items.aircraft[0])
        day = (
            story.facts.aircraft.manufactured_on[aircraft]
            if aircraft >= 0
            else np.datetime64("NaT")
        )
    return "" if np.isnat(day) else day_said(day)


def _is_chosen(amount: Amount) -> bool:
    return any(one is not None for one in (amount.age_from_months, amount.method, amount.standard))


def _in_turn(amount: Amount, story: ClockStory) -> bool:
    turn = "first" if np.isnat(story.facts.items.done_on[0]) else "repeat"
    return amount.when in ("any", turn)


def _worth(amount: Amount, story: ClockStory) -> str:
    if amount.value is None:
        return "a share"
    return quantity(story.clock, amount.value, story.facts)


def _standard(story: ClockStory) -> str:
    unit = int(story.facts.items.unit[0])
    index = int(story.facts.units.standard[unit]) if unit >= 0 else -1
    return (story.facts.standards[index] or "as built") if index >= 0 else "not recorded"
