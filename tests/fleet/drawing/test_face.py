from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from fleet.drawing import lifeline, states
from fleet.drawing.cabin import CabinPlan, Place, cabin_plan
from fleet.drawing.chart import chart
from fleet.drawing.checks import PlannedCheck, check_line
from fleet.drawing.lifeline import LifeLine
from fleet.drawing.time import Scale, month_after, row_scale
from fleet.screens.fonts import FontFinder
from fleet.words import said as words
from tests.fleet.drawing import gallery_data as invented

TODAY = date(2026, 11, 25)
THIN = words.THIN


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(740_730, f"12{THIN}345:30"), (5, "0:05"), (-65, "−1:05"), (0, "0:00"), (None, "")],
)
def test_hours_are_said_with_a_thin_space_and_minutes(minutes, said):
    assert words.hours_words(minutes) == said


@pytest.mark.parametrize(
    ("precision", "said"),
    [("day", "3 Mar 2027"), ("month", "Mar 2027"), ("year", "2027"), ("instant", "3 Mar 2027")],
)
def test_a_date_is_said_no_more_exactly_than_it_is_known(precision, said):
    assert words.dated_words(date(2027, 3, 3), precision) == said


def test_an_instant_is_said_with_its_zone():
    at = datetime(2027, 3, 3, 14, 5, tzinfo=ZoneInfo("Europe/Paris"))

    assert words.moment_words(at) == "3 Mar 2027 14:05 CET"
    assert words.clock_words(at.astimezone(UTC)) == "13:05 UTC"
    assert words.moment_words(None) == words.clock_words(None) == ""


def test_a_plan_says_the_weekday():
    assert words.weekday_words(date(2027, 3, 3)) == "Wed 3 Mar 2027"


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (98, "98 days remaining"),
        (1, "1 day remaining"),
        (0, "today"),
        (-1, "1 day over"),
        (None, ""),
    ],
)
def test_what_is_left_is_said_in_words(days, said):
    assert words.left_words(days) == said


def test_every_state_has_an_urgency_but_being_recomputed():
    assert set(states.URGENCY) == set(states.STATES) - {"stale"}


def test_the_worst_of_several_states_is_the_most_urgent():
    assert states.worst_of(["later-check", "no-basis", "next-check"]) == "no-basis"


def test_months_after_cross_the_year():
    assert month_after(date(2026, 11, 25), 2) == date(2027, 1, 1)
    assert month_after(date(2026, 1, 31), -1) == date(2025, 12, 1)


@pytest.mark.parametrize("years", [1, 3, 12, 60, 300])
def test_an_axis_never_has_more_marks_than_there_is_room_for(years):
    scale = Scale(date(1900, 6, 1), date(1900 + years, 6, 1))

    assert 1 <= len(scale.marks(9)) <= 10


def test_a_line_that_ends_before_the_next_check_says_so():
    line = LifeLine(TODAY, "Battery", date(2024, 1, 20), date(2027, 1, 20), checks=invented.CHECKS)

    assert lifeline.words_of(line) == (
        "Battery: from 20 Jan 2024 to 20 Jan 2027, 56 days remaining; ends 12 days before check C1 on 1 Feb 2027."
    )


def test_a_line_past_its_limit_is_drawn_over_up_to_today():
    scale = row_scale(TODAY)

    drawn = lifeline.drawn(LifeLine(TODAY, "Test", date(2021, 9, 30), date(2026, 9, 30)), scale)

    assert drawn.is_over
    assert drawn.over is not None
    assert (drawn.over.x1, drawn.over.x2) == (scale.x(scale.from_on), scale.x(TODAY))
    assert drawn.left is None


def test_rows_share_a_near_window_in_which_days_are_told_apart():
    scale = row_scale(TODAY)

    assert (scale.to_on - scale.from_on).days == 213
    assert scale.place(TODAY + timedelta(days=23)) - scale.place(TODAY + timedelta(days=1)) > 10


def test_what_ends_before_the_next_check_shows_the_gap_to_it():
    due, check = TODAY + timedelta(days=5), TODAY + timedelta(days=40)
    checks = ((check, "C1"),)
    scale = row_scale(TODAY)

    early = lifeline.drawn(LifeLine(TODAY, "Test", due_on=due, checks=checks), scale)
    late = lifeline.drawn(LifeLine(TODAY, "Test", due_on=check, checks=checks), scale)

    assert early.gap is not None
    assert (early.gap.x1, early.gap.x2) == (scale.x(due), scale.x(check))
    assert late.gap is None


