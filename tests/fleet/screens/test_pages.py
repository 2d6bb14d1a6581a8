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
