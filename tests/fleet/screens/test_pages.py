"""Which day is meant, and who may read: what every page shares."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.test import RequestFactory

from fleet.house import pages
from fleet.models import User

asked = RequestFactory().get


def test_a_day_in_the_query_is_read():
    assert pages.day_asked(asked("/", {"at": "2027-03-03"}), "at") == (date(2027, 3, 3), "")


def test_no_day_is_no_fault():
    assert pages.day_asked(asked("/"), "at") == (None, "")


def test_a_wrong_day_says_what_would_do():
    day, fault = pages.day_asked(asked("/", {"at": "3/3/27"}), "at")

    assert day is None
    assert fault == "“3/3/27” is not a date. Give it as year-month-day, such as 2027-03-03."


def test_the_end_of_a_day_is_its_last_instant():
    assert pages.end_of(date(2027, 3, 3)) == datetime(2027, 3, 3, 23, 59, 59, 999999, tzinfo=UTC)


@pages.reader
def anything(request) -> HttpResponse:
    return HttpResponse("read")


def test_a_role_opens_a_page():
    request = asked("/")
    request.user = User(username="ada", roles=["auditor"])

    assert anything(request).content == b"read"


def test_an_account_without_a_role_is_told_whom_to_ask():
    request = asked("/")
    request.user = User(username="ada", roles=[])

    with pytest.raises(PermissionDenied, match="person who manages accounts"):
        anything(request)


def test_nobody_signed_in_is_sent_to_sign_in(client):
    answer = client.get("/aircraft/")

    assert answer.status_code == 302
    assert answer.url == "/sign-in/?next=/aircraft/"
