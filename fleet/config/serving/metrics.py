"""``/metrics``: figures of this house as plain text, as Prometheus and others read it.

No record stands in them. They are told to whoever asks at this machine itself, and elsewhere to who shows
METRICS_TOKEN: what came through a proxy came from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from ipaddress import ip_address

from django.conf import settings
from django.db import Error, connection
from django.http import HttpRequest, HttpResponse
from django.utils.crypto import constant_time_compare
from django.utils.module_loading import import_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from fleet.house.disk import room
from fleet.loading.acts.loads import TO_WORK
from fleet.models import Load

from .tally import TALLY, WITHIN

MEDIA = "text/plain; version=0.0.4; charset=utf-8"
#: Headers by which a proxy says for whom it asks.
THROUGH_PROXY = ("X-Forwarded-For", "X-Forwarded-Proto", "X-Real-IP", "Forwarded", "Via")
DUE_ITEM = "scheduling.models.DueItem"
Values = Iterable[tuple[str, float]]


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its name, what it means, and its values, each with its labels."""

    name: str
    means: str
    values: Callable[[], Values]
    sort: str = "gauge"

    def lines(self) -> Iterator[str]:
        yield f"# HELP greenband_{self.name} {self.means}"
        yield f"# TYPE greenband_{self.name} {self.sort}"
        for labels, value in self.values():
            yield f"greenband_{self.name}{labels} {value:.10g}"


def answers() -> Values:
    """Answers since the web server began."""
    for door, status, count in TALLY.answers():
        yield f'{{door="{door}",status="{status}"}}', count


def durations() -> Iterator[str]:
    """The histogram of how long answers took: each class holds those before it."""
    name = "greenband_request_seconds"
    yield f"# HELP {name} Seconds until an answer began."
    yield f"# TYPE {name} histogram"
    for door, found in TALLY.durations().items():
        so_far = 0
        for most, count in zip((*map(str, WITHIN), "+Inf"), found.counts, strict=True):
            so_far += count
            yield f'{name}_bucket{{door="{door}",le="{most}"}} {so_far}'
        yield f'{name}_sum{{door="{door}"}} {found.seconds:.10g}'
        yield f'{name}_count{{door="{door}"}} {so_far}'


def disk_room() -> Values:
    """Bytes left where everything is kept."""
    yield "", room()


def signs_of_life() -> Values:
    """Seconds since each process was last alive."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT process, extract(epoch FROM now() - beat_at) FROM house_heartbeat ORDER BY process"
        )
        for process, age in cursor.fetchall():
            yield f'{{process="{process}"}}', float(age)


def stale() -> Values:
    """Due items that wait to be reckoned anew."""
    yield "", import_string(DUE_ITEM).objects.stale().count()


def loads_waiting() -> Values:
    """Loads of sheets that a worker is to take up or has in hand."""
    yield "", Load.objects.filter(state__in=TO_WORK).count()


def database_size() -> Values:
    """Bytes of the database on its disk."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_database_size(current_database())")
        yield "", cursor.fetchone()[0]


OWN = (
    Figure("requests_total", "Answers by door and status.", answers, "counter"),
    Figure("disk_room_bytes", "Room left on the disk of the data folder.", disk_room),
)
OF_RECORDS = (
    Figure("sign_of_life_age_seconds", "Since each process was last alive.", signs_of_life),
    Figure("due_items_stale", "Due items that wait to be reckoned anew.", stale),
    Figure("loads_waiting", "Loads of sheets waiting or in hand.", loads_waiting),
    Figure("database_bytes", "Size of the database.", database_size),
)


def told() -> Iterator[str]:
    """Every line. What needs the database is left out while it is away, which is said by a figure."""
    for figure in OWN:
        yield from figure.lines()
    yield from durations()
    lines: list[str] = []
    try:
        for figure in OF_RECORDS:
            lines += figure.lines()
        answers_now = 1
    except Error:
        lines, answers_now = [], 0
    yield from lines
    yield from Figure(
        "database_up", "1 while the database answers.", lambda: [("", answers_now)]
    ).lines()


def may_ask(request: HttpRequest) -> bool:
    """Whether these figures are for who asks: at this machine itself, or with the token for them."""
    token, given = settings.METRICS_TOKEN, request.headers.get("Authorization", "")
    if token and constant_time_compare(given, f"Bearer {token}"):
        return True
    if any(header in request.headers for header in THROUGH_PROXY):
        return False
    try:
        return ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


@never_cache
@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """Every figure to who may ask; 403 with a sentence to others."""
    if not may_ask(request):
        words = (
            "Figures are told at this machine itself, or with the METRICS_TOKEN of its settings.\n"
        )
        return HttpResponse(words, status=403, content_type="text/plain; charset=utf-8")
    return HttpResponse("\n".join(told()) + "\n", content_type=MEDIA)
