"""Open items fall due like any other: on the due list's page, with the days that are left."""

from __future__ import annotations

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.findings.reads.open_items import open_rows
from equipment.models import OpenItem, OpenItemClosed
from fleet.house.pages import today
from tests.builders import NOW, a_person, an_aircraft
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def item(db):
    """``item(days)`` is an open item with so many days remaining."""
    aircraft, by = an_aircraft(), a_person()

    def make(days):
        return OpenItem.objects.create(
            act_id=uuid4(),
            aircraft=aircraft,
            document="MEL 25-62-01 rev 12",
            words=f"Vest {days}",
            found_on=today() - timedelta(days=60),
            expires_on=today() + timedelta(days=days),
            recorded_at=NOW,
            recorded_by=by,
        )

    return make


def due_list():
    return signed_in(a_person("controller")).get(reverse("scheduling:due_list")).content.decode()


@pytest.mark.parametrize(
    ("days", "words", "is_over"),
    [
        (12, "12 days remaining", False),
        (1, "1 day remaining", False),
        (0, "last day", False),
        (-1, "1 day over", True),
    ],
)
def test_an_item_says_what_is_left_of_it(item, days, words, is_over):
    item(days)

    [row], more = open_rows(today())

    assert (row.left_words, row.is_over, more) == (words, is_over, 0)


def test_the_due_list_has_a_block_of_open_items_the_first_to_expire_on_top(item):
    item(9), item(-2)

    page = due_list()

    assert page.index("2 days over") < page.index("9 days remaining")


def test_without_open_items_there_is_no_block(db):
    page = due_list()

    assert 'id="due-list"' in page
    assert "open-items-due-title" not in page


def test_many_items_are_read_by_a_fixed_number_of_queries(item, django_assert_max_num_queries):
    for days in range(60):
        item(days)

    with django_assert_max_num_queries(2):
        rows, more = open_rows(today())

    assert (len(rows), more) == (50, 10)


def closed(client, item, **more):
    sent = {"words": "Vest refitted", "closed_on": str(today()), "act_id": str(uuid4()), **more}
    return client.post(reverse("equipment:open_item_close", args=[item.pk]), sent, follow=True)


def open_items_page(client):
    return client.get(reverse("equipment:open_items")).content.decode()


def test_an_open_item_is_closed_from_its_list(item):
    controller, vest = signed_in(a_person("controller")), item(9)
    listed = open_items_page(controller)
    assert "9 days remaining" in listed
    assert reverse("equipment:open_item_close", args=[vest.pk]) in listed

    answer = closed(controller, vest)

    assert OpenItemClosed.objects.get().words == "Vest refitted"
    assert "Closed: Vest 9" in answer.content.decode()
    assert "Nothing is open by a document" in answer.content.decode()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"words": ""}, "Say by what it was closed."),
        ({"words": "x" * 201}, "at most 200"),
        ({"closed_on": "2001-01-01"}, "between the day it was found and today"),
        ({"closed_on": "rubbish"}, "Write it as 3 Mar 2027"),
        ({"closed_on": "9999-12-31"}, "too far off"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_is_closed(item, more, words):
    answer = closed(signed_in(a_person("controller")), item(9), **more)

    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not OpenItemClosed.objects.exists()


def test_who_may_not_close_is_not_offered_it_and_is_refused(item):
    technician, vest = signed_in(a_person("technician")), item(9)

    assert "Close it" not in open_items_page(technician)
    assert closed(technician, vest).status_code in {403, 422}
    assert not OpenItemClosed.objects.exists()


def test_a_long_list_says_how_many_more_there_are(item, monkeypatch):
    monkeypatch.setattr("equipment.findings.pages.lists.MOST_OPEN", 2)
    for days in range(5):
        item(days)

    assert "And 3 more that expire later" in open_items_page(signed_in(a_person("controller")))


DEFERRAL = {
    "where": "",
    "document": "MEL 33-50 rev 9",
    "words": "Exit sign dim",
    "category": "A",
    "found_on": "2026-06-01",
    "expires_on": "2099-06-30",
    "repeat_actions": "",
    "effect": "",
}


def recorded(client, **more):
    sent = {**DEFERRAL, "act_id": str(uuid4()), **more}
    return client.post(reverse("equipment:open_item_new"), sent, follow=True)


def test_a_deferred_defect_is_recorded_from_the_list(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft("D1L-SLIDE")
    assert reverse("equipment:open_item_new") in open_items_page(controller)

    answer = recorded(controller, where=f" {aircraft.registration.lower()} ")
    recorded(controller, where=f"{aircraft.registration} d1l-slide", words="Slide removed")

    assert "Exit sign dim" in answer.content.decode()
    defect, slide = OpenItem.objects.order_by("pk")
    assert (defect.aircraft, defect.place, defect.category) == (aircraft, None, "A")
    assert slide.place.aircraft_position.type_position.code == "D1L-SLIDE"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"where": ""}, "Name the aircraft."),
        ({"where": "Q-NIL"}, "no one position of an aircraft, is on record under that"),
        ({"where": "{reg} NONE"}, "no one position of an aircraft, is on record under that"),
        ({"where": "\x00"}, "Null characters are not allowed"),
        ({"document": " "}, "Name the document that allows it."),
        ({"expires_on": "2026-05-31"}, "Its last day is before the day it was found"),
        ({"found_on": "2099-06-29"}, "has not come yet"),
        ({"found_on": "31/02/2026"}, "31/02/2026"),
    ],
)
def test_what_cannot_be_open_is_said_at_its_field_and_nothing_typed_is_lost(db, more, words):
    aircraft = an_aircraft("D1L-SLIDE")
    given = {"where": aircraft.registration} | {
        name: value.format(reg=aircraft.registration) for name, value in more.items()
    }

    page = recorded(signed_in(a_person("controller")), **given).content.decode()

    assert words in page
    assert "Exit sign dim" in page
    assert not OpenItem.objects.exists()


