"""What the doors of a check's package need to stand there, by the address alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fleet.house.pages import today
from fleet.models import User
from tests.equipment.line_world import crew
from tests.scheduling.packages.hangar import Aboard, Hangar, all_but_one

from .swaps_world import credentials

WORDS = ("handovers", "findings", "closing", "release", "carried-forward", "aircraft-work")


def is_of_a_package(address: str) -> bool:
    return address.startswith("/api/v1/plan/") and address.rpartition("/")[2] in WORDS


def staged_package(address: str) -> tuple[dict[str, Any], Callable[[Any, str], Any]]:
    """The ids of what stands there, and how the schema's example is made to be about it."""
    crew()
    what = address.rpartition("/")[2]
    hangar = Aboard() if what == "aircraft-work" else Hangar()
    if what in {"findings", "carried-forward"}:
        hangar.hand_over()
    if what in {"closing", "release"}:
        all_but_one(hangar)
    if what == "release":
        hangar.close()
    ids = {"check_id": hangar.check.pk, "item_id": 1}
    if what == "carried-forward":
        ids["item_id"] = hangar.item(hangar.left).row.pk
    if isinstance(hangar, Aboard):
        ids["item_id"] = hangar.aboard.row.pk
    ours = {
        "person": User.objects.get(username="technician").username,
        "done_on": today().isoformat(),
    }

    def about(body: Any, role: str) -> Any:
        if not isinstance(body, dict):
            return body
        signed = credentials(role) if "password" in body else {}
        return {name: ours.get(name, value) for name, value in body.items()} | signed

    return ids, about
