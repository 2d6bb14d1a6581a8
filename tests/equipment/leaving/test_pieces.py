from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.keeping.repair import check_whereabouts
from equipment.leaving.acts.pieces import LotsJoined, PiecesUsed, join_lots, use_pieces
from equipment.ledger.facts import When
from equipment.models import Certificate, Hold, Stay, Title, Unit, UnitPrice, UnitTag
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import why_not_use
from equipment.units.acts.lots import split_lot
from fleet.house.refusals import Refused
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, code_of
from tests.sweeps import many

pytestmark = pytest.mark.django_db


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def lot(db):
    return a_stocked_unit(
        part=build.a_part("VB-20", is_lot=True), serial_number="LOT-7", quantity=22
    )


def split(clerk, lot, count, number):
    return split_lot(
        by=build.a_person("stores", "controller"),
        unit_id=lot.pk,
        quantity=count,
        serial_number=number,
        when=When(AT, "instant", "UTC"),
        act_id=uuid4(),
        at=AT,
    )[0].unit_id


def used(clerk, lot, count, job="WO-9", **more):
    facts = {"act_id": uuid4(), "at": AT} | more
    return use_pieces(by=clerk, used=PiecesUsed(lot.pk, count, job, TODAY, "B. Laan"), **facts)


def joined(clerk, lot, into, **more):
    facts = {"act_id": uuid4(), "at": AT} | more
    code = f"{into.part_number.number} {into.serial_number}"
    return join_lots(by=clerk, joined=LotsJoined(lot.pk, code), **facts)


def pieces(lot):
    return Stay.objects.get(unit=lot, known__upper_inf=True, valid__upper_inf=True).quantity


def why_not(unit_id):
    return [one.code for one in why_not_use(uses_of([unit_id], Asked(TODAY, AT))[unit_id])]


def test_what_is_split_off_has_the_papers_the_owner_the_price_and_the_works_of_its_lot(clerk, lot):
    Title.objects.create(
        unit=lot, sort="consigned", owner="Tidewater", from_on=TODAY, recorded_at=AT
    )
    UnitPrice.objects.create(
        act_id=uuid4(),
        unit=lot,
        amount="4.20",
        currency="EUR",
        paid_on=TODAY,
        recorded_at=AT,
        recorded_by=clerk,
    )
    work = Work.objects.create(code="LOOK", name="Look")
    WorkDone.objects.create(work=work, unit=lot, done_on=TODAY, act_id=uuid4(), recorded_at=AT)
    assert why_not(lot.pk) == []

    new = split(clerk, lot, 6, "LOT-7-B")

    assert Certificate.objects.get(unit=new).tracking_number == f"S-{lot.pk}"
    assert Title.objects.get(unit=new).owner == "Tidewater"
    assert str(UnitPrice.objects.get(unit=new).amount) == "4.20"
    assert WorkDone.objects.get(unit=new).done_on == TODAY
    assert why_not(new) == []


def test_pieces_of_a_condemned_or_held_lot_are_condemned_and_held(clerk, lot):
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=lot,
        sort="unserviceable",
        why="defect",
        tagged_at=AT - timedelta(hours=1),
        recorded_at=AT,
        recorded_by=clerk,
    )
    hold_units(
        by=clerk,
        hold=NewHold(scope="unit", value="", unit_id=lot.pk, why="recall", words="Seams."),
        act_id=uuid4(),
        at=AT,
    )

    new = split(clerk, lot, 6, "LOT-7-B")

    assert why_not(new) == why_not(lot.pk) == ["unit_unserviceable", "unit_on_hold"]
    assert Hold.objects.filter(unit=new).count() == 1


def test_pieces_used_up_are_gone_for_a_job_and_the_rest_stays(clerk, lot):
    made = used(clerk, lot, 4)

    gone = Unit.objects.select_related("place").get(pk=made.unit_id)
    assert (pieces(lot), made.quantity, made.document) == (18, 4, "WO-9")
    assert (gone.serial_number, gone.split_from, gone.place.sort, gone.place.name) == (
        "LOT-7-2",
        lot,
        "gone",
        "used up",
    )
    assert [*check_whereabouts()] == []


