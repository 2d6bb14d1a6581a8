"""``manage.py load_sheets FILE… [--by NAME] [--mapping NAME] [--dry-run] [--all-or-nothing | --good-lines]``"""

from __future__ import annotations

import time
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from fleet.house.desks import may
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.intake.date_texts import WAYS
from fleet.intake.problems import UnreadableFile
from fleet.loading.acts.loads import bring_load, most_bytes
from fleet.loading.batch import Bringing
from fleet.loading.outcomes import LoadResult
from fleet.loading.own import OwnReader, said_by, sheets_in
from fleet.loading.returned import reasons_of
from fleet.loading.run import load_files
from fleet.loading.work import work_on
from fleet.models import Load, User
from fleet.own_sheets.beside.given_back import Given, marked

MOST_SHOWN = 100
SECONDS_BETWEEN = 1.0


Own = dict[str, Any] | None


class Command(BaseCommand):
    beside: dict[str, Any] = {}
    help = "Reads sheets (XLSX or CSV), says what becomes of every line, and brings the lines in."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("files", nargs="+", metavar="FILE", type=Path)
        parser.add_argument(
            "--by", help="Who brings them. May be left out where one person only may load sheets."
        )
        parser.add_argument("--dry-run", action="store_true", help="Say it all and keep nothing.")
        mode = parser.add_mutually_exclusive_group()
        mode.add_argument(
            "--all-or-nothing",
            action="store_true",
            help="Keep nothing if any line is refused (this is so unless said otherwise).",
        )
        mode.add_argument(
            "--good-lines", action="store_true", help="Keep the good lines, list the refused ones."
        )
        parser.add_argument(
            "--dates",
            choices=[way for way in WAYS if way],
            default="",
            help="How slashed dates in these files are read.",
        )

        parser.add_argument(
            "--returned",
            type=Path,
            metavar="PATH",
            help="Where an own spreadsheet with refused lines is written, marked and with reasons (XLSX).",
        )
        parser.add_argument(
            "--mapping",
            default="",
            metavar="NAME",
            help="The kept mapping by which own spreadsheets (XLSX, ODS, CSV) are read.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        paths: list[Path] = options["files"]
        missing = [str(path) for path in paths if not path.is_file()]
        if missing:
            raise CommandError(f"There is no file {', '.join(missing)}. Check the path.")
        by = self._person(options["by"])
        self.shown_at = time.monotonic()
        try:
            own_said = said_by(options["mapping"])
            if options["dry_run"]:
                result = self._try(paths, by, options["dates"], own_said)
            else:
                mode = Load.GOOD_LINES if options["good_lines"] else Load.ALL_OR_NOTHING
                result = self._load(paths, by, options["dates"], mode, own_said)
        except Refused as refused:
            raise CommandError(refused.message) from refused
        self._say(result, is_trial=options["dry_run"])
        if own_said is not None and options["returned"] and not result.is_clean:
            self._give_back(paths, result, options["returned"])
        if not result.is_clean and not result.is_applied:
            raise CommandError("Nothing was kept. Mend what is listed and bring the files again.")

    def _try(self, paths: list[Path], by: User, dates: str, own_said: Own) -> LoadResult:
        reader = None if own_said is None else OwnReader(own_said, today())

        def keep(result: LoadResult) -> bool:
            if reader is not None:
                self.beside = reader.beside()
            return False

        bringing = Bringing(by=by, at=timezone.now(), today=today(), key=uuid.uuid4())
        files = [(path, path.name) for path in paths]
        return load_files(
            files,
            bringing,
            keep=keep,
            reader=reader,
            ways=dates,
            most_bytes=most_bytes(),
            progress=self._show,
        )

    def _load(
        self, paths: list[Path], by: User, dates: str, mode: str, own_said: Own
    ) -> LoadResult:
        files = [(path.name, _chunks(path)) for path in paths]
        load = bring_load(
            by=by, files=files, at=timezone.now(), dates=dates, mode=mode, own_said=own_said
        )
        result = work_on(load_id=load.pk, now=timezone.now, today=today(), also_show=self._show)
        if result is None:
            load.refresh_from_db()
            raise CommandError(load.fault or "Another process works on this load already.")
        load.refresh_from_db()
        self.beside = load.beside
        return result

    def _show(self, done: int, total: int, words: str) -> None:
        """How far it is, beside the answer (on stderr), no oftener than a person reads."""
        now = time.monotonic()
        if now - self.shown_at >= SECONDS_BETWEEN:
            self.shown_at = now
            lines = f", about {done:,} of {total:,} lines" if total else ""
            self.stderr.write(f"{words}{lines}", self.style.NOTICE)

    def _person(self, username: str | None) -> User:
        if username:
            person = User.objects.filter(username=username).first()
            if person is None:
                raise CommandError(f"Nobody signs in as “{username}”. Check the spelling.")
            return person
        able = [user for user in User.objects.order_by("pk") if may(user, "load_sheets")]
        if len(able) != 1:
            names = ", ".join(user.username for user in able) or "nobody yet"
            raise CommandError(f"Say who brings these sheets: --by NAME. Who may: {names}.")
        return able[0]

    def _say(self, result: LoadResult, *, is_trial: bool) -> None:
        for sheet in result.sheets:
            name = f"{sheet.file}, {sheet.sheet}" if sheet.sheet else sheet.file
            self.stdout.write(
                f"{name}: {sheet.accepted} accepted, {sheet.refused} refused, {sheet.known} already known"
            )
            for line in list(sheet.lines())[:MOST_SHOWN]:
                where = f"{line.cell or f'row {line.row}'}: " if line.row else ""
                mark = "warning, " if line.outcome == "warning" else ""
                self.stdout.write(f"  {where}{mark}{line.message} [{line.code}]")
            if len(sheet.findings) > MOST_SHOWN:
                self.stdout.write(f"  and {len(sheet.findings) - MOST_SHOWN} more")
        self._say_beside()
        kept = (
            "kept"
            if result.is_applied
            else "nothing kept (a trial)"
            if is_trial
            else "nothing kept"
        )
        self.stdout.write(
            f"In all {result.accepted} accepted, {result.refused} refused, {result.known} already known: {kept}."
        )

    def _give_back(self, paths: list[Path], result: LoadResult, target: Path) -> None:
        """Every own file's cells as they are, refused lines marked."""
        why = reasons_of(
            (sheet.file, sheet.sheet, line.row, line.cell, line.message)
            for sheet in result.sheets
            for line in sheet.lines()
            if line.outcome == "refused" and line.row
        )
        given: list[Given] = []
        for path in paths:
            try:
                raws = sheets_in(path, path.name, most_bytes())
            except UnreadableFile:
                continue  # it was said above why it could not be read
            prefix = f"{path.stem[:10]} " if len(paths) > 1 else ""
            given += [
                (f"{prefix}{raw.name}", raw, why.get((path.name, raw.name), {})) for raw in raws
            ]
        try:
            target.write_bytes(marked(given))
        except OSError as error:
            raise CommandError(f"{target} cannot be written: {error.strerror}.") from error
        self.stdout.write(f"With the refused lines marked: {target}")

    def _say_beside(self) -> None:
        """An own spreadsheet's next dates beside the reckoned ones, the commonest difference first."""
        beside = self.beside
        for doubt in beside.get("suspicions", ()):
            left = ", left out" if doubt["is_left_out"] else ""
            lines = "1 line" if doubt["count"] == 1 else f"{doubt['count']} lines"
            self.stdout.write(f"Suspicion, {lines}{left}: {doubt['sentence']}")
            for line in doubt["lines"][:MOST_SHOWN]:
                self.stdout.write(f"  {line['sheet']} {line['cell']}: {line['says']}")
        if not beside.get("total"):
            return
        self.stdout.write(
            f"Of {beside['total']} next dates {beside['same']} are the same, {beside['same_month']} in the same "
            f"month, {beside['differ']} differ."
        )
        for group in beside["groups"]:
            self.stdout.write(
                f"  {group['count']} {group['kind']}, {group['work']}: {group['reason']}"
            )


def _chunks(path: Path) -> Iterator[bytes]:
    with path.open("rb") as opened:
        while chunk := opened.read(1 << 20):
            yield chunk
