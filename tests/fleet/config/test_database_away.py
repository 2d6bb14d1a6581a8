"""The database is away: pages and programs are told so, with 503, and nothing is half done."""

from __future__ import annotations

import pytest
from django.db import OperationalError, connection

from tests.equipment.line_world import crew

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def away(client, monkeypatch):
    """Signed in, and then the server goes."""
    crew()
    client.force_login(crew_member())
    client.raise_request_exception = False

    def gone():
        raise OperationalError("connection to server failed")

    monkeypatch.setattr(connection, "ensure_connection", gone)
    connection.close()
    yield client
    monkeypatch.undo()


def crew_member():
    from fleet.models import User

    return User.objects.get(username="technician")


@pytest.mark.parametrize("address", ["/", "/units/", "/aircraft/", "/swaps/", "/sign-in/"])
def test_a_page_says_so(away, address):
    answer = away.get(address)

    if address == "/sign-in/" and answer.status_code == 200:
        return  # it needs no records to be shown
    assert answer.status_code == 503
    assert "cannot be reached just now" in answer.content.decode()
    assert answer["Retry-After"] == "30"


@pytest.mark.parametrize("address", ["/api/v1/units", "/api/v1/aircraft", "/api/v1/due"])
def test_a_program_gets_a_problem(away, address):
    answer = away.get(address)

    assert answer.status_code == 503
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["code"] == "database_away"


def test_what_was_sent_is_answered_as_not_recorded(away):
    answer = away.post(
        "/api/v1/stores/holds", {"scope": "supplier"}, content_type="application/json"
    )

    assert answer.status_code == 503
    assert "nothing was changed" in answer.json()["detail"]
