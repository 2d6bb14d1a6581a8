"""What an amount is chosen by: turn, age at the start, method, standard, stated life."""

from __future__ import annotations

import numpy as np

from .amounts import Traits
from .columns import UNKNOWN, Dates
from .limits import Clock
from .months import age_months
from .starts import Starts, Subjects


def traits_of(clock: Clock, subjects: Subjects, starts: Starts, born: Dates) -> Traits:
    """The traits of each subject, only those that the clock's amounts ask for."""
    number = len(subjects)
    unknown = np.full(number, UNKNOWN)
    facts, unit = subjects.facts, subjects.unit
    asks_age = any(amount.age_from_months is not None for amount in clock.amounts)
    return Traits(
        is_repeat=~np.isnat(subjects.items.done_on),
        age=age_months(born, starts.on) if asks_age else unknown,
        method=subjects.items.method,
        standard=np.full(number, -1) if unit is None else facts.units.standard[unit],
        stated_life=unknown if unit is None else facts.units.stated_life_months[unit],
        methods=facts.methods,
        standards=facts.standards,
    )
