"""What raw SQL meets: the promises that the database holds whoever asks."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from equipment.models import Movement, Place, Stay
from tests import builders as build

pytestmark = pytest.mark.django_db

LEDGER = (
    "equipment_movement",
    "equipment_correction",
    "equipment_unitmerge",
    "equipment_sighting",
    "equipment_lifestatement",
    "equipment_certificate",
    "equipment_identification",
    "equipment_title",
    "fleet_utilisationreading",
    "fleet_act",
)


def refused_name(error):
    return error.value.__cause__.diag.constraint_name


def another_stay(stay, **changes):
    """The same stay again, changed, straight into the table, checked at once."""
    facts = {
        name: getattr(stay, name)
        for name in ("unit_id", "place_id", "capacity", "quantity", "valid", "known", "begun_by_id")
    }
    with transaction.atomic():
        Stay.objects.create(**facts | changes)
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")


@pytest.fixture
def stay():
    aircraft, slide = build.an_aircraft("D1L-SLIDE"), build.a_unit(build.a_part("", "LIGHT"))
    build.installed(slide, build.at_position(aircraft), "2027-03-03")
    return Stay.objects.get()


def test_a_unit_is_in_one_place_at_a_time(stay):
    store = Place.objects.create(sort="store", station=build.a_station())

    with pytest.raises(IntegrityError) as error:
        another_stay(stay, place_id=store.pk, capacity=0)

    assert refused_name(error) == "a_unit_is_in_one_place_at_a_time"


def test_a_position_holds_no_more_than_its_places(stay):
    with pytest.raises(IntegrityError) as error:
        another_stay(stay, unit_id=build.a_unit().pk)

    assert refused_name(error) == "a_position_holds_no_more_than_its_places"


def test_a_position_held_no_more_in_the_past_either(stay):
    past = DateTimeTZRange(build.instant("2027-02-01"), build.instant("2027-03-04"))

    with pytest.raises(IntegrityError) as error:
        another_stay(stay, unit_id=build.a_unit().pk, valid=past)

    assert refused_name(error) == "a_position_holds_no_more_than_its_places"


def test_what_ends_as_another_begins_does_not_clash(stay):
    before = DateTimeTZRange(build.instant("2027-02-01"), build.instant("2027-03-03"))

    another_stay(stay, unit_id=build.a_unit().pk, valid=before)

    assert Stay.objects.count() == 2


def test_a_bin_of_three_holds_three():
    aircraft = build.an_aircraft("BIN", capacity=3)
    for _ in range(3):
        build.installed(build.a_unit(), build.at_position(aircraft, "BIN"), "2027-03-03")

    with pytest.raises(IntegrityError) as error:
        another_stay(Stay.objects.first(), unit_id=build.a_unit().pk)

    assert refused_name(error) == "a_position_holds_no_more_than_its_places"


def test_a_stay_cannot_claim_more_room_than_its_place_has(stay):
    with pytest.raises(IntegrityError) as error:
        another_stay(stay, unit_id=build.a_unit().pk, capacity=9)

    assert refused_name(error) == "a_stay_knows_what_its_place_holds"


def test_no_unit_is_inside_itself_however_deep():
    outer, middle, inner = (build.a_unit(build.a_part("", "LIGHT")) for _ in range(3))
    build.installed(middle, build.inside(outer), "2027-03-03")
    build.installed(inner, build.inside(middle), "2027-03-03")
    part = build.inside(inner)
    place = Place.objects.create(
        sort="inside", parent_unit=inner, part_position_id=part.part_position_id, capacity=1
    )
    of_inner = Stay.objects.get(unit=inner)

    with pytest.raises(IntegrityError) as error:
        another_stay(of_inner, unit_id=outer.pk, place_id=place.pk)

    assert refused_name(error) == "no_unit_is_inside_itself"


def test_two_units_of_one_maker_part_and_serial_are_refused():
    slide = build.a_unit()

    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(
            "INSERT INTO equipment_unit (original_part_id, serial_number, part_number_id, manufactured_precision,"
            " quantity, note, facts_stamp, recorded_at) SELECT original_part_id, serial_number, part_number_id,"
            " 'day', 1, '', 0, now() FROM equipment_unit WHERE id = %s",
            [slide.pk],
        )

    assert refused_name(error) == "one_unit_of_this_maker_part_and_serial"


@pytest.mark.parametrize("table", LEDGER)
@pytest.mark.parametrize("act", ["UPDATE {} SET id = id", "DELETE FROM {}", "TRUNCATE {} CASCADE"])
def test_the_applications_account_cannot_change_the_ledger(table, act):
    with pytest.raises(DatabaseError) as error, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(act.format(table))

    assert error.value.__cause__.sqlstate == "42501"


@pytest.mark.parametrize("table", LEDGER)
@pytest.mark.parametrize("act", ["UPDATE {} SET id = id", "DELETE FROM {}"])
def test_the_owners_account_is_told_by_the_trigger(table, act):
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL ROLE greenband_owner")

    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(act.format(table))

    assert refused_name(error) == "the_ledger_only_grows"


def test_a_movement_is_corrected_once_and_never_forked(stay):
    first = Movement.objects.get()
    facts = {
        f.attname: getattr(first, f.attname)
        for f in Movement._meta.fields
        if f.name not in ("id", "act_id")
    }
    Movement.objects.create(
        **facts | {"corrects_id": first.pk, "act_id": "00000000-0000-0000-0000-000000000001"}
    )

    with pytest.raises(IntegrityError), transaction.atomic():
        Movement.objects.create(
            **facts | {"corrects_id": first.pk, "act_id": "00000000-0000-0000-0000-000000000002"}
        )
