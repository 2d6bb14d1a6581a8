"""Times in store that touch or overlap are one time."""

from __future__ import annotations

import numpy as np

from scheduling.facts.copying import NO_DATE
from scheduling.facts.in_store import joined


def times(*rows):
    columns = np.array(rows, np.int64).reshape(-1, 3).T
    return dict(zip(("unit", "from_on", "to_on"), columns, strict=True))


def listed(found):
    return list(zip(*(found[name].tolist() for name in ("unit", "from_on", "to_on")), strict=True))


def test_times_that_touch_are_joined_and_others_stay_apart():
    assert listed(joined(times((1, 0, 10), (1, 10, 20), (1, 21, 30)))) == [(1, 0, 20), (1, 21, 30)]


def test_a_time_within_another_adds_nothing():
    assert listed(joined(times((1, 0, 30), (1, 5, 10), (1, 30, 40)))) == [(1, 0, 40)]


def test_one_that_lasts_still_has_no_end():
    assert listed(joined(times((1, 0, NO_DATE), (1, 5, 10)))) == [(1, 0, NO_DATE)]


def test_units_are_not_mixed():
    rows = ((1, 0, NO_DATE), (2, 0, 5), (2, 5, 9))
    assert listed(joined(times(*rows))) == [(1, 0, NO_DATE), (2, 0, 9)]
