"""People, rules, steps and open swaps for the bench: a unit off and on again at its own position."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from equipment.judging.release.obstacles import stands_in_the_way
from equipment.ledger.facts import PlaceAt, When
from equipment.models import Certificate, RuleSet, Step, StepList, Swap, Unit
from equipment.swaps.acts import NewSwap, TagFact, open_swap, record_installation, record_removal
from equipment.swaps.reads.state import state_of
from fleet.house.desks import CERTIFYING, INSPECTOR, TECHNICIAN
from fleet.models import Authorisation, Kind, Station, User

EVERY_ACT = ["sign_step", "inspect", "release"]
PASSWORD = "a password of the bench"  # noqa: S105 - of invented people in a database that is dropped
CODE, DOCUMENT = "BENCH", "Bench"
CONFIRM: tuple[str, str, dict[str, str]] = ("confirm", "Done.", {})
TORQUE = ("torque", "Mount bolts.", {"low": "50", "high": "70", "unit": "in-lb"})
TYPED = {"confirm": {"done": "yes"}, "torque": {"value": "60"}}


def make_person(name: str, day: date, hasher: str | None = None) -> User:
    """A person of the line who may sign everything, with the bench's password if it is asked for."""
    roles = [TECHNICIAN, INSPECTOR, CERTIFYING]
    user = User(username=name, first_name=name, roles=roles)
    user.password = hasher or ""
    user.save()
    Authorisation.objects.create(
        user=user,
        number=f"BENCH {name}",
        sort="approval",
        acts=EVERY_ACT,
        from_on=day - timedelta(days=30),
        until_on=day + timedelta(days=30),
        recorded_at=datetime.combine(day, datetime.min.time()).astimezone(),
    )
    return user


def make_rules(day: date, now: datetime) -> None:
    """Rules of signing in force from this day on."""
    RuleSet.objects.get_or_create(
        from_on=day,
        defaults={
            "code": CODE,
            "revision": "1",
            "document": DOCUMENT,
            "recorded_at": now,
            "step_statement": "Done.",
            "inspection_statement": "Inspected.",
            "release_statement": "Released.",
        },
    )


def make_steps(kinds: list[int], steps: int, earns: str, day: date, now: datetime) -> None:
    """A list for each kind: confirmations and torques by turns, the last inspected and earning a work."""
    for kind in Kind.objects.filter(pk__in=kinds):
        made = StepList.objects.create(
            code=f"{CODE}-{kind.pk}",
            revision="1",
            title="Off and on",
            kind=kind,
            document=DOCUMENT,
            document_revision="1",
            from_on=day,
            recorded_at=now,
        )
        for number in range(1, steps + 1):
            sort, words, rule = TORQUE if number % 2 == 0 else CONFIRM
            is_last = number == steps
            Step.objects.create(
                step_list=made,
                number=number,
                phase="install",
                sort=sort,
                words=words,
                rule=rule,
                is_inspected=is_last,
                earns=earns if is_last else "",
            )


def ready_swaps(units: list[int], by: User, count: int, now: datetime) -> Iterator[Swap]:
    """Swaps in which the unit came off and went on again and nothing but the steps is missing."""
    made = 0
    for unit in Unit.objects.filter(pk__in=units).select_related("place").order_by("pk"):
        if made == count:
            return
        swap = _off_and_on(unit, by, now)
        left = {each.code for each in stands_in_the_way(state_of(swap, now))}
        if left <= {"step_missing"}:
            made += 1
            yield swap


def _off_and_on(unit: Unit, by: User, now: datetime) -> Swap:
    place = unit.place_id
    assert place is not None
    station = Station.objects.order_by("pk")[0].pk
    Certificate.objects.get_or_create(
        unit=unit,
        form="Bench",
        tracking_number=str(unit.pk),
        defaults={"issued_on": now.date(), "issuer": "Bench", "status": "new", "recorded_at": now},
    )
    swap = open_swap(by=by, new=NewSwap(place, station, "bench"), act_id=uuid.uuid4(), at=now)
    facts: dict[str, Any] = {"by": by, "swap_id": swap.pk, "unit_id": unit.pk, "at": now}
    record_removal(
        **facts,
        to=PlaceAt("store", station_id=station),
        when=When(now - timedelta(minutes=2)),
        tag=TagFact("serviceable", "removed_good"),
        act_id=uuid.uuid4(),
    )
    record_installation(**facts, when=When(now - timedelta(minutes=1)), act_id=uuid.uuid4())
    return swap
