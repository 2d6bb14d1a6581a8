"""What each door of a swap needs to stand there before it can be opened: by the address alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.utils import timezone
from rest_framework.test import APIClient

from equipment.ledger.facts import When
from equipment.models import InspectorCall, Swap, Unit, UnitTag
from equipment.units.acts.lots import SplitOff, split_off
from fleet.models import Notice, User
from fleet.people.acts.notices import tell
from scheduling.models import DueView
from tests import builders as build
from tests.equipment.line_world import POSITION, a_line, crew
from tests.equipment.stores.world import certified

from .allocation_stage import is_of_a_pairing, staged_pairing
from .package_stage import is_of_a_package, staged_package
from .plan_stage import is_of_the_plan, staged_plan
from .stores_stage import stage_of_stores
from .swaps_world import SWAPS, ByApi, body_of_swap, credentials
from .world import World, a_world, about, ids_of

LINE = ("technician", "inspector", "certifying")
About = Callable[..., Any]  # (body) or (body, role)


def is_of_a_swap(address: str) -> bool:
    return address == SWAPS or "swap_id}" in address or "{call_id}" in address


OWN = ("/api/v1/notices", "/api/v1/due-views")


def is_of_one_role(address: str) -> bool:
    """Whether what stands there is one role's own: a notice to it, a step that it signed first."""
    return address.startswith(OWN) or address.endswith("/reinspection")


def staged(client: APIClient, address: str, role: str) -> tuple[ByApi, dict[str, Any]]:
    """A swap as far as the door of this address needs it, with the ids that addresses have.

    ``client`` is a technician's program; ``role`` is of who will come through the door.
    """
    job = ByApi(client, a_line(), crew())
    if address != SWAPS:
        job.open()
    stage: dict[str, Callable[[], Any]] = {
        "inspection": lambda: _signed(job, "technician"),
        "refusal": lambda: _signed(job, "technician"),
        "reinspection": lambda: _signed(job, role if role in LINE else "technician"),
        "release": job.do_all,
        "correction": lambda: (job.do_all(), job.release()),
        "unit-correction": lambda: (job.do_all(), job.release(), _another_unit(job)),
        "robbery": lambda: _another_unit(job, is_fitted=True),
        "signature": lambda: _entered(job),
        "installation": job.take_off,
        "answer": lambda: job.post("calls", step=11),
    }
    stage.get(address.rpartition("/")[2], lambda: None)()
    call = InspectorCall.objects.order_by("-pk").first()
    ids = {
        "swap_id": job.id or 1,
        "for_swap_id": job.id or 1,
        "number": 11,
        "call_id": call.pk if call else 1,
    }
    return job, ids


def _another_unit(job: ByApi, *, is_fitted: bool = False) -> None:
    """A slide that neither came off nor goes on here: on another aircraft, or on no aircraft at all."""
    job.other = build.a_unit(job.line.old.part_number, serial_number="00688")
    if is_fitted:
        job.donor = build.an_aircraft(
            of_type=job.line.aircraft.aircraft_type, station=job.line.station
        )
        build.installed(job.other, build.at_position(job.donor, POSITION), "2026-01-05")


def a_notice(role: str) -> Notice:
    """For whoever answers for the program of this role, if there is one yet."""
    person = User.objects.filter(username=f"program-{role}").first() or User.objects.first()
    assert person is not None
    return tell(to=person, words="It is no longer set aside.", link="/stores/", at=timezone.now())


def a_view(role: str) -> DueView:
    """A view of the due list that whoever answers for the program of this role has kept."""
    person = User.objects.filter(username=f"program-{role}").first() or User.objects.first()
    return DueView.objects.create(
        name="Mine", act_id=uuid4(), kept_at=timezone.now(), kept_by=person
    )


def _world_for(address: str) -> World:
    """The world; its slide condemned, where the door takes that back."""
    world = a_world()
    if address.endswith("/condemnations-taken-back"):
        condemned(world.slide)
    if address.endswith(("/lot-uses", "/lot-joins")):
        lot = Unit.objects.get(pk=world.beside["lot"])
        certified(lot)
        if address.endswith("/lot-joins"):
            world.beside["lot"] = a_piece_of(lot).pk
    return world


def a_piece_of(lot: Unit) -> Unit:
    """Three pieces split off a lot, at its place."""
    off = SplitOff(lot.pk, 3, When(timezone.now(), "instant", "UTC"))
    (made, *_) = split_off(by=build.a_person("stores"), off=off, act_id=uuid4(), at=timezone.now())
    return Unit.objects.get(pk=made.unit_id)


