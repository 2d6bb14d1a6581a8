"""``GET /healthz``: whether each part is there, by name, in a second or so at worst."""

from __future__ import annotations

from collections.abc import Callable

from celery import current_app
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from kombu.exceptions import KombuError

from .models import seconds_since_beat

SILENCE_SECONDS = 30.0


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


def worker() -> str:
    """Whether the worker wrote its sign of life lately: nothing is asked of the worker itself."""
    age = seconds_since_beat("worker")
    if age is None:
        raise RuntimeError("has never run on this database")
    if age > SILENCE_SECONDS:
        raise RuntimeError(f"no sign of life for {age:.0f} seconds")
    return f"alive {age:.0f} seconds ago"


PARTS: dict[str, Callable[[], str]] = {
    "database": database,
    "migrations": migrations,
    "broker": broker,
    "worker": worker,
}


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
    parts = {name: _state_of(part) for name, part in PARTS.items()}
    well = all(state["ok"] for state in parts.values())
    return JsonResponse({"ok": well, "parts": parts}, status=200 if well else 503)
