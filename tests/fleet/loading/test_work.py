"""The job's part: a load is a row first; killed at any point nothing is lost, doubled or half done."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError, connection

from equipment.models import Unit
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.house.refusals import Refused
from fleet.loading import work
from fleet.loading.acts.loads import MOST_TRIES, bring_load, decide_load, drop_load, restart_load
from fleet.loading.work import drain, work_on
from fleet.models import Load, User

from .conftest import NOW
from .ground import GROUND, UNIT, units


def now():
    return NOW


def brought(by, path: Path, **options) -> Load:
    return bring_load(by=by, files=[(path.name, [path.read_bytes()])], at=NOW, **options)


@pytest.fixture
def ground(controller, workbook):
    load = brought(controller, workbook(GROUND), mode=Load.ALL_OR_NOTHING)
    drain(now=now, today=NOW.date())
    load.refresh_from_db()
    assert load.state == Load.APPLIED, load.summary
    return load


def test_a_load_is_read_then_waits_then_is_applied_as_decided(ground, controller, workbook):
    rows = [["QMK", "QS-1", "A1"], ["QMK", "QS-7", "A2"]]
    load = brought(controller, workbook({"Units": [UNIT, *rows]}))

    drain(now=now, today=NOW.date())
    load.refresh_from_db()
    assert (load.state, load.accepted, load.refused) == (Load.READ, 1, 1)
    assert not Unit.objects.exists()
    line = load.lines.get()
    assert (line.cell, line.code) == ("B3", "unknown_part_number")
    assert line.values == {"Maker": "QMK", "Part number": "QS-7", "Serial number": "A2"}

    decide_load(by=controller, load=load, mode=Load.GOOD_LINES)
    drain(now=now, today=NOW.date())
    load.refresh_from_db()
    assert (load.state, load.accepted, load.refused) == (Load.APPLIED, 1, 1)
    assert load.lines.count() == 1
    assert Unit.objects.get().serial_number == "A1"


def test_all_or_nothing_with_a_refused_line_applies_nothing_and_keeps_the_list(
    ground, controller, workbook
):
    load = brought(
        controller, workbook({"Units": [UNIT, ["QMK", "QS-1", "A1"], ["QMK", "QS-7", "A2"]]})
    )
    drain(now=now, today=NOW.date())
    load.refresh_from_db()

    decide_load(by=controller, load=load, mode=Load.ALL_OR_NOTHING)
    drain(now=now, today=NOW.date())
    load.refresh_from_db()

    assert load.state == Load.REFUSED
    assert load.lines.count() == 1
    assert not Unit.objects.exists()


def test_a_load_is_decided_once(ground, controller, workbook):
    load = brought(controller, workbook(units("A1")))
    drain(now=now, today=NOW.date())
    load.refresh_from_db()
    drop_load(by=controller, load=load)

    with pytest.raises(Refused) as refused:
        decide_load(by=controller, load=load, mode=Load.GOOD_LINES)

    assert refused.value.code == "not_waiting"


def test_a_fault_of_the_program_is_on_the_row_and_nothing_is_applied(
    ground, controller, workbook, monkeypatch
):
    load = brought(controller, workbook(units("A1")), mode=Load.GOOD_LINES)

    def falls(*args, **kwargs):
        raise ZeroDivisionError

    monkeypatch.setattr(work, "record_result", falls)
    drain(now=now, today=NOW.date())
    load.refresh_from_db()

    assert load.state == Load.FAILED
    assert "ZeroDivisionError" in load.fault
    assert not Unit.objects.exists()


def test_a_database_that_goes_away_leaves_the_load_for_its_next_turn(
    ground, controller, workbook, monkeypatch
):
    load = brought(controller, workbook(units("A1")), mode=Load.GOOD_LINES)

    def goes_away(*args, **kwargs):
        raise OperationalError

    with monkeypatch.context() as patched:
        patched.setattr(work, "record_result", goes_away)
        with pytest.raises(OperationalError):
            drain(now=now, today=NOW.date())
    load.refresh_from_db()
    assert load.state == Load.APPLYING
    assert not Unit.objects.exists()

    drain(now=now, today=NOW.date())
    load.refresh_from_db()
    assert load.state == Load.APPLIED
    assert Unit.objects.count() == 1


def test_a_load_of_which_nothing_can_be_read_waits_for_no_decision(controller):
    load = bring_load(by=controller, files=[("Units.xlsx", [b"PK\x03\x04 no workbook"])], at=NOW)
    at_once = bring_load(
        by=controller, files=[("a.pdf", [b"%PDF-1.7"])], at=NOW, mode=Load.GOOD_LINES
    )

    drain(now=now, today=NOW.date())

    for each in (load, at_once):
        each.refresh_from_db()
        assert each.state == Load.UNREADABLE
        assert each.lines.get().row == 0
    with pytest.raises(Refused, match="does not wait"):
        decide_load(by=controller, load=load, mode=Load.GOOD_LINES)


def test_a_readable_file_beside_an_unreadable_one_waits_for_a_decision(
    ground, controller, workbook
):
    files = [("Units.xlsx", [workbook(units("A1")).read_bytes()]), ("b.pdf", [b"%PDF-1.7"])]
    load = bring_load(by=controller, files=files, at=NOW)

    drain(now=now, today=NOW.date())
    load.refresh_from_db()

    assert (load.state, load.accepted) == (Load.READ, 1)


def test_a_load_that_never_ends_stops_after_three_tries_and_a_person_starts_it_again(
    ground, controller, workbook, monkeypatch
):
    load = brought(controller, workbook(units("A1")), mode=Load.GOOD_LINES)

    def is_killed(*args, **kwargs):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(work, "load_files", is_killed)
        for _ in range(MOST_TRIES):
            with pytest.raises(KeyboardInterrupt):
                drain(now=now, today=NOW.date())
        assert drain(now=now, today=NOW.date()) == 0
    load.refresh_from_db()
    assert (load.state, load.tries) == (Load.FAILED, MOST_TRIES)
    assert "begun 3 times" in load.fault
    assert drain(now=now, today=NOW.date()) == 0

    restart_load(by=controller, load=load)
    drain(now=now, today=NOW.date())
    load.refresh_from_db()

    assert (load.state, load.mode, load.fault) == (Load.APPLIED, Load.GOOD_LINES, "")
    assert Unit.objects.count() == 1


def test_only_a_load_that_stopped_is_started_again(ground, controller):
    with pytest.raises(Refused) as refused:
        restart_load(by=controller, load=ground)

    assert refused.value.code == "not_stopped"


def test_a_file_over_the_limit_is_refused_at_the_door(controller, settings):
    settings.LOAD_MOST_BYTES = 2**20

    with pytest.raises(Refused) as refused:
        bring_load(by=controller, files=[("big.xlsx", [b"x" * 2**20, b"x"])], at=NOW)

    assert refused.value.code == "file_too_large"
    assert not Load.objects.exists()


def test_the_command_and_the_page_are_one_way(controller, workbook, capsys):
    call_command("load_sheets", str(workbook(GROUND)), "--by", "controller")
    call_command("load_sheets", str(workbook(units("A1"))), "--by", "controller", "--dry-run")
    assert not Unit.objects.exists()

    mixed = workbook({"Units": [UNIT, ["QMK", "QS-1", "A1"], ["QMK", "QS-7", "A2"]]})
    with pytest.raises(CommandError):
        call_command("load_sheets", str(mixed))
    assert not Unit.objects.exists()
    call_command("load_sheets", str(mixed), "--good-lines")

    assert Unit.objects.count() == 1
    said = capsys.readouterr().out
    assert "B3: There is no part number 'QS-7' on record." in said
    assert "1 accepted, 1 refused, 0 already known: kept." in said


def test_the_command_names_a_file_that_is_not_there(controller):
    with pytest.raises(CommandError, match="There is no file"):
        call_command("load_sheets", "nowhere.xlsx")


WORKER = """
import datetime as dt, os, sys
import django
from django.conf import settings
settings.DATABASES["default"].update({database!r})
settings.DATA_DIR = __import__("pathlib").Path({folder!r})
django.setup()
from django.utils import timezone
from fleet.loading import work
from equipment.sheets import units

