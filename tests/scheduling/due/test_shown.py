from __future__ import annotations

from datetime import date

import pytest
from django.http import QueryDict

from fleet.screens.filter_forms import Options
from scheduling.due.lists.rows import MOST_COUNTED, ClockLine, DuePage, DueRow, Explanation
from scheduling.due.pages import shown
from scheduling.due.pages.forms import DueFilterForm

TODAY = date(2026, 11, 25)


def context(query: str, page: DuePage) -> dict[str, object]:
    form = DueFilterForm(QueryDict(query), Options(station=[], aircraft=[], kind=[], work=[]))
    assert form.is_valid(), form.errors
    return shown.list_context(form, page, TODAY)


def band(found: dict[str, object], code: str) -> shown.Band:
    return next(each for each in found["bands"] if each.code == code)


def test_a_band_is_a_link_that_keeps_the_other_filters():
    found = context("part_number=SK-44&sort=due", DuePage([], {"overdue": 3}, 3))

    assert band(found, "overdue").href == "?part_number=SK-44&band=overdue&sort=due"
    assert band(found, "overdue").count == "3"


def test_a_count_that_stopped_says_that_there_are_more():
    found = context("", DuePage([], {"beyond-plan": MOST_COUNTED + 1, "overdue": 2}, 1003))

    assert band(found, "beyond-plan").count.endswith("000+")
    assert found["all_bands"].count.endswith("002+")


def test_a_head_sorts_and_turns_round_the_second_time():
    heads = {head.label: head for head in context("sort=due", DuePage([], {}, 0))["heads"]}

    assert heads["Due"].sorted == "ascending"
    assert heads["Due"].href == "?sort=due&down=on"
    assert heads["Aircraft"].href == "?sort=aircraft"
    assert heads["Remaining"].href == heads["Due"].href


def test_links_to_further_pages_keep_the_view():
    found = context("band=overdue&as_of=2027-03-03", DuePage([], {}, 0, next_after="nabc"))

    assert found["next_href"] == "?as_of=2027-03-03&band=overdue&mark=nabc&page=2"
    assert found["previous_href"] == ""
    assert found["as_of_query"] == "?as_of=2026-11-25"


def test_a_day_or_an_order_alone_does_not_narrow():
    assert not context("as_of=2027-03-03&sort=due", DuePage([], {}, 0))["is_narrowed"]
    assert context("band=overdue", DuePage([], {}, 0))["is_narrowed"]


def test_a_row_becomes_a_line_on_the_aircrafts_checks():
    row = DueRow(1, "next-check", "Overhaul", "L", due_on=date(2027, 3, 3), checks=((TODAY, "C1"),))

    line = shown.line_of(row, TODAY)

    assert (line.label, line.due_on, line.checks) == (
        "Overhaul",
        date(2027, 3, 3),
        ((TODAY, "C1"),),
    )


def test_the_clocks_of_an_explanation_say_how_far_behind_they_are():
    clocks = [
        ClockLine("36 months", due_on=date(2027, 3, 3)),
        ClockLine("24 years", due_on=date(2027, 3, 13)),
    ]
    why = Explanation(DueRow(1, "next-check", "Overhaul", "L"), [], clocks=clocks)

    lines = shown.why_context(why, TODAY, False)["lines"]

    assert [(line.label, line.detail) for line in lines] == [
        ("36 months", "decides"),
        ("24 years", "10 days later"),
    ]


def test_a_clock_without_a_basis_ends_at_worst():
    why = Explanation(
        DueRow(1, "no-basis", "Overhaul", "L"),
        [],
        clocks=[ClockLine("36 months", due_on=date(2027, 3, 3))],
    )

    (line,) = shown.why_context(why, TODAY, False)["lines"]

    assert (line.due_on, line.worst_on) == (None, date(2027, 3, 3))


@pytest.mark.parametrize(
    ("number", "total", "said"),
    [(1, 0, "1"), (1, 50, "1"), (2, 51, "2"), (3, 1999, "40"), (2, MOST_COUNTED + 1, "40+")],
)
def test_which_page_of_how_many(number, total, said):
    paging = shown.Paging.of(number, total)

    assert (paging.number, paging.most) == (number, said)


def test_the_page_before_the_second_is_the_list_itself():
    page = DuePage([], {}, 120, previous_before="babc")

    def before(number):
        form = DueFilterForm(
            QueryDict("band=overdue"), Options(station=[], aircraft=[], kind=[], work=[])
        )
        assert form.is_valid()
        return shown.list_context(form, page, TODAY, number=number)["previous_href"]

    assert before(2) == "?band=overdue"
    assert before(3) == "?band=overdue&mark=babc&page=2"
    assert before(0) == "?band=overdue&mark=babc"


@pytest.mark.parametrize(
    ("row", "tone", "said"),
    [
        (DueRow(1, "next-check", "W", "L", check_name="A24"), "next-check", "at A24"),
        (DueRow(1, "later-check", "W", "L", check_name="A25"), "later-check", "at A25"),
        (DueRow(1, "out-of-phase", "W", "L", left_days=1), "out-of-phase", "within 7 days"),
        (DueRow(1, "out-of-phase", "W", "L", left_days=30), "out-of-phase", "within 30 days"),
        (DueRow(1, "beyond-plan", "W", "L", left_days=31), "beyond-plan", "within 60 days"),
        (DueRow(1, "beyond-plan", "W", "L", left_days=181), "beyond-plan", "no check planned"),
        (
            DueRow(1, "beyond-plan", "W", "L", left_days=31, checks=((TODAY, "C1"),)),
            "beyond-plan",
            "after C1",
        ),
        (DueRow(1, "overdue", "W", "L", left_days=-1), "overdue", ""),
    ],
)
def test_a_row_names_its_check_or_where_there_is_none_how_near_it_is(row, tone, said):
    assert shown.band_said(row) == (tone, said)


def test_what_narrows_the_list_is_said_in_words_on_paper():
    found = context("band=out-of-phase&until_on=2027-03-03&part_number=SK-44", DuePage([], {}, 0))

    assert found["narrowed_by"] == [
        ("Part number", "SK-44"),
        ("Due until", "3 Mar 2027"),
        ("Band", "before next check"),
    ]