def condemned(unit: Unit) -> UnitTag:
    """By somebody else than whoever takes it back."""
    return UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort="unsalvageable",
        words="Fabric porous.",
        tagged_at=timezone.now(),
        recorded_at=timezone.now(),
        recorded_by=User.objects.get(username="c.marsh"),
    )


def a_person_to_manage(address: str) -> User:
    """Somebody to change, to invite anew or to deactivate; deactivated where the door makes active."""
    a_world()
    is_active = not address.endswith("/reactivate")
    names = {"username": "p.holm", "first_name": "Perrin", "last_name": "Holm"}
    return User.objects.create(**names, roles=["technician"], is_active=is_active)


def stage_of_jobs(client: APIClient) -> tuple[dict[str, Any], About]:
    """Somebody with an open swap, and somebody who may go on with it."""
    job = ByApi(client, a_line(), crew())
    job.open()
    User.objects.create(username="d.follows", roles=["technician"])
    ids = {"person_id": Swap.objects.get(pk=job.id).opened_by_id}
    jobs = {"jobs": [f"swap-{job.id}"]}
    return ids, lambda body, who="": {**body, **jobs} if isinstance(body, dict) else body


def _entered(job: ByApi) -> None:
    job.enter(2)
    job.enter(11)


def _signed(job: ByApi, by: str) -> None:
    _entered(job)
    job.sign(11, by)


def about_swap(job: ByApi, body: Any, role: str) -> Any:
    """The schema's example about this swap, signed by who comes through the door."""
    if not isinstance(body, dict):
        return body
    other = "technician" if role == "inspector" else "inspector"
    ours: dict[str, Any] = {
        "unit": job.line.old.pk,
        "happened_at": timezone.now().isoformat(),
        "place": body_of_swap(job.line)["place"],
        "station": job.line.station.code,
        "inspector": "certifying" if role == "inspector" else "inspector",
        "giver": credentials(role),
        "taker": credentials(other),
        **credentials(role),
    }
    if job.other is not None and "role" in body:
        ours |= {"unit": job.other.pk, "is_confirmed": True}
        body = {**body, "is_confirmed": True}
    if job.donor is not None:
        ours["place"] = {
            "sort": "aircraft",
            "aircraft": job.donor.registration,
            "position": POSITION,
        }
    if "tag" in body:
        ours["place"] = {"sort": "quarantine", "station": job.line.station.code}
    return {name: ours.get(name, value) for name, value in body.items()}


def stage_of(client: APIClient, address: str, role: str) -> tuple[dict[str, Any], About]:
    """What a door of this address needs: the ids of what stands there, and how an example is made
    to be about it, signed by who comes through the door: of ``role``, or of the one given then."""
    if address.startswith("/api/v1/stores/"):
        ids, made = stage_of_stores(role)
        return ids, lambda body, who=role: _signing_as(who, made(body))
    if address.endswith("/jobs"):
        return stage_of_jobs(client)
    if address.startswith("/api/v1/people"):
        return {"person_id": a_person_to_manage(address).pk}, lambda body, who=role: body
    if address.startswith(OWN):
        return stage_of_ones_own(address, role)
    if is_of_a_pairing(address):
        paired = staged_pairing(address)
        return {}, lambda body, who=role: paired(body)
    if is_of_the_plan(address):
        return stage_of_the_plan(address, role)
    if not is_of_a_swap(address):
        world = _world_for(address)
        joined = {"into": "HS-20 BATCH-17"} if address.endswith("/lot-joins") else {}
        return ids_of(
            world
        ), lambda body, who=role: about(world, body) | joined if joined else about(world, body)
    job, ids = staged(client, address, role)
    return ids, lambda body, who=role: about_swap(job, body, who)


def stage_of_ones_own(address: str, role: str) -> tuple[dict[str, Any], About]:
    """A notice to the person of this role, or a view that this person has kept."""
    if address.startswith("/api/v1/notices"):
        return {"notice_id": a_notice(role).pk}, lambda body, who=role: body
    _world_for(address)
    view = a_view(role).pk
    return {}, lambda body, who=role: {**body, "view": view} if "view" in body else body


def stage_of_the_plan(address: str, role: str) -> tuple[dict[str, Any], About]:
    """A check with what is placed at it; with its package as far as the door needs it."""
    if is_of_a_package(address):
        ids, lived = staged_package(address)
        return ids, lambda body, who=role: lived(body, who)
    check_id, planned = staged_plan()
    return {"check_id": check_id}, lambda body, who=role: planned(body)


def _signing_as(role: str, body: Any) -> Any:
    """The body, with whoever it is signed by given this role."""
    User.objects.filter(username="t.arden").update(roles=[role])
    return body
