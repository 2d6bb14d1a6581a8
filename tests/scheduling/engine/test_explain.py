"""Every due item explains itself: a person can check it with pencil and paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from scheduling.engine.basis.limits import Amount, Variation
from scheduling.engine.telling.explain import explain, explained
from tests.scheduling.engine.builders import Told, a_clock, a_limit, facts_of, hours

THIN = "\u202f"


def told_of(limit, as_of, **told):
    facts = facts_of(Told(**told), limit.subject)
    return [one.replace(THIN, " ") for one in explain([limit], facts, 0, date.fromisoformat(as_of))]


def test_a_bottle_explains_its_life_against_its_test():
    limit = a_limit(
        a_clock(36, rounds="month_end", first_from="manufacture"),
        a_clock(288, seq=2, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
        a_clock(4380, "FILL", seq=3, counts_from="manufacture", runs_out="end_of_life"),
        title="Hydrostatic test and life",
    )

    steps = told_of(
        limit,
        "2026-01-05",
        manufactured="2002-07",
        done="2025-06",
        statements=[("FILL", "2026-01-01", 900)],
    )

    text = " ".join(steps)
    assert "CMM 25-60-01 revision 7" in steps[0]
    assert "Counts from manufacture, 31 Jul 2002" in text
    assert "31 Jul 2002 + 288 months = 31 Jul 2026." in text
    assert "Rounded to the end of its month: 31 Jul 2026." in text
    assert "207 days remaining" in text
    assert "30 Jun 2028, 700 days later." in text
    assert "due at 4 380 fillings, 3 480 fillings remaining" in text


def test_hours_explain_the_total_they_stand_on_and_their_projection():
    limit = a_limit(a_clock(hours("1500"), "FH"))

    steps = told_of(
        limit,
        "2026-04-20",
        done="2025-12-31",
        on_aircraft=True,
        installed="2025-12-01",
        fitted=[("2025-12-01", None)],
        statements=[("FH", "2025-12-31", hours("12345:30"))],
        readings={"FH": [("2025-12-31 end", hours("20000")), ("2026-04-10 end", hours("20500"))]},
    )

    text = " ".join(steps)
    assert "12 345:30 + 1 500:00 flight hours = 13 845:30 flight hours, due after it." in text
    assert (
        "On an aircraft from 31 Dec 2025 (20 000:00 on the aircraft) to 20 Apr 2026 (20 500:00): "
        "500:00." in text
    )
    assert "12 845:30 flight hours (12 345:30 stated on 31 Dec 2025, 500:00 flown since)" in text
    assert "At 5.0000 hours a day (450:00 in the last 90 days) from 10 Apr 2026" in text
    assert "about 27 Oct 2026" in text


def test_store_variation_and_extension_are_said_with_their_number():
    limit = a_limit(
        a_clock(36, anchor="shop_release", runs="store_up_to_cap", store_cap_months=12),
        extendable=True,
        variation=Variation(days=30),
    )

    steps = told_of(
        limit,
        "2026-10-05",
        done="2024-01-31",
        shop_released="2024-02-03",
        store=[("2024-02-05", "2024-09-01")],
        extension={"days": 20},
    )

    text = " ".join(steps)
    assert "3 Feb 2024, the shop's release" in text
    assert "209 days in store are not counted (up to 12 months)" in text
    assert "30 Aug 2024 + 36 months = 30 Aug 2027." in text
    assert "Extension EXT-26-014, 20 days, moves the limit to 19 Sep 2027." in text
    assert "Its variation permits it until 29 Sep 2027." in text


def test_the_amount_says_why_it_was_chosen():
    limit = a_limit(a_clock((Amount(84, method="proof pressure"), Amount(144))))

    text = " ".join(told_of(limit, "2026-01-01", done="2020-02-10", method="proof pressure"))

    assert "10 Feb 2020 + 84 months (after proof pressure) = 10 Feb 2027." in text


def test_what_is_missing_is_named_with_what_is_known():
    limit = a_limit(a_clock(36), a_clock(120, seq=2, counts_from="manufacture"))

    text = " ".join(told_of(limit, "2026-01-01", done="2024-02-10"))

    assert "It cannot be computed. Not recorded: the date of manufacture." in text
    assert "the worst date is 10 Feb 2027" in text


def test_the_clocks_can_be_drawn_with_the_winner_first():
    limit = a_limit(a_clock(36), a_clock(24, seq=2))
    facts = facts_of(Told(done="2025-01-15"))

    told = explained([limit], facts, 0, date(2026, 1, 1))

    assert [(span.seq, span.start_on, span.end_on) for span in told.clocks] == [
        (2, date(2025, 1, 15), date(2027, 1, 15)),
        (1, date(2025, 1, 15), date(2028, 1, 15)),
    ]


def test_every_state_can_be_explained():
    quiet = a_limit(a_clock(60, counts_from="this_installation"))

    assert any("does not run now" in step for step in told_of(quiet, "2026-01-01"))
    assert told_of(a_limit(), "2026-01-01")


def test_the_stretches_on_aircraft_add_up_to_the_total():
    limit = a_limit(a_clock(hours("10000"), "FH", counts_from="manufacture"))

    steps = told_of(
        limit,
        "2026-04-10",
        manufactured="2020-01-01",
        statements=[("FH", "2025-12-01", 0)],
        fitted=[
            ("2026-01-10", "2026-01-20", {"FH": (hours("20031:30"), hours("20080"))}),
            ("2026-02-10", "2026-02-20", {"FH": (hours("20200"), hours("20210"))}),
        ],
        readings={"FH": [("2025-12-31 end", hours("20000")), ("2026-04-10 end", hours("20500"))]},
    )

    text = " ".join(steps)
    assert "from 10 Jan 2026 (20 031:30 on the aircraft) to 20 Jan 2026 (20 080:00): 48:30." in text
    assert "from 10 Feb 2026 (20 200:00 on the aircraft) to 20 Feb 2026 (20 210:00): 10:00." in text
    assert "58:30 flight hours (0:00 stated on 1 Dec 2025, 58:30 flown since)" in text


def test_an_aircraft_explains_the_reading_it_stands_on():
    limit = a_limit(a_clock(hours("600"), "FH"), subject="aircraft")

    steps = told_of(
        limit,
        "2026-04-20",
        done="2025-12-31",
        readings={"FH": [("2025-12-31 end", hours("20000")), ("2026-04-10 end", hours("20500"))]},
    )

    assert any(
        "20 500:00 flight hours (as read by 10 Apr 2026): 100:00 remaining." in one for one in steps
    )


def test_a_clock_that_waits_says_what_for():
    first_only = a_limit(a_clock((Amount(90, when="first"),), "days"))
    repeat_only = a_limit(a_clock((Amount(12, when="repeat"),)))
    fitting = a_limit(a_clock(60, counts_from="this_installation"))

    assert (
        "it was for the first time only" in told_of(first_only, "2026-01-01", done="2025-01-01")[1]
    )
    assert "it begins with the first work" in told_of(repeat_only, "2026-01-01")[1]
    assert "it begins when the unit is fitted" in told_of(fitting, "2026-01-01")[1]


def test_a_backstop_says_what_caps_the_interval():
    by_total = a_limit(a_clock(hours("800"), "FH", never_later_total=hours("600")))
    by_day = a_limit(a_clock(36, never_later_months=180, rounds="month_end"))

    hourly = told_of(
        by_total,
        "2026-01-01",
        done="2025-01-01",
        done_totals={"FH": 0},
        statements=[("FH", "2025-12-31", hours("30"))],
    )
    monthly = told_of(by_day, "2026-01-01", manufactured="2012-04", done="2025-06-01")

    assert "Never later than a total of 600:00 flight hours since new." in hourly
    assert "Never later than 180 months from manufacture, 30 Apr 2012: 30 Apr 2027." in monthly


def test_a_stretch_names_the_aircraft_and_the_position():
    limit = a_limit(a_clock(hours("10000"), "FH", counts_from="manufacture"))
    told = Told(
        manufactured="2020-01-01",
        statements=[("FH", "2025-12-01", 0)],
        fitted=[("2026-01-10", "2026-01-20", {"FH": (hours("20031:30"), hours("20080"))})],
        readings={"FH": [("2025-12-31 end", hours("20000")), ("2026-04-10 end", hours("20500"))]},
    )
    facts = replace(facts_of(told), fitted_at=("Q7-VAD, D1L-SLIDE",))

    text = " ".join(explain([limit], facts, 0, date(2026, 4, 10))).replace(THIN, " ")

    assert "On Q7-VAD, D1L-SLIDE, from 10 Jan 2026 (20 031:30 on the aircraft)" in text


def test_behind_a_winner_without_a_date_a_clock_of_the_same_measure_says_how_far():
    """Fillings 900: 4,380 since new leave 3,480, and 600 since the work at 700 leave 400."""
    limit = a_limit(
        a_clock(4380, "FILL", counts_from="manufacture", runs_out="end_of_life"),
        a_clock(600, "FILL", seq=2),
    )

    steps = told_of(
        limit,
        "2026-01-05",
        done="2025-06-01",
        done_totals={"FILL": 700},
        statements=[("FILL", "2026-01-01", 900)],
    )

    assert "700 + 600 fillings = 1 300 fillings, due after it." in steps
    assert (
        steps[-1]
        == "Clock 1, 4 380 fillings from manufacture: due at 4 380 fillings, 3 480 fillings"
        " remaining: 3 080 fillings behind the clock that decides."
    )


def test_behind_a_winner_of_another_measure_a_clock_says_what_it_has_left():
    limit = a_limit(
        a_clock(4380, "FILL", counts_from="manufacture"),
        a_clock(hours("100"), "USE", seq=2, counts_from="manufacture"),
    )

    steps = told_of(
        limit,
        "2026-01-05",
        statements=[("FILL", "2026-01-01", 900), ("USE", "2026-01-01", hours("40"))],
    )

    assert steps[-1] == (
        "Clock 2, 100:00 hours of use from manufacture: due at 100:00 hours of use, 60:00 hours of use"
        " remaining; it comes to no date, as nothing says how fast it is used, and cannot be compared with"
        " fillings."
    )


def test_behind_a_winner_that_is_past_without_a_date_a_clock_says_how_long_it_would_last():
    limit = a_limit(
        a_clock(24),
        a_clock(hours("1"), "USE", seq=2, counts_from="manufacture"),
    )

    steps = told_of(
        limit, "2026-01-05", done="2025-01-31", statements=[("USE", "2026-01-01", hours("1:01"))]
    )

    assert steps[-1] == "Clock 1, 24 months from the last work: 31 Jan 2027, 391 days remaining."
    assert "0:01 over" in " ".join(steps)


def test_a_clock_that_is_over_as_well_says_by_how_much():
    limit = a_limit(
        a_clock(500, "FILL", counts_from="manufacture"),
        a_clock(hours("1"), "USE", seq=2, counts_from="manufacture"),
    )

    steps = told_of(
        limit,
        "2026-01-05",
        statements=[("FILL", "2026-01-01", 501), ("USE", "2026-01-01", hours("1:30"))],
    )

    assert "due at 1:00 hours of use, 0:30 hours of use over" in steps[-1]
