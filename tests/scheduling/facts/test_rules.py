"""The rules in force on a day: which revision, and what asking again for them costs."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scheduling.facts.rules import rules_on
from tests.scheduling.rules import DAY, a_rule, every

pytestmark = pytest.mark.django_db
NEXT_DAY = DAY + timedelta(days=1)


def revisions_on(day):
    return [(rule.limit.code, rule.limit.revision) for rule in rules_on(day).rules]


def test_each_day_has_its_own_revision_of_a_limit():
    a_rule("OH-1", every(36), revision="1", until_on=DAY)
    a_rule("OH-1", every(24), revision="2", from_on=NEXT_DAY)

    assert revisions_on(DAY) == [("OH-1", "1")]
    assert revisions_on(NEXT_DAY) == [("OH-1", "2")]


def test_of_revisions_in_force_at_once_the_later_begun_holds():
    a_rule("OH-1", every(24), revision="2", from_on=DAY)
    a_rule("OH-1", every(36), revision="1")

    assert revisions_on(DAY) == [("OH-1", "2")]
    assert revisions_on(DAY - timedelta(days=1)) == [("OH-1", "1")]


def test_other_days_ask_no_more_and_a_changed_limit_is_read_again():
    limit = a_rule("OH-1", every(36))
    rules_on(DAY)
    with CaptureQueriesContext(connection) as asked_again:
        rules_on(DAY)

    with CaptureQueriesContext(connection) as asked_of_others:
        for days in range(1, 9):
            rules_on(DAY + timedelta(days=days))
    limit.revision = "1a"
    limit.save()

    assert len(asked_of_others) == 8 * len(asked_again)
    assert revisions_on(DAY) == [("OH-1", "1a")]
