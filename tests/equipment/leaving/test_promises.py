"""Whatever is counted, sent, lent, scrapped, split and used up, in whatever order: what the ledger promises holds after
each act, and a refused one leaves nothing behind."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.loans import NewLoan, end_loan, lend_unit
from equipment.leaving.acts.pieces import PiecesUsed, use_pieces
from equipment.leaving.acts.scrap import Scrapped, scrap_unit
from equipment.leaving.acts.transfers import NewTransfer, receive_transfer, send_transfer
from equipment.ledger.facts import RowsRefused, When
from equipment.models import Loan, Movement, Scrapping, Stay, StockTake, Transfer, Unit
from equipment.stocktaking.acts.counts import begin_stock_take, count_scan, end_stock_take
from equipment.stocktaking.acts.differences import settle_difference
from equipment.stocktaking.reads import standing
from equipment.units.acts.lots import split_lot
from fleet.house.refusals import Refused
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit
from tests.sweeps import many

pytestmark = pytest.mark.django_db
PIECES = 9


class Store:
    """Two stations, two units and a lot of nine; each act at a later minute."""

    def __init__(self):
        self.here, self.there = build.a_station(), build.a_station()
        self.clerk = build.a_person("stores", "controller")
        self.lot = a_stocked_unit(
            self.here, build.a_part(is_lot=True), serial_number="LOT", quantity=PIECES
        )
        self.units = [a_stocked_unit(self.here) for _ in range(2)]
        self.at = AT

    def which(self, number):
        every = Unit.objects.select_related("place", "part_number").order_by("pk")
        return every[number % every.count()]

    def do(self, what, number, count):
        self.at += timedelta(minutes=1)
        more = {"by": self.clerk, "act_id": uuid4(), "at": self.at}
        with transaction.atomic():
            getattr(self, what)(self.which(number), count, more)

    def send(self, unit, count, more):
        to = self.there if count % 2 else self.here
        send_transfer(transfer=NewTransfer(unit.pk, to.pk, f"TN-{self.at:%H%M}", TODAY), **more)

    def arrive(self, unit, count, more):
        last = Transfer.objects.filter(unit=unit).order_by("-pk").first()
        receive_transfer(
            transfer_id=last.pk if last else 0,
            received_on=TODAY,
            is_damaged=count % 3 == 0,
            words="Wet." if count % 2 else "",
            **more,
        )

    def lend(self, unit, count, more):
        back = TODAY + timedelta(days=count)
        lend_unit(loan=NewLoan(unit.pk, "Skerry Air", f"LN-{self.at:%H%M}", TODAY, back), **more)

    def back(self, unit, count, more):
        last = Loan.objects.filter(unit=unit).order_by("-pk").first()
        end_loan(
            loan_id=last.pk if last else 0,
            station_id=self.here.pk,
            returned_on=TODAY,
            words="",
            **more,
        )

    def scrap(self, unit, count, more):
        words = "Torn" if count % 3 else ""
        scrap_unit(scrap=Scrapped(unit.pk, words, "cut", "R. Oake", "none", TODAY), **more)

    def split(self, unit, count, more):
        split_lot(
            unit_id=unit.pk,
            quantity=count,
            serial_number=f"B-{self.at:%H%M}",
            when=When(self.at, "instant"),
            **more,
        )

    def use(self, unit, count, more):
        use_pieces(used=PiecesUsed(unit.pk, count, "WO-9", TODAY), **more)

    def count(self, unit, count, more):
        """A stock-take of the whole store in which this unit is scanned, or not, and all that differs is settled."""
        facts = {"station_id": self.here.pk, "store": "store", "bin_name": ""}
        take = begin_stock_take(**facts, **more)
        if count % 2:
            code = f"{unit.part_number.number} {unit.serial_number}"
            pieces = unit.quantity if unit.part_number.is_lot else None
            again = more | {"act_id": uuid4()}
            count_scan(take_id=take.pk, code=code, bin_name="", quantity=pieces, **again)
        for each in standing(take).differs:
            how = {"missing": "lost"}.get(each.sort, "here")
            settle_difference(
                take_id=take.pk,
                how=how,
                unit_id=each.unit_id,
                scan_id=None,
                words="Looked for twice.",
                **(more | {"act_id": uuid4()}),
            )
        end_stock_take(take_id=take.pk, words="", **(more | {"act_id": uuid4()}))


ACTS = ("send", "arrive", "lend", "back", "scrap", "split", "use", "count")


def kept():
    """How many rows there are of whatever an act writes."""
    models = (Movement, Stay, Unit, Transfer, Loan, Scrapping, StockTake)
    return [model.objects.count() for model in models]


def promises(store):
    assert list(check_whereabouts()) == []
    now = Stay.objects.filter(known__upper_inf=True, valid__upper_inf=True)
    units = list(Unit.objects.select_related("place"))
    # Each is in one place, and the unit's own columns say which, and how many.
    assert sorted(now.values_list("unit", "place", "quantity")) == sorted(
        (unit.pk, unit.place_id, unit.quantity) for unit in units
    )
    pieces = [unit.quantity for unit in units if unit.part_number_id == store.lot.part_number_id]
    assert sum(pieces) == PIECES and all(count > 0 for count in pieces)
    for scrapped in Scrapping.objects.select_related("unit__place"):
        assert scrapped.unit.place.sort == "gone"
    away = Transfer.objects.filter(received=None).values_list("unit__place__sort", flat=True)
    assert set(away) <= {"party"}
    assert not StockTake.objects.filter(ended_at=None).exists()


@settings(
    max_examples=many(150, 8),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    steps=st.lists(
        st.tuples(st.sampled_from(ACTS), st.integers(0, 5), st.integers(0, 10)), max_size=7
    )
)
def test_what_the_ledger_promises_holds_after_every_act(db, steps):
    with build.undone():
        store = Store()
        for what, number, count in steps:
            before = kept()
            try:
                store.do(what, number, count)
            except (Refused, RowsRefused):
                assert kept() == before
            promises(store)


@pytest.mark.parametrize("what", ACTS)
def test_each_act_of_these_worlds_is_done_where_nothing_stands_in_its_way(db, what):
    store = Store()
    first = {"arrive": "send", "back": "lend"}.get(what)
    number = 0 if what in {"split", "use"} else 1
    for each in filter(None, (first, what)):
        partial(store.do, each, number, 1)()
    promises(store)
