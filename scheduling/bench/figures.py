"""What is measured: each figure a ratio to something that the same machine does at the same time."""

from __future__ import annotations

import multiprocessing
import os
import platform
import resource
import tempfile
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from itertools import islice
from statistics import median
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import connection
from django.test import Client
from django.urls import reverse

from equipment.common.listing import paper_of
from equipment.common.paper import pages_in, pdf_of
from fleet.bench.load_units import Figure
from scheduling.due.due_list import due_rows
from scheduling.due.exports import due_listing
from scheduling.due.lists.filters import DueFilters
from scheduling.programme.acts.works import NewWork, record_works
from scheduling.reckoning.bulk import recompute_all

from ..facts.due_table import COLUMNS

TARGET_FULL, TARGET_MIB = 2.0, 2048
TARGET_SAME = 1.3
NAMES = ", ".join(column.name for column in COLUMNS)


def measured_on() -> str:
    """The machine and the server, in a line."""
    with connection.cursor() as cursor:
        cursor.execute("SHOW server_version")
        version = cursor.fetchone()[0]
    return (
        f"{os.cpu_count()} processors, {platform.machine()}, Python {platform.python_version()},"
        f" PostgreSQL {version.split()[0]}"
    )


def serve_without_collected_files() -> None:
    """This will let pages be asked for here as they are served, in a fresh checkout too."""
    settings.ALLOWED_HOSTS = ["*"]
    plain = "django.contrib.staticfiles.storage.StaticFilesStorage"
    settings.STORAGES = {**settings.STORAGES, "staticfiles": {"BACKEND": plain}}


def peak_mib() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def apart(work: Callable[..., Any], *args: Any) -> tuple[Any, int]:
    """(what the work returns, its peak memory in MiB) in a process of its own."""
    connection.close()
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe()

    def run() -> None:
        theirs.send((work(*args), peak_mib()))

    process = context.Process(target=run)
    process.start()
    found = ours.recv() if ours.poll(3600) else (None, 0)
    process.join()
    return found


def recompute_full(items: int, day: date, now: datetime, rounds: int = 2) -> Figure:
    """Wall time of reckoning and storing everything, over the time COPY takes for the same rows."""
    full, floor, peak, rows = [], [], 0, 0
    for _ in range(rounds):
        _empty()
        (seconds, rows), mib = apart(_timed_full, day, now)
        full.append(seconds)
        peak = max(peak, mib)
        floor.append(apart(_timed_floor)[0])
    ratio = sum(full) / sum(floor)
    return Figure(
        "recompute_full",
        round(ratio, 3),
        "x COPY",
        f"<= {TARGET_FULL}, under 2 GiB",
        ratio <= TARGET_FULL and peak < TARGET_MIB,
        peak,
        {"items": rows, "seconds": _rounded(full), "copy_seconds": _rounded(floor)},
    )


def usual_night(day: date, now: datetime) -> dict[str, Any]:
    """Seconds of a run when nothing changed, and how many rows it wrote: no figure of its own."""
    (seconds, rows), mib = apart(_timed_full, day, now)
    return {"seconds": round(seconds, 2), "rows_written": rows, "peak_mib": mib}


def _rounded(values: list[float]) -> list[float]:
    return [round(value, 2) for value in values]


def _empty() -> None:
    with connection.cursor() as cursor:
        cursor.execute("TRUNCATE scheduling_dueitem, scheduling_recomputerun")


def _timed_full(day: date, now: datetime) -> tuple[float, int]:
    begun = time.perf_counter()
    run = recompute_all(as_of=day, now=now, why="bench")
    seconds = time.perf_counter() - begun
    run.refresh_from_db()
    return seconds, run.items


