"""A unit whose facts do not suffice is a due item too: what is missing, and the worst it could be."""

from __future__ import annotations

from datetime import date

import pytest

from scheduling.engine.basis.limits import Amount
from scheduling.engine.basis.result import State
from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours


@pytest.mark.parametrize(
    ("case", "clock", "told", "lacks", "worst"),
    [
        (
            "never recorded as done",
            a_clock(36),
            {"manufactured": "2020-02-10"},
            "when the work was last done",
            "2023-02-10",
        ),
        ("nothing known at all", a_clock(36), {}, "when the work was last done", None),
        (
            "no date of manufacture",
            a_clock(120, counts_from="manufacture"),
            {},
            "the date of manufacture",
            None,
        ),
        (
            "fitted, nobody knows when",
            a_clock(60, counts_from="this_installation"),
            {"on_aircraft": True, "manufactured": "2020-02-10"},
            "the date of this installation",
            "2025-02-10",
        ),
        (
            "fitted, but its first fitting is known",
            a_clock(60, counts_from="this_installation"),
            {"on_aircraft": True, "first_installed": "2021-05-01"},
            "the date of this installation",
            "2026-05-01",
        ),
        (
            "first fitting not known",
            a_clock(60, counts_from="first_installation"),
            {"on_aircraft": True},
            "the date of the first installation",
            None,
        ),
        (
            "method not recorded",
            a_clock((Amount(84, method="proof pressure"), Amount(144))),
            {"done": "2020-02-10"},
            "the method of the last work",
            "2027-02-10",
        ),
        (
            "standard not recorded",
            a_clock((Amount(24, standard="A"), Amount(12, standard="B"))),
            {"done": "2020-02-10"},
            "the modification standard",
            "2021-02-10",
        ),
        (
            "no amount for this method",
            a_clock((Amount(84, method="proof pressure"),)),
            {"done": "2020-02-10", "method": "water jacket"},
            "an amount of the limit that fits this unit",
            None,
        ),
        (
            "age not known",
            a_clock((Amount(12, age_from_months=180), Amount(36))),
            {"done": "2020-02-10"},
            "the date of manufacture",
            "2021-02-10",
        ),
        (
            "age when due not known",
            a_clock((Amount(12, age_from_months=180, age_basis="at_due"), Amount(36))),
            {"done": "2020-02-10"},
            "the date of manufacture",
            "2021-02-10",
        ),
        (
            "no life statement",
            a_clock(hours("900"), "FH", counts_from="manufacture"),
            {
                "on_aircraft": True,
                "installed": "2026-01-01",
                "fitted": [("2026-01-01", None)],
                "readings": {"FH": [("2025-12-31", 0), ("2026-02-01", 60)]},
            },
            "a life statement (total since new)",
            None,
        ),
        (
            "no filling ever counted",
            a_clock(4380, "FILL", counts_from="manufacture"),
            {},
            "a life statement (total since new)",
            None,
        ),
        (
            "no reading of the aircraft",
            a_clock(hours("900"), "FH", counts_from="manufacture"),
            {
                "on_aircraft": True,
                "installed": "2026-01-01",
                "fitted": [("2026-01-01", None)],
                "statements": [("FH", "2025-12-01", 60)],
            },
            "a reading of the aircraft's total",
            None,
        ),
        (
            "work before our records",
            a_clock(hours("900"), "FH"),
            {"done": "2022-01-01", "statements": [("FH", "2025-12-01", 60)]},
            "the total at the start of the interval",
            None,
        ),
    ],
)
def test_what_is_missing_is_named_with_the_worst_date(case, clock, told, lacks, worst):
    answer = due_of(a_limit(clock), "2026-02-01", **told)

    assert answer.state == State.NO_BASIS
    assert answer.lacks == [lacks]
    assert answer.worst_on == (date.fromisoformat(worst) if worst else None)
    assert answer.due_on is None
    assert (answer.may_refill, answer.may_install) == (False, False)


def test_a_known_clock_bounds_the_worst_date():
    limit = a_limit(a_clock(36), a_clock(120, seq=2, counts_from="manufacture"))

    answer = due_of(limit, "2026-02-01", done="2024-05-05")

    assert answer.state == State.NO_BASIS
    assert answer.worst_on == date(2027, 5, 5)


def test_a_known_clock_that_is_past_is_overdue_whatever_else_is_missing():
    limit = a_limit(a_clock(36), a_clock(120, seq=2, counts_from="manufacture"))

    answer = due_of(limit, "2026-02-01", done="2020-05-05")

    assert answer.state == State.RECKONED
    assert answer.is_past
    assert answer.lacks == ["the date of manufacture"]


def test_the_last_of_clocks_is_not_past_while_one_is_unknown():
    limit = a_limit(a_clock(36), a_clock(120, seq=2, counts_from="manufacture"), when="last")

    assert due_of(limit, "2026-02-01", done="2020-05-05").state == State.NO_BASIS


def test_a_clock_that_waits_for_the_fitting_lacks_nothing():
    limit = a_limit(a_clock(60, counts_from="this_installation"))

    assert due_of(limit, "2026-02-01").state == State.QUIET


def test_a_unit_new_when_first_recorded_needs_no_statement():
    limit = a_limit(a_clock(hours("900"), "FH", counts_from="manufacture"))

    answer = due_of(
        limit,
        "2026-02-01",
        new=True,
        on_aircraft=True,
        installed="2026-01-01",
        fitted=[("2026-01-01", None)],
        readings={"FH": [("2025-12-31 end", 0), ("2026-02-01 end", 60)]},
    )

    assert answer.total_minutes == 60


def test_without_a_statement_hours_count_from_the_start_of_the_interval():
    limit = a_limit(a_clock(hours("900"), "FH", counts_from="this_installation"))

    answer = due_of(
        limit,
        "2026-02-01",
        on_aircraft=True,
        installed="2026-01-01",
        fitted=[("2026-01-01", None)],
        readings={"FH": [("2025-12-31 end", 7), ("2026-02-01 end", 67)]},
    )

    assert (answer.due_at_minutes, answer.total_minutes) == (hours("900"), 60)
