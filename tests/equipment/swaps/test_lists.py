"""The lists of swaps: each line as its own page has it, in no more questions for more swaps."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import Swap, SwapPresence
from equipment.swaps.pages.list_rows import open_rows, uninspected, waits_for
from equipment.swaps.pages.shown import swap_page, whole_swap
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


@pytest.fixture
def first():
    return under_way(swaps.a_job())


def under_way(job):
    """Off, one step signed that a second person inspects, the next one to do."""
    job.open()
    job.take_off()
    for number in (1, 2):
        job.enter(number)
        job.sign(number)
    job.enter(7)
    job.sign(7)
    SwapPresence.objects.create(swap=job.swap, by=job.technician, device="t", seen_at=job.now)
    return job


def another_like(first):
    people = (first.technician, first.inspector, first.certifier)
    kind = first.old.part_number.kind
    return under_way(swaps.a_job(kind=kind, people=people, tools=first.tools))


def questions_of(read, now):
    with CaptureQueriesContext(connection) as asked:
        found = read(now)
    return len(asked), found


def test_a_line_says_what_the_swaps_own_page_says(first):
    job = another_like(first)
    swap = whole_swap(job.swap.pk)
    assert swap is not None
    shown = swap_page(swap)

    _, row = open_rows(job.now)

    assert (row.done, row.total, row.outs) == (shown.done, shown.total, shown.outs)
    assert row.done == 2
    assert row.waits_for == waits_for(shown) == "step 3"
    assert [phase.title for phase in row.phases] == [phase.title for phase in shown.phases]
    assert shown.off and row.off == f"off: {shown.off.words}"
    assert shown.planned_on and row.on == f"to go on: {shown.planned_on.words}"
    assert row.people == [job.technician.shown_name]


def test_each_line_has_its_own_steps_and_people(first):
    another = another_like(first)
    another.enter(3)
    SwapPresence.objects.filter(swap=another.swap).update(seen_at=another.now - timedelta(hours=1))

    rows = {row.id: row for row in open_rows(another.now)}

    assert rows[first.swap.pk].waits_for == "step 3"
    assert rows[another.swap.pk].waits_for == "step 4"
    assert rows[first.swap.pk].people and not rows[another.swap.pk].people


def test_signed_work_that_nobody_inspected_is_listed_by_swap(first):
    another = another_like(first)
    another.inspect(7)

    (row,) = uninspected(another.now)

    assert (row.swap_id, row.words) == (first.swap.pk, "1 step waits")


@pytest.mark.parametrize(("read", "most"), [(open_rows, 8), (uninspected, 6)])
def test_more_open_swaps_ask_no_more_questions(first, read, most):
    asked_of_one, _ = questions_of(read, first.now)

    more = [another_like(first) for _ in range(3)]
    asked_of_four, found = questions_of(read, more[-1].now)

    assert len(found) == Swap.objects.filter(end=None).count() == 4
    assert asked_of_four == asked_of_one <= most
