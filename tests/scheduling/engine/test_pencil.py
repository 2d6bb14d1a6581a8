"""An explanation has every figure that a pencil needs, and no more is said than is so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from scheduling.engine.basis import columns as c
from scheduling.engine.basis.limits import Amount
from scheduling.engine.telling.explain import explain
from tests.scheduling.engine.builders import CODES, Told, a_clock, a_limit, facts_of, hours

THIN = "\u202f"


def said(limit, as_of, ahead=(), **told):
    facts = facts_of(Told(**told), limit.subject)
    if ahead:
        facts = replace(
            facts,
            ahead=c.Ahead.of(
                len(ahead),
                measures=len(CODES),
                aircraft=[0] * len(ahead),
                from_on=[since for since, _ in ahead],
                parked=[parked for _, parked in ahead],
            ),
        )
    steps = explain([limit], facts, 0, date.fromisoformat(as_of))
    return " ".join(steps).replace(THIN, " ")


def test_an_age_that_counts_says_the_day_it_was_made():
    """24 Feb 2025 + 12 months is not before the 15th birthday, 3 Apr 2027."""
    amounts = (Amount(12, age_from_months=180, age_basis="at_due"), Amount(36))

    told = said(
        a_limit(a_clock(amounts)), "2026-01-05", done="2025-02-24", manufactured="2012-04-03"
    )

    assert "+ 12 months (from an age of 15 years when it falls due, made on 3 Apr 2012)" in told
    assert "= 3 Apr 2027" in told


def test_a_backstop_from_manufacture_says_the_day_it_was_made():
    told = said(
        a_limit(a_clock(36, never_later_months=180)),
        "2026-01-05",
        done="2025-02-24",
        manufactured="2012-04-03",
    )

    assert "Never later than 180 months from manufacture, 3 Apr 2012: 3 Apr 2027." in told


def test_an_extension_says_its_days():
    told = said(
        a_limit(a_clock(36), extendable=True),
        "2026-01-05",
        done="2025-02-24",
        extension={"days": 60},
    )

    assert ", 60 days, moves the limit to 24 Apr 2028." in told


def test_an_extension_says_where_less_counts_than_was_granted():
    told = said(
        a_limit(a_clock(36), extendable=True, extension_days_most=30),
        "2026-01-05",
        done="2025-02-24",
        extension={"days": 60},
    )

    assert ", 30 days at most of 60 days, moves the limit to 25 Mar 2028." in told


def test_an_amount_without_a_condition_says_why_no_other_holds():
    amounts = (Amount(hours("24000"), standard="B"), Amount(hours("20000")))

    told = said(
        a_limit(a_clock(amounts, "FH", counts_from="manufacture")),
        "2026-01-05",
        standard="A",
        statements=[("FH", "2026-01-01", hours("100"))],
    )

    assert "(not 24 000:00 flight hours at standard B, its standard is A)" in told


def test_a_total_between_two_readings_says_so():
    told = said(
        a_limit(a_clock(hours("500"), "FH", counts_from="last_done"), subject="aircraft"),
        "2026-10-29",
        done="2026-10-20",
        readings={"FH": [("2026-10-18 end", hours("16760")), ("2026-10-28 end", hours("16820"))]},
    )

    assert (
        "Its total then was 16 772:00 flight hours, reckoned between the readings of "
        "18 Oct 2026 and 28 Oct 2026." in told
    )


def test_a_total_that_was_read_says_nothing_of_it():
    told = said(
        a_limit(a_clock(hours("500"), "FH", counts_from="last_done"), subject="aircraft"),
        "2026-10-29",
        done="2026-10-18",
        readings={"FH": [("2026-10-18 end", hours("16760")), ("2026-10-28 end", hours("16820"))]},
    )

    assert "Its total then was 16 760:00 flight hours." in told


def test_a_rate_says_what_was_flown_in_how_many_days():
    told = said(
        a_limit(a_clock(hours("500"), "FH"), subject="aircraft"),
        "2026-10-29",
        done="2026-07-20",
        readings={"FH": [("2026-07-20 end", hours("1000")), ("2026-10-18 end", hours("1474:18"))]},
    )

    assert "At 5.2700 hours a day (474:18 in the last 90 days) from 18 Oct 2026" in told


def test_a_rate_says_what_changes_before_the_day():
    told = said(
        a_limit(a_clock(hours("500"), "FH"), subject="aircraft"),
        "2026-10-29",
        ahead=[("2026-11-01", True), ("2026-12-01", False), ("2028-01-01", True)],
        done="2026-07-20",
        readings={"FH": [("2026-07-20 end", hours("1000")), ("2026-10-18 end", hours("1360"))]},
    )

    assert (
        "At 4.0000 hours a day (360:00 in the last 90 days) from 18 Oct 2026, parked from 1 Nov 2026, "
        "at 4.0000 hours a day (360:00 in the last 90 days) from 1 Dec 2026, that lasts until about "
        "22 Dec 2026." in told
    )


def test_what_is_used_up_says_since_when():
    told = said(
        a_limit(a_clock(hours("1"), "USE", counts_from="manufacture")),
        "2026-11-30",
        manufactured="2024-01-01",
        statements=[("USE", "2026-08-01", hours("0:50")), ("USE", "2026-10-19", hours("1:01"))],
    )

    assert "Overdue since 19 Oct 2026, when 1:01 hours of use were stated." in told


def test_hours_that_are_over_say_since_when():
    told = said(
        a_limit(a_clock(hours("500"), "FH"), subject="aircraft"),
        "2026-10-29",
        done="2026-07-20",
        readings={
            "FH": [
                ("2026-07-20 end", hours("1000")),
                ("2026-10-08 end", hours("1480")),
                ("2026-10-18 end", hours("1540")),
            ]
        },
    )

    # 6 hours a day from 1,480 on the 8th: 1,504 on the 12th
    assert "Overdue since 12 Oct 2026, when 1 504:00 flight hours were flown." in told
