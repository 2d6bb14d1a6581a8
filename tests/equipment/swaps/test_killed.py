"""A process killed in mid-release leaves all of it or nothing, at whichever row it dies."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from uuid import uuid4

import pytest
from django.db import connection

from equipment.models import Reservation, Signature, SwapEnd
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

RELEASER = """
import datetime as dt, os, signal, uuid
import django
from django.conf import settings
settings.DATABASES["default"].update({database!r})
django.setup()
from django.db import connection
from equipment.swaps.acts import release_swap
from fleet.models import User
from fleet.people.proofs import Proof

def dying(execute, sql, params, many, context):
    done = execute(sql, params, many, context)
    if {at!r} in sql:
        os.kill(os.getpid(), signal.SIGKILL)
    return done

at = dt.datetime.fromisoformat({now!r})
with connection.execute_wrapper(dying):
    release_swap(proof=Proof(User.objects.get(pk={by}), at), swap_id={swap}, act_id=uuid.UUID({act!r}), at=at)
print("released", flush=True)
"""
#: What it dies right after; nothing at all is the last.
ROWS = (
    'INSERT INTO "equipment_signature"',
    'INSERT INTO "scheduling_workdone"',
    'INSERT INTO "equipment_swapend"',
    'UPDATE "equipment_reservation"',
    'UPDATE "equipment_inspectorcall"',
)


def release_elsewhere(job: swaps.Job, act: str, dies_at: str) -> int:
    """The exit code of another process that releases the swap, and is killed after a statement."""
    names = ("NAME", "USER", "PASSWORD", "HOST", "PORT", "OPTIONS")
    database = {name: connection.settings_dict[name] for name in names}
    script = RELEASER.format(
        database=database,
        at=dies_at,
        now=job.tick().isoformat(),
        by=job.certifier.pk,
        swap=job.swap.pk,
        act=act,
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        stdout=subprocess.PIPE,
        check=False,
        timeout=120,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "fleet.config.settings"},
    )
    return done.returncode


def rows_of_release(job: swaps.Job) -> tuple[int, int, int, int]:
    """Signatures of release, ends, works, used reservations."""
    return (
        Signature.objects.filter(swap=job.swap, sort="release").count(),
        SwapEnd.objects.filter(swap=job.swap).count(),
        WorkDone.objects.filter(unit=job.new).count(),
        Reservation.objects.filter(unit=job.new, ended_how="used").count(),
    )


@pytest.fixture
def job():
    Work.objects.create(code="WEIGHING", name="Weighing")
    made = swaps.a_job()
    made.do_all()
    Reservation.objects.create(
        act_id=uuid4(),
        unit=made.new,
        place=made.swap.place,
        need_on=build.day("2027-06-01"),
        reserved_at=build.NOW,
        reserved_by=made.technician,
    )
    return made


def test_killed_at_any_row_nothing_is_there_and_sent_again_all_of_it_is(job):
    act = str(uuid4())
    for dies_at in ROWS:
        assert release_elsewhere(job, act, dies_at) == -signal.SIGKILL
        assert rows_of_release(job) == (0, 0, 0, 0), dies_at

    assert release_elsewhere(job, act, "no such statement") == 0

    assert rows_of_release(job) == (1, 1, 1, 1)
