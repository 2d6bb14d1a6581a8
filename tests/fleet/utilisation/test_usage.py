from __future__ import annotations

from datetime import date

from fleet.utilisation import months as usage

READ = [(date(2026, 1, 31), 6000), (date(2026, 2, 28), 7680), (date(2026, 4, 30), 9510)]


def test_a_total_between_two_readings_is_drawn_straight():
    assert usage.total_on(READ, date(2026, 2, 14)) == 6000 + 1680 * 14 / 28


def test_a_total_beyond_the_last_reading_is_not_guessed():
    assert usage.total_on(READ, date(2026, 5, 1)) is None
    assert usage.total_on(READ, date(2026, 1, 30)) is None


def test_months_that_readings_do_not_cover_are_left_out():
    months = usage.by_month(READ, date(2026, 5, 20), 6)

    assert [first for first, _ in months] == [date(2026, 2, 1), date(2026, 3, 1), date(2026, 4, 1)]
    assert [used for _, used in months] == [1680, 1830 * 31 / 61, 1830 * 30 / 61]
