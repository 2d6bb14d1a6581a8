"""The doors at which somebody may try to use a unit, and the codes that each answers with."""

from __future__ import annotations

import base64
from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.contrib.messages import ERROR
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from rest_framework.test import APIClient

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.models import Movement, Reservation, Swap, Unit
from equipment.swaps.reads.state import state_of
from fleet.loading.work import drain
from fleet.models import Aircraft, User
from tests import builders as build
from tests import builders_swaps as swaps
from tests.scheduling.allocation import world as allocation

from .segregated_stage import NEED_ON, PASSWORD, POSITION, Stage
from .test_doors import workbook

Programs = Callable[[str], APIClient]
PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 40
TO_STORE = {"to": "quarantine", "tag": "unserviceable", "why": "limit"}


def signed_in(user: User) -> Client:
    client = Client()
    client.force_login(user, "django.contrib.auth.backends.ModelBackend")
    return client


def act() -> str:
    return str(uuid4())


# --- setting aside ----------------------------------------------------------------------------


def reserve_by_page(stage: Stage, programs: Programs) -> set[str]:
    need = allocation.need_at(stage.fleet.propose(), stage.aircraft)
    body = {"need": need.key, "unit": stage.spare.pk, "sort": "accept", "act_id": act()}
    address = reverse("scheduling:allocation_decide")
    page = signed_in(stage.fleet.clerk).post(address, body, follow=True)
    told = list(page.context["messages"])
    assert all(str(message) in page.content.decode() for message in told) and told
    return {str(message.extra_tags) for message in told if message.level == ERROR}


def reserve_by_proposal(stage: Stage, programs: Programs) -> set[str]:
    need = allocation.need_at(stage.fleet.propose(), stage.aircraft)
    body = {"need": need.key, "unit": stage.spare.pk, "act_id": act()}
    return refused(programs("stores").post("/api/v1/allocation/accept", body, format="json"))


def reserve_by_program(stage: Stage, programs: Programs) -> set[str]:
    body = {
        "act_id": act(),
        "unit": stage.spare.pk,
        "need_on": str(NEED_ON),
        "place": at(stage.aircraft),
    }
    return refused(programs("stores").post("/api/v1/reservations", body, format="json"))


# --- issuing ----------------------------------------------------------------------------------


def issue_by_page(stage: Stage, programs: Programs) -> set[str]:
    held = stage.set_aside(stage.aircraft)
    address = reverse("equipment:stores_reservation", args=[held.pk])
    found = on_page(signed_in(stage.fleet.clerk).post(address, {"act_id": act(), "to": "R. Oake"}))
    assert is_issued(held) == (not found)
    return found


def issue_by_program(stage: Stage, programs: Programs) -> set[str]:
    held = stage.set_aside(stage.aircraft)
    answer = programs("stores").post(
        "/api/v1/stores/issues", {"reservation": held.pk, "to": "R. Oake"}, format="json"
    )
    found = refused(answer)
    assert is_issued(held) == (not found)
    return found


def is_issued(held: Reservation) -> bool:
    return Reservation.objects.get(pk=held.pk).issued_at is not None


# --- fitting ----------------------------------------------------------------------------------


def release_by_page(stage: Stage, programs: Programs) -> set[str]:
    job = stage.job()
    sent = {"username": job.certifier.username, "password": PASSWORD, "act_id": act()}
    address = reverse("equipment:swap_release", args=[job.swap.pk])
    return on_page(signed_in(job.certifier).post(address, sent))


def release_by_program(stage: Stage, programs: Programs) -> set[str]:
    job = stage.job()
    sent = {"username": job.certifier.username, "password": PASSWORD, "act_id": act()}
    address = f"/api/v1/swaps/{job.swap.pk}/release"
    return refused(programs("certifying").post(address, sent, format="json"))


def card_by_page(stage: Stage, programs: Programs) -> set[str]:
    """The card tells what happened, so it is kept; the swap stays open and says why."""
    swaps.a_rule_set()
    swaps.an_ink_signer("Una Skerry", "VAR 900", "release")
    old = stage.fleet.fitted[stage.aircraft.registration]
    sent = {
        "act_id": act(),
        "reference": "QCARD 88",
        "reason": "overhaul due",
        "signer": "Una Skerry",
        "happened_at": "2027-06-01T10:00",
        "signed_on": "2027-06-01",
        "is_confirmed": "on",
        "off_code": code_of(old),
        "on_code": code_of(stage.spare),
        "page": SimpleUploadedFile("card.png", PNG),
        **TO_STORE,
    }
    address = f"{reverse('equipment:swap_paper')}?place={stage.key(stage.aircraft)}"
    page = signed_in(build.a_person("technician")).post(address, sent)
    assert page.status_code == 302, page.context["form"].errors.as_data()
    swap = Swap.objects.get()
    found = {each.code for each in stands_in_the_way(state_of(swap))}
    assert hasattr(swap, "end") == (not found)
    return found