def test_january_is_named_with_its_year():
    assert "Jan 2027" in [mark.label for mark in row_scale(TODAY).marks(3)]


def test_a_line_without_a_basis_ends_at_its_worst_date():
    drawn = lifeline.drawn(
        LifeLine(TODAY, "Overhaul", worst_on=date(2027, 1, 12)), row_scale(TODAY)
    )

    assert not drawn.is_known
    assert drawn.end
    assert "ends no later than 12 Jan 2027" in drawn.words


def test_a_line_past_its_limit_on_no_known_day_ends_today():
    scale = row_scale(TODAY)

    drawn = lifeline.drawn(LifeLine(TODAY, "Battery", is_spent=True), scale)

    assert drawn.is_over
    assert drawn.is_known
    assert drawn.end == scale.x(TODAY)
    assert drawn.words == "Battery: past its limit."


def test_a_limit_beyond_the_scale_has_an_open_end():
    drawn = lifeline.drawn(
        LifeLine(TODAY, "Life", date(2010, 8, 1), date(2034, 10, 1)), row_scale(TODAY)
    )

    assert drawn.end == ""
    assert drawn.goes_on_after
    assert drawn.comes_from_before


def test_all_lines_of_a_sheet_share_one_scale():
    sheet = lifeline.sheet(invented.CLOCKS, TODAY)

    assert len({line.now for line in sheet.lines}) == 1
    assert sheet.lines[0].label == "36 months from last overhaul"


def overlapping(plan: CabinPlan) -> list[tuple[str, str]]:
    found = []
    for one in plan.targets:
        for other in plan.targets:
            apart = max(abs(one.cx - other.cx), abs(one.cy - other.cy))
            if one.place.code < other.place.code and apart < plan.target:
                found.append((one.place.code, other.place.code))
    return found


@pytest.mark.parametrize("is_tall", [False, True])
def test_no_two_positions_overlap_even_when_the_data_put_them_in_one_spot(is_tall):
    crowd = [Place(f"P{n:02}", "", 640, -190 + n % 3, "quiet", "#", "") for n in range(12)]

    plan = cabin_plan(invented.LONG_TYPE, crowd, is_tall=is_tall)

    assert overlapping(plan) == []


def test_a_crowd_stays_centred_on_its_true_place():
    crowd = [Place(f"P{n}", "", 1500, 0, "quiet", "#", "") for n in range(3)]

    targets = sorted(cabin_plan(invented.LONG_TYPE, crowd).targets, key=lambda t: t.cx)

    assert targets[1].cx == pytest.approx(targets[1].true_x, abs=0.2)
    assert all(right.cx - left.cx >= 26 for left, right in pairwise(targets))


def test_left_is_below_when_the_nose_points_left_and_left_when_it_points_up():
    left = Place("L", "", 600, -190, "quiet", "#", "")

    wide, tall = (
        cabin_plan(invented.LONG_TYPE, [left]),
        cabin_plan(invented.LONG_TYPE, [left], is_tall=True),
    )

    assert wide.targets[0].cy > wide.middle
    assert tall.targets[0].cx < tall.middle


def test_a_type_without_a_layout_still_shows_its_positions():
    plan = cabin_plan({}, [Place("X", "", 300, 0, "quiet", "#", "")])

    assert len(plan.targets) == 1
    assert plan.doors == ()


def test_checks_outside_the_coming_months_are_left_out():
    gone = PlannedCheck("A1", date(2026, 1, 1), date(2026, 1, 2))
    coming = PlannedCheck("C1", date(2027, 2, 1), date(2027, 2, 12), "NRV", due_before=2, due_at=7)

    line = check_line([coming, gone], TODAY)

    assert [item.words for item in line.checks] == [
        "Check C1, Mon 1 Feb 2027 to Fri 12 Feb 2027 at NRV: 2 due before it, 7 to do at it."
    ]


def test_a_chart_says_its_average():
    drawn = chart([(date(2026, 9, 1), 200.0), (date(2026, 10, 1), 240.0)], "flight hours")

    assert drawn.words == "Sep 2026 to Oct 2026: 220 flight hours a month on average."
    assert drawn.bars[1].height == "100%"


def test_the_type_face_comes_out_of_the_installed_package():
    finder = FontFinder()

    path = finder.find("face/plex-sans.ttf")

    with open(path, "rb") as font:
        assert font.read(4) == b"\x00\x01\x00\x00"
    assert finder.find("face/other.ttf") is None
