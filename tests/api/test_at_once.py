from __future__ import annotations

import threading
import uuid

import pytest
from django.db import connection
from rest_framework.test import APIClient

from equipment.models import Movement, Sighting
from fleet.models import User, UtilisationReading
from fleet.people.acts.tokens import make_token
from scheduling.models import WorkDone

from .world import AT, a_world

pytestmark = pytest.mark.django_db(transaction=True)


def sent_at_once(secret, address, body, times=4):
    """The same request from several threads that wait for each other."""
    gate, statuses = threading.Barrier(times), []

    def send():
        client = APIClient(HTTP_AUTHORIZATION=f"Bearer {secret}")
        gate.wait()
        statuses.append(client.post(address, body, format="json").status_code)
        connection.close()

    threads = [threading.Thread(target=send) for _ in range(times)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sorted(statuses)


@pytest.mark.parametrize("kind", ["reading", "work", "sighting", "movement"])
def test_the_same_act_from_several_at_once_is_done_once(kind):
    world = a_world()
    person = User.objects.get(username="c.marsh")
    administrator = User.objects.create(username="ada", roles=["administrator"])
    secret = make_token(by=administrator, user=person, label="x", role="controller", at=AT).secret
    act = {"act_id": str(uuid.uuid4())}
    place = {"sort": "aircraft", "aircraft": "Q-AVEN", "position": "D1L-SLIDE"}
    moved = {
        "unit": world.slide.pk,
        "sort": "installed",
        "place": place,
        "happened_on": "2024-03-03",
    }
    address, body, model = {
        "reading": (
            "/api/v1/aircraft/Q-AVEN/readings",
            {"measure": "FH", "read_on": "2024-03-03", "total": 600},
            UtilisationReading,
        ),
        "work": (
            "/api/v1/works-done",
            {
                "work": "overhaul",
                "unit": world.slide.pk,
                "done_on": "2024-02-26",
                "who": "Harbour Slides",
                "authorisation": "Q-145-007",
                "document": "WO 7",
                "result": "passed",
            },
            WorkDone,
        ),
        "sighting": (
            "/api/v1/sightings",
            {"happened_on": "2024-03-03", "place": place, "note": "Pin missing."},
            Sighting,
        ),
        "movement": ("/api/v1/movements", {"movements": [moved]}, Movement),
    }[kind]
    before = model.objects.count()

    statuses = sent_at_once(secret, address, {**body, **act})

    assert statuses == [200, 200, 200, 201]
    assert model.objects.count() == before + 1
