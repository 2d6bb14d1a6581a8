"""Fifty technicians at once against the server as it is run: steps saved, signed, swaps released."""

from __future__ import annotations

import http.client
import random
import threading
import time
import urllib.parse
import uuid
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from statistics import median, quantiles
from typing import Any

from django.contrib.auth.hashers import make_password
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from equipment.models import Step, SwapEnd, Unit
from equipment.swaps.acts import enter_step
from fleet.bench.fresh import address_of
from fleet.bench.load_units import Figure
from fleet.models import User

from . import swap_stage
from .web_server import web_server

TECHNICIANS, STEPS = 50, 24
SECONDS = 60
#: Between two requests of one technician, who has work to do with both hands.
PAUSE = (2.0, 4.0)
TARGET = 5.0
NAME = "greenband_bench_swaps"


@dataclass
class Technician:
    """One client: its session, its swaps, what it was answered."""

    user: User
    inspector: str
    cookies: str
    token: str
    swap: int
    steps: list[tuple[int, str]]
    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    faults: list[str] = field(default_factory=list)


def measure(day: date, now: datetime, seconds: int = SECONDS) -> Figure:
    """p95 over p50 of the worst sort of request, and how many failed, in a bounded minute."""
    with _scratch():
        call_command("load_demo", verbosity=0)
        people = _people(day, now)
        with web_server(address_of(connection.settings_dict)) as port:
            begun = time.perf_counter()
            _all_at_once(people, port, begun + seconds)
        ended = SwapEnd.objects.filter(sort="released").count()
    return _figure(people, ended, time.perf_counter() - begun)


def _figure(people: list[Technician], ended: int, seconds: float) -> Figure:
    took: dict[str, list[float]] = defaultdict(list)
    for each in people:
        for what, times in each.took.items():
            took[what] += times
    spread = {what: _spread(times) for what, times in took.items() if len(times) > 1}
    ratios = {what: p95 / p50 for what, (p50, p95) in spread.items()}
    worst = max(ratios.values(), default=0.0)
    faults = [fault for each in people for fault in each.faults]
    detail = {
        "errors": len(faults),
        "first_errors": faults[:3],
        "released": ended,
        "requests": sum(map(len, took.values())),
        "seconds": round(seconds, 1),
        "milliseconds_p50_p95": {
            what: [round(1000 * x) for x in pair] for what, pair in spread.items()
        },
        "technicians": TECHNICIANS,
        "seconds_between_requests": PAUSE,
    }
    is_met = not faults and ended > 0 and 0 < worst <= TARGET
    return Figure(
        "swap_load", round(worst, 2), "p95/p50", f"<= {TARGET}, errors 0", is_met, 0, detail
    )


def _spread(times: list[float]) -> tuple[float, float]:
    return median(times), quantiles(times, n=20)[-1]


# --- before -----------------------------------------------------------------------------------


def _people(day: date, now: datetime) -> list[Technician]:
    """The technicians signed in, each with swaps of the demonstration's aircraft to do."""
    hashed = make_password(swap_stage.PASSWORD)
    users = [
        swap_stage.make_person(f"bench{number}", day, hashed) for number in range(TECHNICIANS + 1)
    ]
    swap_stage.make_rules(day, now)
    fitted = Unit.objects.filter(place__sort="aircraft", place__capacity=1).order_by("pk")
    units = list(fitted.values_list("pk", flat=True))
    kinds = set(Unit.objects.filter(pk__in=units).values_list("part_number__kind", flat=True))
    swap_stage.make_steps(sorted(kinds), STEPS, "", day, now)
    swaps = list(swap_stage.ready_swaps(units, users[-1], TECHNICIANS, now))
    assert len(swaps) == TECHNICIANS, f"only {len(swaps)} swaps are ready"
    inspector = users[-1].username
    found = []
    for number, (user, swap) in enumerate(zip(users[:-1], swaps, strict=True)):
        steps = Step.objects.filter(step_list=swap.step_list_id).order_by("number")
        # Each is at another point of the list when the minute begins.
        done = number * STEPS // TECHNICIANS
        for step in steps[:done]:
            facts: dict[str, Any] = {"typed": swap_stage.TYPED[step.sort], "at": now}
            enter_step(by=user, swap_id=swap.pk, step_id=step.pk, act_id=uuid.uuid4(), **facts)
        left = list(steps.values_list("number", "sort")[done:])
        found.append(_signed_in(user, inspector, swap.pk, left))
    return found


def _signed_in(user: User, inspector: str, swap: int, steps: list[tuple[int, str]]) -> Technician:
    client = Client()
    client.force_login(user)
    token = "b" * 32
    cookies = f"sessionid={client.cookies['sessionid'].value}; csrftoken={token}"
    return Technician(user, inspector, cookies, token, swap, steps)


# --- the server -------------------------------------------------------------------------------


@contextmanager
def _scratch() -> Iterator[None]:
    """A database of its own in the same server, dropped afterwards."""
    settings = connection.settings_dict
    before = settings["NAME"], settings.setdefault("TEST", {}).get("NAME")
    settings["TEST"]["NAME"] = NAME
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    try:
        yield
    finally:
        connection.creation.destroy_test_db(before[0], verbosity=0)
        settings["TEST"]["NAME"] = before[1]


# --- the minute -------------------------------------------------------------------------------


def _all_at_once(people: list[Technician], port: int, until: float) -> None:
    start = threading.Barrier(len(people))
    threads = [
        threading.Thread(target=_work, args=(each, port, until, start), daemon=True)
        for each in people
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def _work(who: Technician, port: int, until: float, start: threading.Barrier) -> None:
    pauses = random.Random(who.user.username)  # noqa: S311 - how long somebody works is no secret
    start.wait()
    time.sleep(pauses.uniform(0, PAUSE[1]))
    for what, path, sent in _requests(who):
        if time.perf_counter() >= until:
            return
        _send(who, port, what, path, sent)
        time.sleep(pauses.uniform(*PAUSE))


def _requests(who: Technician) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """What is left of one swap: each step saved, all signed, the last inspected, the release."""
    swap = who.swap
    for number, sort in who.steps:
        path = reverse("equipment:swap_step", args=[swap, number])
        yield "save a step", path, swap_stage.TYPED[sort]
    mine = {"username": who.user.username, "password": swap_stage.PASSWORD}
    path = reverse("equipment:swap_sign", args=[swap])
    numbers = list(range(1, STEPS + 1))
    yield "sign", path, {**mine, "what": "step", "step": numbers}
    inspector = {"username": who.inspector, "password": swap_stage.PASSWORD}
    yield "inspect", path, {**inspector, "what": "inspection", "step": numbers[-1:]}
    yield "release", reverse("equipment:swap_release", args=[swap]), mine


def _send(who: Technician, port: int, what: str, path: str, sent: dict[str, Any]) -> None:
    body = urllib.parse.urlencode(
        {**sent, "act_id": str(uuid.uuid4()), "csrfmiddlewaretoken": who.token}, doseq=True
    )
    headers = {"Cookie": who.cookies, "Content-Type": "application/x-www-form-urlencoded"}
    begun = time.perf_counter()
    try:
        call = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        call.request("POST", path, body, headers)
        answer = call.getresponse()
        text = answer.read()
        call.close()
    except OSError as fault:
        who.faults.append(f"{what}: {fault!r}")
        return
    who.took[what].append(time.perf_counter() - begun)
    if answer.status != 302:
        who.faults.append(f"{what} {path}: {answer.status} {text[:80]!r}")
