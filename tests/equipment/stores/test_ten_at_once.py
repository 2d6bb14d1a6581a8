"""Ten people at the counter in one moment, each with a unit of his own: nobody waits for anybody in the database.

What one waits for then is the processor alone: a machine with as many cores as people takes no longer for ten than for one.
"""

from __future__ import annotations

import threading
import time
from functools import partial
from uuid import uuid4

import pytest
from django.db import connection, transaction

from equipment.leaving.acts.transfers import NewTransfer, send_transfer
from equipment.models import Unit
from equipment.stores.acts.bins import stow_unit
from equipment.stores.acts.shops import NewOrder, send_to_shop
from tests import builders as build
from tests.at_once import people
from tests.equipment.stores.world import AT, TODAY, a_line, a_paper, received, stocked_units
from tests.sweeps import many

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True), pytest.mark.sweep]
PEOPLE, ROUNDS = 10, many(20, 2)
# Of this database alone (other tests' stand on the same server), and not the moment in which a table grows by a page.
WAITING = """
SELECT count(*) FROM pg_locks JOIN pg_stat_activity USING (pid)
 WHERE NOT granted AND datname = current_database() AND locktype <> 'extend'
"""


class Watcher(threading.Thread):
    """Looks every few milliseconds whether somebody waits for somebody: how often it looked, and saw somebody wait."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.is_over = threading.Event()
        self.looks = self.seen = 0

    def run(self) -> None:
        while not self.is_over.is_set():
            with connection.cursor() as cursor:
                cursor.execute(WAITING)
                self.seen += cursor.fetchone()[0] > 0
            self.looks += 1
            time.sleep(0.003)
        connection.close()

    def __enter__(self) -> Watcher:
        self.start()
        return self

    def __exit__(self, *fault: object) -> None:
        self.is_over.set()
        self.join(10)


def test_nobody_waits_for_anybody_whose_unit_is_another():
    station, other, part = build.a_station(), build.a_station(), build.a_part("HS-1")
    clerks = [build.a_person("stores") for _ in range(PEOPLE)]
    units = iter(stocked_units(station, part, 4 * PEOPLE * (ROUNDS + 1)))
    due = build.day("2027-08-01")

    def acts(what, number):
        for clerk in clerks:
            unit, more = next(units, 0), {"by": clerk, "act_id": uuid4(), "at": AT}
            serial = f"N{number}-{clerk.pk}"
            yield {
                "receive": partial(
                    received,
                    a_line(serial),
                    by=clerk,
                    station=station,
                    paper=a_paper(tracking_number=serial),
                ),
                "stow": partial(stow_unit, unit_id=unit, bin_name=f"R{clerk.pk}", **more),
                "order": partial(
                    send_to_shop,
                    order=NewOrder(unit, "Lee Shore", serial, station.pk, TODAY, due),
                    today=TODAY,
                    **more,
                ),
                "transfer": partial(
                    send_transfer, transfer=NewTransfer(unit, other.pk, serial, TODAY), **more
                ),
            }[what]

    # The first of a kind makes its place: bins, the shop, the way.
    with people(PEOPLE) as at_once:
        for what in ("receive", "stow", "order", "transfer"):
            at_once(*acts(what, "first"))
        with Watcher() as watch:
            for number in range(1, ROUNDS):
                for what in ("receive", "stow", "order", "transfer"):
                    at_once(*acts(what, number))

    assert watch.looks > 5
    assert watch.seen == 0, f"{watch.seen} of {watch.looks} looks saw somebody wait"


def test_two_who_do_want_one_unit_are_seen_to_wait():
    """The watcher does see what it looks for."""
    [unit] = stocked_units(build.a_station(), build.a_part(), 1)

    def held():
        with transaction.atomic():
            Unit.objects.select_for_update().get(pk=unit)
            time.sleep(0.15)

    with people(2) as at_once, Watcher() as watch:
        at_once(held, held)

    assert watch.seen