def test_who_may_not_defer_is_told_and_shown_no_way_to_it(db):
    aircraft, stores = an_aircraft(), signed_in(a_person("stores"))

    page = recorded(stores, where=aircraft.registration).content.decode()

    assert "Your role does not allow this" in page
    assert reverse("equipment:open_item_new") not in open_items_page(stores)
    assert not OpenItem.objects.exists()


def test_one_act_sent_twice_is_recorded_once(db):
    controller, aircraft, act = signed_in(a_person("controller")), an_aircraft(), str(uuid4())

    for _ in range(2):
        recorded(controller, where=aircraft.registration, act_id=act)

    assert OpenItem.objects.count() == 1


def act_carried(answer):
    """The id that the form of this page carries."""
    return re.search(r'name="act_id" value="([^"]+)"', answer.content.decode()).group(1)


def test_the_same_from_a_second_tab_or_after_going_back_is_asked_about_and_not_made_again(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()
    recorded(controller, where=aircraft.registration)

    second_tab = recorded(controller, where=aircraft.registration)
    gone_back = recorded(controller, where=aircraft.registration)

    assert OpenItem.objects.count() == 1
    for answer in (second_tab, gone_back):
        page = answer.content.decode()
        assert "You recorded the same at" in page
        assert "Exit sign dim" in page


def test_a_second_one_that_is_meant_is_made_by_saving_once_more_and_once_only(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()
    recorded(controller, where=aircraft.registration)
    asked = recorded(controller, where=aircraft.registration)

    for _ in range(2):
        recorded(controller, where=aircraft.registration, act_id=act_carried(asked))

    assert OpenItem.objects.count() == 2


def test_another_person_or_other_words_are_not_asked_about(db):
    one, other = signed_in(a_person("controller")), signed_in(a_person("certifying"))
    aircraft = an_aircraft()

    for client, words in (
        (one, "Exit sign dim"),
        (one, "Exit sign dark"),
        (other, "Exit sign dim"),
    ):
        recorded(client, where=aircraft.registration, words=words)

    assert OpenItem.objects.count() == 3


def test_a_form_sent_again_says_when_it_was_recorded(db):
    controller, aircraft, act = signed_in(a_person("controller")), an_aircraft(), str(uuid4())
    recorded(controller, where=aircraft.registration, act_id=act)

    page = recorded(controller, where=aircraft.registration, act_id=act).content.decode()

    assert "This form was sent before: what it said was recorded once, at" in page


# --- categories and extensions ----------------------------------------------------------------


def of_category(client, aircraft, category, days, **more):
    found = today() - timedelta(days=1)
    until = found + timedelta(days=days)
    sent = {"category": category, "found_on": found, "expires_on": until, **more}
    return recorded(client, where=aircraft.registration, **sent)


@pytest.mark.parametrize(("category", "days"), [("B", 3), ("C", 10), ("d", 120)])
def test_a_category_lasts_its_days_from_the_day_after_discovery(db, category, days):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()

    beyond = of_category(controller, aircraft, category, days + 1).content.decode()
    none_yet = OpenItem.objects.count()
    of_category(controller, aircraft, category, days)

    assert f"is {days} days from the day after it was found" in beyond
    assert none_yet == 0
    assert OpenItem.objects.count() == 1


def test_a_category_that_is_none_is_refused_at_its_field(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()

    page = of_category(controller, aircraft, "E", 3).content.decode()

    assert "There is no category “E”." in page
    assert not OpenItem.objects.exists()


def extended(client, item, days, **more):
    until = item.expires_on + timedelta(days=days)
    sent = {"act_id": uuid4(), "expires_on": until, "approval": "CAMO, EXT-7", **more}
    address = reverse("equipment:open_item_extend", args=[item.pk])
    return client.post(address, sent, follow=True).content.decode()


def test_an_item_is_extended_once_with_its_approval_by_one_interval_more(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()
    of_category(controller, aircraft, "C", 10)
    first = OpenItem.objects.get()

    too_far = extended(controller, first, 11)
    unapproved = extended(controller, first, 10, approval=" ")
    none_yet = OpenItem.objects.count()
    done = extended(controller, first, 10)
    second = OpenItem.objects.get(extends=first)
    again = extended(controller, second, 1)

    assert "no further than 10 days" in too_far
    assert "Say who approved it" in unapproved
    assert none_yet == 1
    assert "by CAMO, EXT-7" in done
    assert (second.found_on, second.approval) == (first.found_on, "CAMO, EXT-7")
    assert "Extended until" in OpenItemClosed.objects.get(open_item=first).words
    assert "It was extended once" in again
    assert [row.id for row in open_rows(today())[0]] == [second.pk]


def test_an_item_of_category_a_is_not_extended(db):
    controller, aircraft = signed_in(a_person("controller")), an_aircraft()
    recorded(controller, where=aircraft.registration)

    page = extended(controller, OpenItem.objects.get(), 1)

    assert "Only an item of category B, C or D is extended" in page


def test_as_of_another_day_open_items_count_from_that_day(item):
    item(12)
    later = {"as_of": (today() + timedelta(days=14)).isoformat()}
    client = signed_in(a_person("controller"))

    whole = client.get(reverse("scheduling:due_list"), later).content.decode()
    part = client.get(
        reverse("scheduling:due_list"), later, headers={"HX-Request": "true"}
    ).content.decode()

    assert "2 days over" in whole
    assert "2 days over" in part
