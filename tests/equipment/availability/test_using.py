"""One rule by every door: what may not be used is neither set aside, issued nor fitted, under the same code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.availability.acts.reservations import reserve_unit
from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.keeping.record import record_movements
from equipment.ledger.facts import MovementFact, PlaceAt, RowsRefused
from equipment.models import Reservation, Title, Unit
from equipment.stores.acts.issues import issue_unit
from fleet.house.refusals import Refused
from fleet.models import Aircraft, Notice
from scheduling.models import Amount, Clock, Limit, Programme, ProgrammeOfAircraft, Work
from tests import builders as build
from tests.equipment.segregation.test_segregated_movements import held, tagged
from tests.equipment.stores.world import AT, a_stocked_unit, set_aside

pytestmark = pytest.mark.django_db
NEED = build.day("2027-07-01")


@dataclass
class Need:
    unit: Unit
    aircraft: Aircraft
    place: PlaceAt


@pytest.fixture
def need(db):
    part, aircraft = build.a_part(), build.an_aircraft()
    build.a_fit(part, aircraft, "D1L-SLIDE")
    unit = a_stocked_unit(part=part, manufactured_on=build.day("2017-06-15"))
    return Need(unit, aircraft, build.at_position(aircraft))


def quarantined(need):
    build.moved(need.unit, "quarantined", build.in_quarantine(build.a_station()), "2027-03-05")


def expired(need):
    """A life of ten years from manufacture, over on 15 Jun 2027: before the need, after the 1st."""
    programme = Programme.objects.create(code="MP", name="MP", revision="1", govern_spares=True)
    ProgrammeOfAircraft.objects.create(
        aircraft=need.aircraft, programme=programme, from_on=build.day("2020-01-01"), recorded_at=AT
    )
    limit = Limit.objects.create(
        programme=programme,
        code="LIFE",
        revision="1",
        title="Life",
        kind=need.unit.part_number.kind,
        work=Work.objects.create(code="DISCARD", name="Discard"),
        document="MP",
        document_revision="1",
        recorded_at=AT,
    )
    clock = Clock.objects.create(
        limit=limit, seq=1, counts_from="manufacture", first_from="manufacture", measure="months"
    )
    Amount.objects.create(clock=clock, seq=1, value=119)


def foreign(need):
    Title.objects.create(
        unit=need.unit,
        sort="pool_loan",
        owner="Skerry Air",
        from_on=build.day("2027-03-01"),
        restriction="only Q-AVEN",
        recorded_at=AT,
    )


def reserved(need):
    other = build.moved(
        a_stocked_unit(part=need.unit.part_number),
        "installed",
        build.at_position(build.an_aircraft()),
        "2027-04-01",
    )
    set_aside(need.unit, Unit.objects.get(pk=other.unit_id).place_id)


def unfit(need):
    build.a_fit(build.a_part(), need.aircraft, "D1L-SLIDE", msn_from="1")
    need.unit.part_number.fits.all().delete()


CASES = {
    "unit_quarantined": quarantined,
    "unit_unserviceable": lambda need: tagged(need.unit),
    "unit_expired": expired,
    "unit_on_hold": lambda need: held(need.unit),
    "unit_of_another_owner": foreign,
    "reserved_elsewhere": reserved,
    "part_does_not_fit": unfit,
    "no_certificate": None,
}


def made_so(need, code, as_owner):
    with as_owner():
        if code == "no_certificate":
            need.unit.certificates.all().delete()
        else:
            CASES[code](need)


def reserve(need, by=None):
    return reserve_unit(
        by=by or build.a_person("stores"),
        unit_id=need.unit.pk,
        place=need.place,
        need_on=NEED,
        act_id=uuid4(),
        at=AT,
    )


def issue(reservation, by=None, at=AT):
    return issue_unit(
        by=by or build.a_person("stores"), reservation_id=reservation.pk, to="R. Oake", at=at
    )


@pytest.mark.parametrize("code", CASES)
def test_it_is_not_set_aside(need, code, as_owner):
    made_so(need, code, as_owner)

    with pytest.raises(Refused) as refused:
        reserve(need)

    assert [reason.code for reason in refused.value.refusals] == [code]
    assert not Reservation.objects.filter(
        unit=need.unit, need_on=NEED, place__sort="aircraft", words="x"
    ).exists()


@pytest.mark.parametrize("code", [code for code in CASES if code != "reserved_elsewhere"])
def test_what_failed_since_it_was_set_aside_is_not_issued(need, code, as_owner):
    reservation = reserve(need)
    made_so(need, code, as_owner)
    Reservation.objects.filter(pk=reservation.pk).update(ended_at=None, ended_how="", ended_by=None)

    with pytest.raises(Refused) as refused:
        issue(reservation)

    assert [reason.code for reason in refused.value.refusals] == [code]
    assert Reservation.objects.get(pk=reservation.pk).issued_at is None


@pytest.mark.parametrize(
    "code", [code for code in CASES if code not in ("reserved_elsewhere", "no_certificate")]
)
def test_a_sheet_does_not_fit_it(need, code, as_owner):
    made_so(need, code, as_owner)
    later = build.instant("2027-07-02 12:00")

    with pytest.raises(RowsRefused) as refused:
        build.installed(need.unit, need.place, "2027-07-01", is_strict=True, at=later)

    assert code in [reason.code for reason in refused.value.by_row[0]]


def test_a_good_unit_is_set_aside_and_issued_and_a_second_tap_changes_nothing(need):
    clerk, other = build.a_person("stores"), build.a_person("stores")
    reservation = reserve(need)

    first = issue(reservation, clerk)
    again = issue(reservation, clerk, AT + timedelta(seconds=2))

    assert (again.issued_at, again.issued_by) == (first.issued_at, clerk)
    with pytest.raises(Refused) as refused:
        issue(reservation, other)
    assert refused.value.code == "issued_already"
    assert clerk.shown_name in refused.value.message


def test_a_unit_that_is_tagged_unserviceable_frees_what_it_was_set_aside_for_and_tells_who_accepted(
    need,
):
    accepter = build.a_person("stores")
    reservation = reserve(need, accepter)

    tag_unit(
        by=build.a_person("technician"),
        unit_id=need.unit.pk,
        tagged_at=AT,
        act_id=uuid4(),
        at=AT,
        tag=TagFact("unserviceable", "defect", "Torn girt"),
    )

    assert Reservation.objects.get(pk=reservation.pk).ended_how == "failed"
    assert "Torn girt" in Notice.objects.get(to=accepter).words
    with pytest.raises(Refused) as refused:
        issue(reservation)
    assert refused.value.code == "reservation_ended"


@pytest.mark.parametrize("sort", ["quarantined", "scrapped"])
def test_a_unit_that_leaves_stock_frees_it_too(need, sort):
    accepter = build.a_person("stores")
    reserve(need, accepter)
    to = build.SCRAPPED if sort == "scrapped" else build.in_quarantine(build.a_station())

    build.moved(need.unit, sort, to, "2027-05-05")

    assert Reservation.objects.get().ended_how == "failed"
    assert Notice.objects.get(to=accepter).link == f"/units/{need.unit.pk}/"


def test_a_unit_that_a_plain_movement_fits_where_it_was_set_aside_for_is_used(need):
    reserve(need)
    fitter = build.a_person("controller")

    build.installed(need.unit, need.place, "2027-05-28", by=fitter)

    held = Reservation.objects.get()
    assert (held.ended_how, held.ended_by) == ("used", fitter)


def test_a_fitting_of_long_ago_uses_nothing_that_is_set_aside_now(need):
    reserve(need)

    back = build.in_store(build.a_station())
    story = [
        MovementFact(need.unit.pk, "installed", need.place, build.on("2027-03-10"), act_id=uuid4()),
        MovementFact(need.unit.pk, "removed", back, build.on("2027-03-20"), act_id=uuid4()),
    ]
    record_movements(by=build.a_person("controller"), rows=story, act_id=uuid4(), at=AT)

    assert Reservation.objects.get().ended_at is None
