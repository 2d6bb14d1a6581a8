"""Limits about a sample of units: so many trials within a span, which count, and when the next is due."""

from __future__ import annotations

import pytest

from tests import builders as build
from tests.scheduling import rules as on

pytestmark = pytest.mark.django_db


def trials(part, quota=3, **more):
    """So many trials of the sample within 36 months; the count begins on 15 January 2025."""
    since = {"first_from": "given_date", "given_on": build.day("2025-01-15")}
    return on.a_rule(
        "TRIALS",
        on.every(36, **since),
        work="DEPLOY",
        subject="population",
        quota=quota,
        parts=[part],
        **more,
    )


def test_a_sample_is_one_item_due_by_the_oldest_trial_that_its_quota_needs():
    part = build.a_part()
    limit, units = trials(part), [build.a_unit(part) for _ in range(5)]
    on.reckon()
    found = on.item(limit)
    assert (found.unit_id, found.position_id, found.aircraft_id) == (None, None, None)
    assert on.due(limit) == "2028-01-15"  # no trial yet: 36 months from 15 January 2025

    for unit, day in zip(units, ("2025-03-10", "2026-04-20"), strict=False):
        on.done("DEPLOY", day, unit_id=unit.pk)
    assert on.due(limit) == "2028-01-15"  # two of three

    on.done("DEPLOY", "2026-09-30", unit_id=units[2].pk)
    assert (
        on.due(limit) == "2028-03-10"
    )  # the three are too few once 10 March 2025 is 36 months ago

    on.done("DEPLOY", "2027-05-20", unit_id=units[2].pk)
    assert on.due(limit) == "2029-04-20"  # of the latest three the oldest: 20 April 2026


def test_a_trial_that_failed_or_was_withdrawn_or_of_another_part_does_not_count():
    part = build.a_part()
    limit, unit, stranger = trials(part, quota=1), build.a_unit(part), build.a_unit()
    on.reckon()

    on.done("DEPLOY", "2027-05-20", unit_id=unit.pk, result="failed")
    on.done("DEPLOY", "2027-05-20", unit_id=stranger.pk)
    on.done("INSPECT", "2027-05-20", unit_id=unit.pk)
    held = on.done("DEPLOY", "2027-05-21", unit_id=unit.pk)
    assert on.due(limit) == "2030-05-21"
    on.done("DEPLOY", "2027-05-21", unit_id=unit.pk, corrects_id=held.pk, is_annulment=True)

    assert on.due(limit) == "2028-01-15"


def test_a_trial_for_one_limit_alone_does_not_count_for_another():
    part = build.a_part()
    limit, unit = trials(part, quota=1), build.a_unit(part)
    on.reckon()

    on.done("DEPLOY", "2027-05-20", unit_id=unit.pk, limit_code="WET-TRIAL")
    assert on.due(limit) == "2028-01-15"

    on.done("DEPLOY", "2027-05-20", unit_id=unit.pk, limit_code="TRIALS")
    assert on.due(limit) == "2030-05-20"


def test_a_trial_of_a_unit_scrapped_since_still_counts():
    part = build.a_part()
    limit, unit = trials(part, quota=1), build.a_unit(part)
    on.reckon()

    on.done("DEPLOY", "2027-05-20", unit_id=unit.pk)
    build.moved(unit, "scrapped", build.SCRAPPED, "2027-05-21")

    assert on.due(limit) == "2030-05-20"


def test_a_sample_by_serial_numbers_counts_the_trials_of_those_alone():
    part = build.a_part()
    limit = trials(part, quota=1, serials=[["A1", "A9"]])
    inside, outside = (build.a_unit(part, serial_number=serial) for serial in ("A5", "A10"))
    on.reckon()

    on.done("DEPLOY", "2027-05-20", unit_id=outside.pk)
    assert on.due(limit) == "2028-01-15"

    on.done("DEPLOY", "2027-05-21", unit_id=inside.pk)
    assert on.due(limit) == "2030-05-21"


def test_a_sample_by_date_of_manufacture_counts_none_without_one():
    part = build.a_part()
    limit = trials(part, quota=2, manufactured_to=build.day("2020-12-31"))
    old, young, unknown = (
        build.a_unit(part, manufactured_on=build.day(made) if made else None)
        for made in ("2020-12-31", "2021-01-01", "")
    )
    on.reckon()

    on.done("DEPLOY", "2027-05-20", unit_id=young.pk)
    on.done("DEPLOY", "2027-05-21", unit_id=old.pk)
    on.done("DEPLOY", "2027-05-22", unit_id=unknown.pk)

    # One of two: a trial of a unit that may be a young one cannot put the next off.
    assert on.due(limit) == "2028-01-15"
    another = build.a_unit(part, manufactured_on=build.day("2019-07-01"))
    on.done("DEPLOY", "2027-05-25", unit_id=another.pk)
    assert on.due(limit) == "2030-05-21"
