"""The demonstration's dates move with the day it is loaded: by days, and by months for stamps."""

from __future__ import annotations

import itertools
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from demo_fixtures.build.__main__ import write_all
from demo_fixtures.copies import FOLDER, reference_day
from demo_fixtures.shift import moved_cell, moved_text, shift_between

LOAD_DAYS = [
    date(2026, 11, 15),
    date(2026, 11, 25),
    date(2027, 1, 31),
    date(2027, 2, 28),
    date(2028, 2, 29),
    date(2028, 12, 31),
    date(2031, 3, 1),
]


@pytest.mark.parametrize("today", LOAD_DAYS)
def test_a_full_date_keeps_its_distance_from_the_day_of_loading(today: date) -> None:
    shift = shift_between(reference_day(), today)
    yesterday = reference_day() - timedelta(days=1)

    assert moved_text(f"{yesterday}", shift) == f"{today - timedelta(days=1)}"


@pytest.mark.parametrize("today", LOAD_DAYS)
def test_a_stamp_of_this_month_stays_a_stamp_of_this_month(today: date) -> None:
    shift = shift_between(reference_day(), today)

    assert moved_text("11/2026", shift) == f"{today:%m/%Y}"
    assert moved_text("NOV 26", shift) == f"{today:%b %y}".upper()


@pytest.mark.parametrize("today", LOAD_DAYS)
def test_stamps_and_days_stay_within_sixteen_days_of_each_other(today: date) -> None:
    shift = shift_between(reference_day(), today)
    middle = date(2026, 11, 15)

    moved_day = middle + timedelta(days=shift.days)
    stamp = moved_text("11/2026", shift)
    moved_middle = date(int(stamp[3:]), int(stamp[:2]), 15)

    assert abs((moved_day - moved_middle).days) <= 16


def test_readings_stay_a_day_apart_over_a_leap_day() -> None:
    shift = shift_between(reference_day(), date(2028, 3, 6))
    days = [date(2026, 11, 7) + timedelta(days=n) for n in range(8)]

    moved = [date.fromisoformat(moved_text(f"{day}", shift)) for day in days]

    assert date(2028, 2, 29) in moved
    assert all(after - before == timedelta(days=1) for before, after in itertools.pairwise(moved))


@pytest.mark.parametrize(
    ("cell", "moved"),
    [
        ("2026-10-27 14:30", "2027-01-27 14:30"),
        ("02/2021", "05/2021"),
        ("DEC 21", "MAR 22"),
        ("12345:30", "12345:30"),
        ("D2R-SLIDE", "D2R-SLIDE"),
        ("VL-2026-11-15", "VL-2026-11-15"),
        (datetime(2026, 11, 15), datetime(2027, 2, 15)),  # noqa: DTZ001
        (520, 520),
    ],
)
def test_only_dates_move(cell: object, moved: object) -> None:
    shift = shift_between(date(2026, 11, 15), date(2027, 2, 15))

    assert moved_cell(cell, shift) == moved


def test_the_sheets_are_what_the_build_writes(tmp_path: Path) -> None:
    write_all(tmp_path)

    kept = {p.relative_to(FOLDER / "sheets"): p for p in (FOLDER / "sheets").rglob("*.*")}
    written = {p.relative_to(tmp_path): p for p in tmp_path.rglob("*.*")}
    assert kept.keys() == written.keys()
    texts = [name for name in kept if name.suffix == ".csv"]
    assert not [name for name in texts if kept[name].read_text() != written[name].read_text()]
