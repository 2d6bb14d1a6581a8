"""What a clerk types wrongly is told at its field, in plain words, and nothing is half done."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import Movement, PurchaseRequest, StockTake, StockTakeScan
from equipment.stocktaking.acts.counts import begin_stock_take
from equipment.stores.acts.bins import BinSaid, say_bin
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import AT, a_stocked_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def lot(db):
    part = build.a_part("VB-20", kind=build.a_kind("VEST"), is_lot=True)
    return a_stocked_unit(build.a_station("LYD"), part, serial_number="LOT-7", quantity=22)


def begun(clerk, lot):
    return begin_stock_take(
        by=clerk,
        station_id=lot.place.station_id,
        store="store",
        bin_name="",
        act_id=uuid4(),
        at=AT,
    )


def sent(clerk, address, **typed):
    answer = signed_in(clerk).post(address, {"act_id": str(uuid4())} | typed)
    assert answer.status_code in (200, 422), "it was taken"
    form = answer.context["form"]
    for name, value in typed.items():
        assert str(form[name].value()) == str(value), "what was typed is lost"
    return {name: errors[0] for name, errors in form.errors.items()}


def rows():
    return [
        model.objects.count() for model in (Movement, StockTake, StockTakeScan, PurchaseRequest)
    ]


def test_a_stock_take_begun_twice_names_who_counts_it(clerk, lot):
    begun(clerk, lot)
    before = rows()

    said = sent(
        clerk, reverse("equipment:stores_counts"), station=lot.place.station_id, store="store"
    )

    assert len(said) == 1 and clerk.shown_name in next(iter(said.values()))
    assert rows() == before


def test_a_count_below_zero_is_told_at_the_pieces(clerk, lot):
    take = begun(clerk, lot)
    before = rows()
    address = reverse("equipment:stores_count", args=[take.pk])

    said = sent(clerk, address, code="VB-20 LOT-7", quantity=-1)

    assert set(said) == {"quantity"}
    assert rows() == before


def test_a_bin_for_another_kind_is_told_at_the_bin(clerk, lot):
    build.a_kind("SLIDE")
    use = BinSaid(lot.place.station_id, "R2", ("SLIDE",))
    say_bin(by=clerk, use=use, act_id=uuid4(), at=AT)
    before = rows()

    said = sent(clerk, reverse("equipment:stores_stow", args=[lot.pk]), bin="R2")

    assert said["bin"].startswith("Bin R2 is for")
    assert rows() == before


@pytest.mark.parametrize(
    ("page", "typed", "field"),
    [
        ("stores_use_pieces", {"quantity": 23, "job": "WO-1", "used_on": "1 Jun 2026"}, "quantity"),
        ("stores_use_pieces", {"quantity": 0, "job": "WO-1", "used_on": "1 Jun 2026"}, "quantity"),
        ("stores_join_lots", {"into": "NO-SUCH LOT"}, "into"),
        ("stores_join_lots", {"into": "VB-20 LOT-7"}, "into"),
        ("unit_split", {"quantity": 22, "serial_number": "LOT-7-B"}, "quantity"),
    ],
)
def test_what_is_wrong_with_pieces_is_told_at_its_field(clerk, lot, page, typed, field):
    before = rows()
    if page == "unit_split":
        clerk = build.a_person("stores", "controller")
        typed = typed | {"happened_at": "2027-04-01T10:00"}

    said = sent(clerk, reverse(f"equipment:{page}", args=[lot.pk]), **typed)

    assert field in said
    assert rows() == before
