"""A swap through the API: the line of the pages' tests, programs of its people, what they send."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from django.utils import timezone
from rest_framework.test import APIClient

from equipment.models import Unit
from fleet.models import Aircraft, User
from tests.equipment.line_world import PASSWORD, POSITION, Line, a_line, crew

from .conftest import a_secret, an_administrator

SWAPS = "/api/v1/swaps"
#: What is typed at each needed step when all is well; the tool beside it.
WELL: dict[int, tuple[dict[str, str], str]] = {
    1: ({"done": "yes"}, ""),
    2: ({"count": "1"}, ""),
    3: ({"done": "yes"}, ""),
    4: ({"value": "3000", "unit": "psi", "temperature": "70", "temperature_unit": "F"}, ""),
    5: ({"done": "yes"}, ""),
    6: ({"value": "242", "unit": "in-lb", "drag": "12"}, "VT-1"),
    7: ({"value": "1.5"}, "VT-2"),
    8: ({"result": "pass"}, ""),
    9: ({"value": "12"}, ""),
    10: ({"value": "6.5"}, ""),
    11: ({"count": "1"}, ""),
}
INSPECTED = (6, 11)


def body_of_swap(line: Line, **more: Any) -> dict[str, Any]:
    return {
        "act_id": str(uuid4()),
        "place": {
            "sort": "aircraft",
            "aircraft": line.aircraft.registration,
            "position": POSITION,
        },
        "station": line.station.code,
        "reason": "Overhaul is due",
        "planned_on": line.new.pk,
        **more,
    }


def credentials(name: str, password: str = PASSWORD) -> dict[str, str]:
    return {"username": name, "password": password}


@dataclass
class ByApi:
    """One swap worked on by a program that a technician answers for."""

    client: APIClient
    line: Line
    people: dict[str, User] = field(repr=False)
    id: int = 0
    other: Unit | None = None
    donor: Aircraft | None = None

    def as_it_was(self, client: APIClient) -> ByApi:
        """The same swap for one more test: nothing in memory is shared."""
        return ByApi(client, deepcopy(self.line), deepcopy(self.people), self.id)

    def post(self, door: str, **body: Any) -> Any:
        sent = {"act_id": str(uuid4()), **body}
        return self.client.post(f"{SWAPS}/{self.id}/{door}", sent, format="json")

    def open(self, **more: Any) -> Any:
        answer = self.client.post(SWAPS, body_of_swap(self.line, **more), format="json")
        self.id = answer.json().get("id", 0)
        return answer

    def shown(self) -> dict[str, Any]:
        found: dict[str, Any] = self.client.get(f"{SWAPS}/{self.id}").json()
        return found

    def step(self, number: int) -> dict[str, Any]:
        return next(step for step in self.shown()["steps"] if step["number"] == number)

    def enter(self, number: int, typed: dict[str, Any] | None = None, **more: Any) -> Any:
        well, tool = WELL[number]
        facts = {"typed": well if typed is None else typed, "tool": tool, **more}
        return self.post("entries", step=number, **facts)

    def sign(self, number: int, by: str = "technician", **more: Any) -> Any:
        return self.post(f"steps/{number}/signature", **{**credentials(by), **more})

    def inspect(self, number: int, by: str = "inspector", **more: Any) -> Any:
        return self.post(f"steps/{number}/inspection", **{**credentials(by), **more})

    def release(self, by: str = "certifying", **more: Any) -> Any:
        return self.post("release", **{**credentials(by), **more})

    def take_off(self, **more: Any) -> Any:
        facts = {
            "unit": self.line.old.pk,
            "happened_at": timezone.now().isoformat(),
            "place": {"sort": "quarantine", "station": self.line.station.code},
            "tag": {"sort": "unserviceable", "why": "limit"},
            **more,
        }
        return self.post("removal", **facts)

    def put_on(self, **more: Any) -> Any:
        facts = {"unit": self.line.new.pk, "happened_at": timezone.now().isoformat(), **more}
        return self.post("installation", **facts)

    def do_all(self, *, but: tuple[int, ...] = ()) -> None:
        """Everything up to the release but these steps."""
        answers = [self.take_off(), self.put_on()]
        for number in sorted(set(WELL) - set(but)):
            answers += [self.enter(number), self.sign(number)]
            if number in INSPECTED:
                answers.append(self.inspect(number))
        assert [a.content for a in answers if a.status_code != 201] == []


def an_open_swap() -> ByApi:
    """The line, its people, and a swap that a technician's program opened."""
    secret = a_secret(an_administrator(), "technician", "opens the swap")
    job = ByApi(APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}"), a_line(), crew())
    assert job.open().status_code == 201
    return job