def card_by_program(stage: Stage, programs: Programs) -> set[str]:
    swaps.a_rule_set()
    swaps.an_ink_signer("Una Skerry", "VAR 900", "release")
    sent = {
        "act_id": act(),
        "place": at(stage.empty),
        "station": stage.station.code,
        "on": stage.spare.pk,
        "reference": "QCARD 88",
        "reason": "It was open",
        "happened_at": "2027-06-01T10:00:00Z",
        "released": {"signer": "Una Skerry", "on": "2027-06-01"},
        "is_confirmed": True,
        "page": {"name": "card.png", "content": base64.b64encode(PNG).decode()},
    }
    answer = programs("technician").post("/api/v1/swaps/transcribed", sent, format="json").json()
    found = {each["code"] for each in answer["obstacles"]}
    assert answer["is_released"] == (not found)
    return found


def movement_by_program(stage: Stage, programs: Programs) -> set[str]:
    """What a person says happened is kept, as not conforming, and moves nothing."""
    row = {
        "unit": stage.spare.pk,
        "sort": "installed",
        "place": at(stage.empty),
        "happened_on": "2027-06-01",
    }
    sent = {"act_id": act(), "movements": [row], "is_confirmed": True}
    answer = programs("controller").post("/api/v1/movements", sent, format="json")
    [kept] = answer.json()["movements"]
    found = {reason["code"] for reason in kept["reasons"]}
    assert kept["is_conforming"] == is_on(stage, stage.empty) == (not found)
    return found


def is_on(stage: Stage, aircraft: Aircraft) -> bool:
    return Unit.objects.filter(pk=stage.spare.pk, aircraft=aircraft).exists()


def sheet(stage: Stage, programs: Programs) -> set[str]:
    """A line can be mended and brought again, so it is refused, and nothing of it is recorded."""
    before = Movement.objects.count()
    found = loaded(programs, [line_of(stage, "installed", "2027-06-01", stage.empty)])
    assert Movement.objects.count() - before == is_on(stage, stage.empty) == (not found)
    return found


def loaded(
    programs: Programs, lines: list[dict[str, str]], units: list[dict[str, str]] | None = None
) -> set[str]:
    """The codes of what the loader refuses of these lines of movements; the good ones it applies.

    ``units`` are lines of units that come in the same load.
    """
    client = programs("controller")
    books = [workbook("Movements", *lines), *([workbook("Units", *units)] if units else [])]
    brought = client.post("/api/v1/loads", {"files": books}, format="multipart").json()
    address = f"/api/v1/loads/{brought['key']}"
    drain(now=timezone.now, today=timezone.now().date())
    client.post(f"{address}/decision", {"mode": "good_lines"}, format="json")
    drain(now=timezone.now, today=timezone.now().date())
    told = client.get(f"{address}/lines").json()["results"]
    return {line["code"] for line in told} - {""}


def line_of(stage: Stage, sort: str, day: str, aircraft: Aircraft | None = None) -> dict[str, str]:
    unit = stage.spare
    where = (
        {"To": "a position of an aircraft", "Aircraft": aircraft.registration, "Position": POSITION}
        if aircraft
        else {"To": "store", "Station": stage.station.code}
    )
    named = {"Part number": unit.part_number.number, "Serial number": unit.serial_number}
    every = dict.fromkeys(("Aircraft", "Position", "Station"), "")
    return {**named, "Movement": sort, "Happened on": day, **every, **where}


# --- codes ------------------------------------------------------------------------------------


def at(aircraft: Aircraft) -> dict[str, str]:
    return {"sort": "aircraft", "aircraft": aircraft.registration, "position": POSITION}


def code_of(unit: Unit) -> str:
    return f"{unit.part_number.number} {unit.serial_number}"


def refused(answer: Any) -> set[str]:
    """The codes of a problem; none where the act was done."""
    assert answer.status_code in {200, 201, 422}, answer.content
    if answer.status_code != 422:
        return set()
    return {error["code"] for error in answer.json()["errors"]}


def on_page(page: Any) -> set[str]:
    """The codes that a page refuses with; none where it leads on."""
    assert page.status_code in {302, 422}, page.status_code
    if page.status_code == 302:
        return set()
    if "refused" in page.context:
        return {each.code for each in page.context["refused"].refusals}
    return {e.code for found in page.context["form"].errors.as_data().values() for e in found}


Door = Callable[[Stage, Programs], set[str]]
DOORS: dict[str, dict[str, Door]] = {
    "reserve": {
        "page": reserve_by_page,
        "API, a proposal": reserve_by_proposal,
        "API": reserve_by_program,
    },
    "issue": {"page": issue_by_page, "API": issue_by_program},
    "fit": {
        "page": release_by_page,
        "API": release_by_program,
        "page, a card": card_by_page,
        "API, a card": card_by_program,
        "API, a movement": movement_by_program,
        "sheet": sheet,
    },
}
