"""Whether the house is well: ``/livez``, the process answers; ``/readyz``, requests can be served;
``/healthz``, every part by name; and ``/metrics``, its figures.

Both are answered before anything else looks at a request: no redirect to https, no host's name and no
session stands between a watcher and the answer.
"""

from __future__ import annotations

from collections.abc import Callable

from celery import current_app
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from kombu.exceptions import KombuError

from fleet.config.models import seconds_since_beat
from fleet.house.disk import is_short_of_room, room

from .metrics import metrics

SILENCE_SECONDS = 20.0
NIGHT_SECONDS = 36 * 3600.0


def database() -> str:
    """One round trip. Words for people; raises what went wrong."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return "answers"


def migrations() -> str:
    """Whether the tables are those that this program was written for."""
    executor = MigrationExecutor(connection)
    waiting = executor.migration_plan(executor.loader.graph.leaf_nodes())
    if waiting:
        raise RuntimeError(f"{len(waiting)} not applied: run manage.py migrate")
    return "all applied"


def broker() -> str:
    """Whether a message could be sent now."""
    with current_app.connection_for_write() as link:
        try:
            link.channel().close()
        except (OSError, KombuError, *link.connection_errors, *link.channel_errors):
            # Not the error's own words: they may hold the broker's address and password.
            raise RuntimeError("cannot be reached; records are kept and jobs run later") from None
    return "takes messages"


def _sign_of_life(process: str) -> str:
    """Whether the process wrote its sign of life lately: nothing is asked of the process itself."""
    age = seconds_since_beat(process)
    if age is None:
        raise RuntimeError("has never run on this database")
    if age < -SILENCE_SECONDS:  # the clock was set back since: nobody knows how long ago it was
        raise RuntimeError(f"its last sign of life is {-age:.0f} seconds ahead of the clock")
    if age > SILENCE_SECONDS:
        raise RuntimeError(f"no sign of life for {age:.0f} seconds")
    return f"alive {max(age, 0):.0f} seconds ago"


def worker() -> str:
    """What reckons the due list."""
    return _sign_of_life("worker")


def loader() -> str:
    """What reads and applies sheets."""
    return _sign_of_life("loader")


def scheduler() -> str:
    """What asks for the jobs at their times."""
    return _sign_of_life("scheduler")


def disk() -> str:
    """Whether there is room for what will be recorded."""
    left = f"{room() / 2**30:.1f} GiB left"
    if is_short_of_room():
        raise RuntimeError(f"{left}: make room, or records can soon not be kept")
    return left


def night() -> str:
    """Whether every due item was reckoned anew since yesterday morning."""
    age = seconds_since_beat("night")
    if age is None:
        return "has not come yet"
    if age > NIGHT_SECONDS:
        raise RuntimeError(f"the last run ended {age / 3600:.0f} hours ago")
    return f"the last run ended {age / 3600:.0f} hours ago"


PARTS: dict[str, Callable[[], str]] = {
    "database": database,
    "migrations": migrations,
    "broker": broker,
    "worker": worker,
    "loader": loader,
    "scheduler": scheduler,
    "disk": disk,
    "night": night,
}


#: What a request cannot be served without; what else is away delays jobs, and is no reason to send people elsewhere.
NEEDED = ("database", "migrations")


def _state_of(part: Callable[[], str]) -> dict[str, object]:
    try:
        return {"ok": True, "words": part()}
    except RuntimeError as reason:
        return {"ok": False, "words": str(reason)}
    except Error:
        return {"ok": False, "words": "the database cannot be asked"}


@never_cache
@require_safe
def healthz(request: HttpRequest) -> JsonResponse:
    """200 when every part is well, else 503; the body names each part either way."""
    return _told(PARTS)


@never_cache
@require_safe
def readyz(request: HttpRequest) -> JsonResponse:
    """200 when this web server can serve requests, else 503: for whoever shares them out."""
    return _told({name: PARTS[name] for name in NEEDED})


def _told(asked: dict[str, Callable[[], str]]) -> JsonResponse:
    parts = {name: _state_of(part) for name, part in asked.items()}
    well = all(state["ok"] for state in parts.values())
    return JsonResponse({"ok": well, "parts": parts}, status=200 if well else 503)


@never_cache
@require_safe
def livez(request: HttpRequest) -> JsonResponse:
    """200 as long as this process answers at all; it asks nothing of anybody."""
    return JsonResponse({"ok": True})


ADDRESSES: dict[str, Callable[[HttpRequest], HttpResponseBase]] = {
    "/healthz": healthz,
    "/livez": livez,
    "/readyz": readyz,
    "/metrics": metrics,
}


class HealthFirst:
    """The middleware that answers for health, before every other."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        view = ADDRESSES.get(request.path_info)
        return view(request) if view else self.get_response(request)