def test_the_last_pieces_used_up_end_the_lot_itself(clerk, lot):
    made = used(clerk, lot, 22)

    lot.refresh_from_db()
    assert made.unit_id == lot.pk
    assert lot.place.sort == "gone"


def test_the_same_use_again_uses_nothing_more(clerk, lot):
    act = uuid4()
    first = used(clerk, lot, 4, act_id=act)

    assert used(clerk, lot, 4, act_id=act) == first
    assert pieces(lot) == 18


@pytest.mark.parametrize(
    ("count", "job", "code"), [(23, "WO-9", "quantity_not_there"), (1, " ", "missing")]
)
def test_more_than_there_is_or_no_job_is_refused(clerk, lot, count, job, code):
    assert code_of(used, clerk, lot, count, job) == code
    assert pieces(lot) == 22


def test_one_unit_is_not_used_up_by_pieces(clerk):
    assert code_of(used, clerk, a_stocked_unit(), 1) == "not_a_lot"


def test_what_may_not_be_used_is_not_used_up(clerk, lot):
    hold_units(
        by=clerk,
        hold=NewHold(scope="unit", value="", unit_id=lot.pk, why="recall", words="Seams."),
        act_id=uuid4(),
        at=AT,
    )

    assert code_of(used, clerk, lot, 1) == "unit_on_hold"


def test_what_was_split_is_joined_again(clerk, lot):
    new = Unit.objects.get(pk=split(clerk, lot, 6, "LOT-7-B"))

    made = joined(clerk, new, lot)

    new.refresh_from_db()
    assert (made.unit_id, made.quantity, pieces(lot)) == (lot.pk, 22, 22)
    assert (new.place.sort, new.place.name) == ("gone", "joined")
    assert [*check_whereabouts()] == []


def test_lots_that_differ_stay_apart(clerk, lot):
    other = a_stocked_unit(lot.place.station, lot.part_number, serial_number="LOT-8", quantity=5)
    with pytest.raises(Refused, match="of different lots"):
        joined(clerk, other, lot)
    new = Unit.objects.get(pk=split(clerk, lot, 6, "LOT-7-B"))
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=new,
        sort="unserviceable",
        why="defect",
        tagged_at=AT,
        recorded_at=AT,
        recorded_by=clerk,
    )

    with pytest.raises(Refused, match="differ in tag or hold"):
        joined(clerk, new, lot)
    with pytest.raises(Refused, match="the one itself"):
        joined(clerk, lot, lot)


@settings(
    max_examples=many(60, 12),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    steps=st.lists(
        st.tuples(st.sampled_from(["split", "use", "join"]), st.integers(0, 5), st.integers(0, 25)),
        max_size=8,
    )
)
def test_no_piece_is_lost_or_made_whatever_is_split_used_and_joined(clerk, lot, steps):
    with build.undone():
        at = AT
        lots, gone = [lot], 0
        for what, which, count in steps:
            at += timedelta(minutes=1)
            one = lots[which % len(lots)]
            before = gone
            try:
                if what == "use":
                    used(clerk, one, count, at=at)
                    gone += count
                elif what == "split":
                    split_lot(
                        by=build.a_person("stores", "controller"),
                        unit_id=one.pk,
                        quantity=count,
                        serial_number=f"N-{len(lots)}",
                        when=When(at, "instant", "UTC"),
                        act_id=uuid4(),
                        at=at,
                    )
                else:
                    joined(clerk, one, lots[count % len(lots)], at=at)
            except Refused:
                gone = before
            lots = list(
                Unit.objects.select_related("part_number", "place")
                .filter(part_number=lot.part_number)
                .order_by("pk")
            )
        there = [pieces(one) for one in lots if one.place.sort == "store"]
        used_up = [pieces(one) for one in lots if one.place.name == "used up"]

        assert sum(there) + sum(used_up) == 22
        assert sum(used_up) == gone
        assert all(count > 0 for count in [*there, *used_up])
        assert [*check_whereabouts()] == []
