"""One load from files to records: read, bring in sheet by sheet in order, keep or take back."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from django.db import IntegrityError, OperationalError, connection, transaction
from psycopg.errors import LockNotAvailable

from fleet.house import desks, pace
from fleet.house.refusals import Refused
from fleet.house.signals import facts_changed
from fleet.house.web import refused_by_database
from fleet.intake.files import MOST_BYTES, read_file
from fleet.intake.problems import UnreadableFile
from fleet.intake.tables import table_of

from .batch import ACCEPTED, KNOWN, REFUSED, Batch, Bringing, Finding, Touched
from .outcomes import LoadResult, SheetResult

Progress = Callable[[int, int, str], None]
#: Reads one file (path, name as brought, most bytes) that is not of the template's kinds of sheet.
Reader = Callable[[Path, str, int], list[SheetResult]]


class _TakeBack(Exception):
    """Ends the transaction of a load of which nothing is kept."""


def load_files(
    files: Sequence[tuple[Path, str]],
    bringing: Bringing,
    *,
    keep: Callable[[LoadResult], bool],
    ways: str = "",
    most_bytes: int = MOST_BYTES,
    progress: Progress = lambda done, total, words: None,
    at_end: Callable[[LoadResult], None] = lambda result: None,
    reader: Reader | None = None,
) -> LoadResult:
    """This will read ``files`` (path and name as brought), bring every good line in, and keep it
    all if ``keep`` says so of the result, else take all back. One transaction.

    ``at_end`` runs inside that transaction, before it is kept. ``ways`` says how slashed dates are
    read. ``reader`` reads own files instead of the template's. Refuses with ``not_permitted``; what is wrong with files and lines is in the result.
    """
    desks.ask(bringing.by, "load_sheets")
    with _without_collector():
        results = _read(files, ways, most_bytes, progress, reader)
        try:
            with transaction.atomic():
                _take_its_turn(progress)
                result = LoadResult(results)
                touched = _bring_in(result, bringing, progress)
                if not keep(result):
                    raise _TakeBack
                tell(touched)
                result.is_applied = True
                at_end(result)
        except _TakeBack:
            result.is_applied = False
    return result


@contextmanager
def _without_collector() -> Iterator[None]:
    """A hundred thousand lines make millions of objects, none of them in a cycle."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _read(
    files: Sequence[tuple[Path, str]],
    ways: str,
    most_bytes: int,
    progress: Progress,
    reader: Reader | None,
) -> list[SheetResult]:
    results: list[SheetResult] = []
    for number, (path, name) in enumerate(files):
        progress(0, 0, f"Opening {name}, file {number + 1} of {len(files)}")
        if reader is not None:
            results += reader(path, name, most_bytes)
            continue
        try:
            raws = read_file(path, name, most_bytes)
        except UnreadableFile as error:
            results.append(_unread(name, "", error))
            continue
        for raw in raws:
            try:
                with pace.watched(_of_sheet(progress, raw.name, len(raw.rows))):
                    table = table_of(raw, name, ways, only_sheet=len(raws) == 1)
            except UnreadableFile as error:
                results.append(_unread(name, raw.name, error))
                continue
            if table is not None:
                results.append(SheetResult(name, raw.name, table=table))
    if not results:
        nothing = UnreadableFile("nothing_to_read", "There is no line to read in what was brought.")
        results.append(_unread(files[0][1] if files else "", "", nothing))
    return results


def _take_its_turn(progress: Progress) -> None:
    """This will wait until no other load is open, and keep PostgreSQL from noting, until this one
    ends, how many rows there are: it would count none of those that this one adds."""
    with connection.cursor() as cursor:
        try:
            with transaction.atomic():
                cursor.execute("SET LOCAL lock_timeout = '700ms'")
                cursor.execute("SELECT fleet_keep_counts()")
                cursor.execute("SET LOCAL lock_timeout TO DEFAULT")
        except OperationalError as error:
            if not isinstance(error.__cause__, LockNotAvailable):
                raise
            progress(0, 0, "Waiting until the load before it has ended")
            cursor.execute("SELECT fleet_keep_counts()")


def _of_sheet(
    progress: Progress, sheet: str, lines: int, before: int = 0, total: int = 0
) -> pace.Watcher:
    """A watcher of one sheet's ``lines`` among ``total``; what is tried again does not go back."""
    furthest = before

    def watch(share: float, words: str) -> None:
        nonlocal furthest
        furthest = max(furthest, before + int(share * lines))
        progress(furthest, total or lines, f"Sheet '{sheet}': {words}")

    return watch


def _unread(file: str, sheet: str, error: UnreadableFile) -> SheetResult:
    return SheetResult(file, sheet, findings=[Finding(0, "", error.code, error.message)])


def _bring_in(result: LoadResult, bringing: Bringing, progress: Progress) -> Touched:
    """This will bring in sheet after sheet, and say what due items may have to follow."""
    touched = Touched()
    with_tables = [sheet for sheet in result.sheets if sheet.table is not None]
    with_tables.sort(key=lambda sheet: sheet.table.kind.order if sheet.table is not None else 0)
    total = sum(len(sheet.table or ()) for sheet in with_tables)
    done = 0
    for sheet in with_tables:
        assert sheet.table is not None
        batch = Batch(sheet.table, bringing)
        with pace.watched(_of_sheet(progress, sheet.sheet, len(batch), done, total)):
            pace.reached(0, "looking up what its lines name")
            bring_sheet(batch)
        sheet.accepted = batch.outcomes.count(ACCEPTED)
        if sheet.accepted:
            touched.add(batch.touched)
        sheet.refused = batch.outcomes.count(REFUSED)
        sheet.known = batch.outcomes.count(KNOWN)
        sheet.findings = sorted(batch.findings, key=lambda finding: finding.row)
        done += len(batch)
    for act in bringing.later.values():
        act()
    progress(total, total, "Finishing")
    return touched


def bring_sheet(batch: Batch) -> None:
    """One sheet in a savepoint of its own, so that a clash in it leaves the other sheets whole."""
    try:
        desks.ask(batch.bringing.by, batch.table.kind.act)
        with transaction.atomic():
            batch.table.kind.bring(batch)
            connection.check_constraints()  # a clash shows here, by its name, and not at the end
    except Refused as refused:
        batch.refuse_all(refused)
        batch.bringing.cache.clear()
    except IntegrityError as error:
        batch.refuse_all(refused_by_database(error))
        batch.bringing.cache.clear()


def tell(touched: Touched) -> None:
    """This will tell what the load touched, of which its acts have not told by themselves."""
    if touched.is_everything:
        facts_changed.send(sender=load_files, unit_ids=None, aircraft_ids=None)
    elif touched.units or touched.aircraft:
        facts_changed.send(
            sender=load_files,
            unit_ids=sorted(touched.units),
            aircraft_ids=sorted(touched.aircraft),
        )
