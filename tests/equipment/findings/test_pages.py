"""The pages of walk-rounds and discrepancies: one position after another, differences, one obvious way to settle."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.models import Discrepancy, Settlement, Sighting, Unit, WalkRound
from tests import builders as build
from tests.equipment.line_world import POSITION, signed_in

pytestmark = pytest.mark.django_db
ROLES = (
    "technician",
    "inspector",
    "certifying",
    "controller",
    "stores",
    "auditor",
    "administrator",
)


@pytest.fixture
def desk(people):
    return signed_in(people["technician"])


@pytest.fixture
def office(people):
    return signed_in(people["controller"])


@pytest.fixture
def walk(line, desk):
    begun(line, desk)
    return WalkRound.objects.get()


def begun(line, desk, **more):
    facts = {"aircraft": line.aircraft.registration, "station": line.station.pk, "act_id": uuid4()}
    return desk.post(reverse("equipment:walk_rounds"), {**facts, **more})


def position_url(walk):
    position = build.at_position(walk.aircraft, POSITION).aircraft_position_id
    return reverse("equipment:walk_position", args=[walk.pk, position])


def seen(desk, walk, **typed):
    return desk.post(position_url(walk), {"act_id": uuid4(), **typed})


def text(answer):
    return answer.content.decode()


def settled(office, discrepancy, way, /, **typed):
    address = reverse("equipment:discrepancy_settle", args=[discrepancy.pk])
    return office.post(address, {"act_id": uuid4(), "way": way, **typed})


def change(line, **more):
    return {
        "found": line.new.serial_number,
        "happened_on": "2026-03-01",
        "document": "LOG 4711",
        "to": "quarantine",
        "station": line.station.pk,
        "off": line.old.pk,
        **more,
    }


@pytest.mark.parametrize("role", ROLES)
def test_every_page_opens_for_every_role(line, walk, desk, people, role):
    seen(desk, walk, serial_number_read=line.new.serial_number)
    client = signed_in(people[role])
    found = Discrepancy.objects.get()

    for address in (
        reverse("equipment:walk_rounds"),
        reverse("equipment:walk_round", args=[walk.pk]),
        position_url(walk),
        reverse("equipment:discrepancies"),
        reverse("equipment:discrepancy_settle", args=[found.pk]),
    ):
        assert client.get(address).status_code == 200, address


def test_a_walk_round_begins_at_the_first_position(line, desk):
    answer = begun(line, desk)

    assert answer["Location"] == position_url(WalkRound.objects.get())


def test_it_is_offered_for_the_aircraft_that_the_address_names(line, desk):
    page = text(desk.get(f"{reverse('equipment:walk_rounds')}?aircraft={line.aircraft}"))

    assert f'value="{line.aircraft}" selected' in page


def test_what_agrees_leads_on_and_ends_in_the_differences(line, walk, desk):
    answer = seen(desk, walk, code=f"HLY-OW-210 {line.old.serial_number}", gauge="in the band")

    assert answer["Location"].endswith(f"/walk-rounds/{walk.pk}/#differences")
    assert "every position agrees" in text(desk.get(answer["Location"]))
    assert Sighting.objects.get().gauge_read == "in the band"


def test_what_differs_is_said_at_once_and_stands_in_the_list(line, walk, desk, office):
    answer = desk.post(position_url(walk), {"serial_number_read": "00533"}, follow=True)

    assert "noted for the controller" in text(answer)
    assert "HLY-OW-210 S/N 00533" in text(desk.get(reverse("equipment:walk_round", args=[walk.pk])))
    assert "Another unit than recorded" in text(office.get(reverse("equipment:discrepancies")))


def test_nothing_there_is_one_button(walk, desk):
    seen(desk, walk, is_empty="yes")

    assert Discrepancy.objects.get().sort == "no_unit"


def test_a_double_tap_is_one_look(walk, desk):
    sent = {"act_id": uuid4(), "serial_number_read": "00417"}
    for _ in range(2):
        assert desk.post(position_url(walk), sent).status_code == 302

    assert Sighting.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Scan or type what is there"),
        ({"expiry_read": "March"}, "Give the expiry as Mar 2027"),
        ({"expiry_read": "2027-13"}, "Give the expiry as Mar 2027"),
        ({"expiry_read": "9999-99-99"}, "Give the expiry as Mar 2027"),
        ({"serial_number_read": "9" * 41}, "at most 40 characters"),
        ({"serial_number_read": "5", "gauge": "sideways"}, "valid choice"),
        ({"note": "a\x00b"}, "Null characters"),
    ],
)
def test_junk_is_said_in_a_sentence_and_nothing_is_kept(walk, desk, typed, words):
    answer = seen(desk, walk, **typed)

    assert answer.status_code == 422
    assert words in text(answer)
    assert not Sighting.objects.exists()


def test_a_month_is_good_to_its_end(line, walk, desk):
    seen(desk, walk, serial_number_read="00417", expiry_read="2028-02")

    assert str(Sighting.objects.get().expiry_read) == "2028-02-29"


@pytest.mark.parametrize("name", ["walk_round", "discrepancy_settle"])
def test_what_is_not_there_is_a_page_that_says_so(desk, name):
    assert desk.get(reverse(f"equipment:{name}", args=[2**31])).status_code == 404


def test_the_auditor_walks_nothing(line, walk, people):
    answer = seen(signed_in(people["auditor"]), walk, serial_number_read="00417")

    assert answer.status_code == 422
    assert "Your role does not allow this" in text(answer)


# --- settling ---------------------------------------------------------------------------------


@pytest.fixture
def found(walk, desk):
    seen(desk, walk, serial_number_read="00533")
    return Discrepancy.objects.get()


def test_the_likeliest_way_is_open_and_filled_in(line, found, office):
    page = text(office.get(reverse("equipment:discrepancy_settle", args=[found.pk])))

    assert page.count("<details open>") == 1
    assert 'value="HLY-OW-210 S/N 00533"' in page
    assert "where the recorded unit went" in page


def test_the_controller_settles_it_as_a_change_that_nobody_recorded(line, found, office):
    answer = settled(office, found, "change", **change(line))

    assert answer.status_code == 302, text(answer)
    line.old.refresh_from_db()
    line.new.refresh_from_db()
    assert (line.old.place.sort, line.new.aircraft_id) == ("quarantine", line.aircraft.pk)
    assert Settlement.objects.get().movement.document == "LOG 4711"
    page = text(office.get(reverse("equipment:discrepancy_settle", args=[found.pk])))
    assert "Settled." in page


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"found": "99999"}, "No unit on record is this"),
        ({"happened_on": "soon"}, "Write it as 3 Mar 2027"),
        ({"happened_on": "0001-01-01"}, "too far off"),
        ({"happened_on": "2149-01-01"}, "It was found before that"),
        ({"document": ""}, "Give the document"),
        ({"to": "shop"}, "Name the shop"),
        ({"to": "aircraft"}, "Choose the position"),
        ({"to": ""}, "Say where"),
        ({"hours": "1e999"}, "field-error"),
        ({"time": "25:99"}, "Give the time as 14:05"),
        ({"happened_on": "2026-01-10"}, "never happened"),
    ],
)
def test_a_story_that_cannot_be_is_said_in_a_sentence(line, found, office, wrong, words):
    answer = settled(office, found, "change", **change(line, **wrong))

    assert answer.status_code == 422
    assert words in text(answer)
    assert not Settlement.objects.exists()


def test_an_unknown_unit_is_put_on_record_from_what_was_read(line, walk, desk, office):
    seen(desk, walk, part_number_read="HLY-OW-210", serial_number_read="77777")
    found = Discrepancy.objects.get()
    page = text(office.get(reverse("equipment:discrepancy_settle", args=[found.pk])))
    assert 'value="77777"' in page

    answer = settled(
        office, found, "unknown", part_number="HLY-OW-210", serial_number="77777", **change(line)
    )

    assert answer.status_code == 302, text(answer)
    assert Unit.objects.get(serial_number="77777").aircraft_id == line.aircraft.pk


def test_a_misreading_is_settled_in_words(found, office):
    assert settled(office, found, "misread", words="").status_code == 422

    settled(office, found, "misread", words="Read again: it is 00417.")

    assert Settlement.objects.get().sort == "record_right"


def test_only_the_controller_sees_a_way_and_may_go_it(line, found, desk):
    page = text(desk.get(reverse("equipment:discrepancy_settle", args=[found.pk])))
    answer = settled(desk, found, "misread", words="no")

    assert "It waits for the controller" in page
    assert answer.status_code == 422
    assert not Settlement.objects.exists()


def test_a_way_that_is_not_of_its_sort_is_no_way(found, office):
    assert settled(office, found, "unknown", words="x").status_code == 404
