"""A total is asked about where it is not like what the aircraft flies. Figures worked by hand."""

from __future__ import annotations

from datetime import date

from fleet.utilisation.usual import question_of, usual_per_day

HOUR = 60
#: Ten hours a day for ninety days, from 10 000 h.
READ = [(date(2026, 8, 1), 10_000 * HOUR), (date(2026, 10, 30), 10_900 * HOUR)]


def asked(on: date, total: int, *, is_hours: bool = True, read=READ) -> str:
    found = question_of(read, on, total, is_hours=is_hours)
    return found.code if found else ""


def test_usual_use_is_what_was_flown_by_the_days_between():
    assert usual_per_day(READ) == 10 * HOUR
    assert usual_per_day(READ[:1]) is None


def test_what_is_usual_is_not_asked_about():
    assert asked(date(2026, 11, 9), 11_000 * HOUR) == ""  # 100 h in 10 days


def test_99_999_hours_are_more_than_the_days_hold():
    found = question_of(READ, date(2026, 11, 9), 99_999 * HOUR, is_hours=True)

    assert found and found.code == "more_than_days_hold"
    assert "since 30 Oct 2026" in found.words


def test_four_times_the_usual_is_asked_about_with_both_figures():
    # a day of 4 h is usual; 16 h a day can be flown, and is asked about
    read = [(date(2026, 8, 1), 0), (date(2026, 10, 30), 360 * HOUR)]

    found = question_of(read, date(2026, 11, 9), 520 * HOUR, is_hours=True)

    assert found and found.code == "more_than_usual"
    assert "160:00 h in 10 days" in found.words and "usual is 40:00 h" in found.words


def test_a_total_below_the_last_is_asked_about():
    assert asked(date(2026, 11, 9), 10_899 * HOUR) == "total_runs_backwards"


def test_a_first_reading_is_asked_nothing():
    assert asked(date(2026, 11, 9), 99_999 * HOUR, read=[]) == ""


def test_more_cycles_than_any_day_has_are_asked_about():
    read = [(date(2026, 10, 30), 5_000)]

    assert asked(date(2026, 10, 31), 5_016, is_hours=False, read=read) == ""
    assert asked(date(2026, 10, 31), 5_017, is_hours=False, read=read) == "more_than_days_hold"
