"""Programs that ask the API: one client per role, each with a token of its own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from typing import Any

import pytest
from rest_framework.test import APIClient

from fleet.house.desks import ADMINISTRATOR, ROLES
from fleet.models import AircraftType, Kind, Measure, Station, User
from fleet.people.acts.tokens import make_token

TOKENS_MADE_AT = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)


@pytest.fixture
def administrator(db: None) -> User:
    return an_administrator()


def an_administrator() -> User:
    return User.objects.get_or_create(username="ada", roles=[ADMINISTRATOR])[0]


def a_secret(by: User, role: str, label: str = "") -> str:
    """The secret of a new token of this role."""
    person, _ = User.objects.get_or_create(username=f"program-{role}", roles=[role])
    return make_token(by=by, user=person, label=label or role, role=role, at=TOKENS_MADE_AT).secret


@pytest.fixture
def secret_of(administrator: User) -> Callable[[str], str]:
    """The secret of a new token of this role."""
    return partial(a_secret, administrator)


@pytest.fixture
def program(secret_of: Callable[[str], str]) -> Callable[[str], APIClient]:
    """``program(role)`` is a client with a token of that role; the same one each time."""
    clients: dict[str, APIClient] = {}

    def client_of(role: str) -> APIClient:
        if role not in clients:
            clients[role] = APIClient(HTTP_AUTHORIZATION=f"Bearer {secret_of(role)}")
        return clients[role]

    return client_of


@pytest.fixture
def controller(program: Callable[[str], APIClient]) -> APIClient:
    return program("controller")


@pytest.fixture(params=[role for role, _ in ROLES])
def role(request: pytest.FixtureRequest) -> Any:
    return request.param


@pytest.fixture
def station(db: None) -> Station:
    return Station.objects.create(code="LYD", name="Lydmouth", time_zone="Europe/London")


@pytest.fixture
def hours(db: None) -> Measure:
    measure, _ = Measure.objects.get_or_create(
        code="FH", defaults={"name": "Flight hours", "unit": "minutes", "counted_on": "aircraft"}
    )
    return measure


@pytest.fixture
def tern(db: None) -> AircraftType:
    return AircraftType.objects.create(code="TERN-200", name="Tern 200")


@pytest.fixture
def slide_kind(db: None) -> Kind:
    return Kind.objects.create(code="door-slide", name="Door slide")