def _timed_floor() -> float:
    """The finished rows, taken out beforehand, into an identical empty table with the same indexes."""
    with connection.cursor() as cursor, tempfile.TemporaryFile() as kept:
        with cursor.copy(f"COPY scheduling_dueitem ({NAMES}) TO STDOUT (FORMAT BINARY)") as copy:
            for part in copy:
                kept.write(part)
        kept.seek(0)
        cursor.execute("DROP TABLE IF EXISTS bench_floor")
        cursor.execute("CREATE TABLE bench_floor (LIKE scheduling_dueitem INCLUDING ALL)")
        begun = time.perf_counter()
        with cursor.copy(f"COPY bench_floor ({NAMES}) FROM STDIN (FORMAT BINARY)") as copy:
            while part := kept.read(1 << 18):
                copy.write(part)
        seconds = time.perf_counter() - begun
        cursor.execute("DROP TABLE bench_floor")
    return seconds


def seconds_touched(day: date, now: datetime, times: int = 200) -> float:
    """The median of recording one work on one unit, its due items made right in the same act."""
    by = get_user_model().objects.get(username="bench")
    taken = []
    for unit in range(1, times + 1):
        work = NewWork(work_id=1, unit_id=unit, done_on=day, act_id=uuid.uuid4(), result="passed")
        begun = time.perf_counter()
        record_works(by=by, rows=[work], now=now)
        taken.append(time.perf_counter() - begun)
    return median(taken[times // 10 :])


#: What is said in README of paper: two hundred pages in seconds.
TARGET_PDF_PAGES, PDF_ROWS = 10.0, 6_000


def pdf_page(day: date) -> Figure:
    """Pages of the due list on paper made in a second, of some two hundred: rows read, page set, written."""
    begun = time.perf_counter()
    rows = list(islice(due_rows(filters=DueFilters(), as_of=day), PDF_ROWS))
    read = time.perf_counter() - begun
    listing = due_listing(rows, day, "https://house.invalid/due/", "")
    paper = paper_of(listing, printed="Printed by the bench.", is_demonstration=True)
    content = pdf_of(paper)
    seconds, pages = time.perf_counter() - begun, pages_in(content)
    return Figure(
        "pdf_page",
        round(pages / seconds, 1),
        "pages a second",
        f">= {TARGET_PDF_PAGES}",
        pages / seconds >= TARGET_PDF_PAGES,
        peak_mib(),
        {
            "pages": pages,
            "rows": len(rows),
            "seconds": round(seconds, 2),
            "read_seconds": round(read, 2),
            "kib": len(content) // 1024,
        },
    )


PAGES = {
    "all": {},
    "station": {"station": "ST1"},
    "aircraft": {"aircraft": "Q000001"},
    "kind": {"kind": "KIND3"},
    "work": {"work": "OVERHAUL"},
    "band": {"band": "next-check"},
    "part": {"part_number": "PN-4"},
    "until": {"until_on": "2027-06-30"},
    "station and kind": {"station": "ST2", "kind": "KIND5"},
}


def seconds_of_pages(times: int = 25) -> dict[str, tuple[float, int]]:
    """(median server time, queries) of the first page, filtered and not; page after page in turn, so
    that a moment in which the machine did something else falls on all alike."""
    client = Client()
    client.force_login(get_user_model().objects.get(username="bench"))
    taken: dict[str, list[float]] = {name: [] for name in PAGES}
    queries = dict.fromkeys(PAGES, 0)
    for _ in range(times):
        for name, query in PAGES.items():
            seconds, queries[name] = _page(client, query)
            taken[name].append(seconds)
    return {name: (median(seconds[2:]), queries[name]) for name, seconds in taken.items()}


def _page(client: Client, query: dict[str, str]) -> tuple[float, int]:
    """(server time, queries) of one page."""
    with counted() as asked:
        begun = time.perf_counter()
        answer = client.get(reverse("scheduling:due_list"), query)
        seconds = time.perf_counter() - begun
    assert answer.status_code == 200, answer.status_code
    return seconds, len(asked)


@contextmanager
def counted() -> Iterator[list[str]]:
    found: list[str] = []

    def note(execute: Any, sql: Any, params: Any, many: bool, context: Any) -> Any:
        found.append(str(sql))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        yield found