bring = units.bring_plain

def slowly(*args, **kwargs):
    done = bring(*args, **kwargs)
    print("written", flush=True)
    __import__("time").sleep(60)
    return done

units.bring_plain = slowly
work.drain(now=timezone.now, today=timezone.now().date())
"""


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_killed_worker_leaves_nothing_behind_and_the_next_one_finishes(workbook, settings):
    controller = User.objects.create_user("controller", roles=[CONTROLLER, ADMINISTRATOR])
    brought(controller, workbook(GROUND), mode=Load.ALL_OR_NOTHING)
    drain(now=now, today=NOW.date())
    load = brought(
        controller, workbook(units(*(f"S{i}" for i in range(500)))), mode=Load.GOOD_LINES
    )
    names = ("NAME", "USER", "PASSWORD", "HOST", "PORT", "OPTIONS")
    database = {name: connection.settings_dict[name] for name in names}
    script = WORKER.format(database=database, folder=str(settings.DATA_DIR))

    worker = subprocess.Popen(
        [sys.executable, "-c", script],
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "fleet.config.settings"},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert worker.stdout is not None
    assert worker.stdout.readline().strip() == "written"
    assert work_on(load_id=load.pk, now=now, today=NOW.date()) is None  # the other has it
    worker.send_signal(signal.SIGKILL)
    worker.wait()
    load.refresh_from_db()
    assert load.state == Load.APPLYING
    assert not Unit.objects.exists()

    until = time.monotonic() + 20
    while work_on(load_id=load.pk, now=now, today=NOW.date()) is None:
        assert time.monotonic() < until
        time.sleep(0.1)  # the server notices the lost session
    load.refresh_from_db()

    assert load.state == Load.APPLIED
    assert Unit.objects.count() == 500
