"""A unit's own measures beside each other: which one the row names, what is left in it."""

from __future__ import annotations

from tests.scheduling.engine.builders import a_clock, a_limit, due_of, hours

FILLED_900 = ("FILL", "2026-01-01", 900)


def test_of_two_clocks_in_fillings_the_one_with_less_left_decides():
    limit = a_limit(a_clock(4380, "FILL", counts_from="manufacture"), a_clock(600, "FILL", seq=2))

    answer = due_of(
        limit, "2026-01-05", done="2025-06-01", done_totals={"FILL": 700}, statements=[FILLED_900]
    )

    assert (answer.decided_by, answer.due_at_other, answer.left_other) == (2, 1300, 400)
    assert answer.runner_up == 1


def test_the_last_of_two_clocks_in_fillings_is_the_one_with_more_left():
    limit = a_limit(
        a_clock(600, "FILL"), a_clock(4380, "FILL", seq=2, counts_from="manufacture"), when="last"
    )

    answer = due_of(
        limit, "2026-01-05", done="2025-06-01", done_totals={"FILL": 700}, statements=[FILLED_900]
    )

    assert (answer.decided_by, answer.due_at_other, answer.left_other) == (2, 4380, 3480)


def test_of_two_measures_the_one_that_decides_is_the_one_told():
    """The battery is past its hour of use; what is left of its fillings is less in number only."""
    limit = a_limit(
        a_clock(905, "FILL", counts_from="manufacture"),
        a_clock(hours("1"), "USE", seq=2, counts_from="manufacture"),
    )

    answer = due_of(
        limit, "2026-01-05", statements=[FILLED_900, ("USE", "2026-01-01", hours("1:30"))]
    )

    assert (answer.decided_by, answer.due_at_other, answer.left_other) == (2, 60, -30)


def test_where_a_date_decides_the_first_of_the_unit_s_own_measures_is_told():
    limit = a_limit(
        a_clock(12),
        a_clock(4380, "FILL", seq=2, counts_from="manufacture"),
        a_clock(hours("100"), "USE", seq=3, counts_from="manufacture"),
    )

    answer = due_of(
        limit,
        "2026-01-05",
        done="2025-06-01",
        statements=[FILLED_900, ("USE", "2026-01-01", hours("99"))],
    )

    assert (answer.decided_by, answer.due_at_other, answer.left_other) == (1, 4380, 3480)
