"""Which print of a tag hangs on a unit, and that one which holds no more is brought back."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.models import PrintedTag, TagBack, UnitTag
from equipment.stores.reads.clerk_day import clerk_day
from equipment.units import labels
from equipment.units.acts.printing import bring_tag_back, print_tag
from equipment.units.printed import tags_to_bring_back
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, code_of

pytestmark = pytest.mark.django_db
NOW = {"on": TODAY, "at": AT, "is_demonstration": False}


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


@pytest.fixture
def unit(db):
    return a_stocked_unit(build.a_station("LYD"), build.a_part("HS-1"), serial_number="A100")


def tagged(unit, sort="serviceable", **more):
    return UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort=sort,
        tagged_at=more.pop("tagged_at", AT),
        recorded_at=AT,
        recorded_by=build.a_person("stores"),
        **more,
    )


def printed(unit, clerk, **more):
    return print_tag(by=clerk, unit_id=unit.pk, act_id=more.pop("act_id", uuid4()), at=AT)


def said(print_):
    sheet = labels.printed_tag(print_, **NOW)
    return sheet.title, dict(sheet.lines)["Print"]


def to_bring_back():
    return [(each.printed_id, each.why) for each in tags_to_bring_back(TODAY, AT)]


def test_the_first_print_says_so_and_a_reprint_which_it_replaces(unit, clerk):
    tagged(unit)
    one, two = printed(unit, clerk), printed(unit, clerk)

    assert said(one) == ("Serviceable", "1 of this unit")
    assert said(two) == (
        "Serviceable",
        "2 of this unit, a reprint: take off and destroy print 1",
    )
    assert to_bring_back() == [(one.pk, "A later print replaces it.")]

    bring_tag_back(by=clerk, printed_id=one.pk, act_id=uuid4(), at=AT)

    assert to_bring_back() == [] and said(two) == ("Serviceable", "2 of this unit")


def test_what_is_only_read_says_that_it_is_a_copy(unit):
    sheet = labels.unit_tag(tagged(unit), **NOW)
    assert dict(sheet.lines)["Print"] == "a copy to read: not for the unit"


def test_a_tag_that_holds_no_more_is_told_to_bring_back(unit, clerk):
    tagged(unit)
    hung = printed(unit, clerk)
    assert to_bring_back() == []

    doubt = NewHold(scope="unit", why="recall", words="Recall 7", unit_id=unit.pk)
    hold_units(by=clerk, hold=doubt, act_id=uuid4(), at=AT)

    [(key, why)] = to_bring_back()
    assert key == hung.pk and "Recall 7" in why
    assert [each.unit_id for each in clerk_day(today=TODAY, at=AT).tags] == [unit.pk]
    again = printed(unit, clerk)
    assert not again.is_serviceable and said(again)[0] == "Not serviceable"


def test_an_unserviceable_tag_is_printed_and_never_told_back(unit, clerk):
    tagged(unit, "unserviceable", why="defect", words="Torn.")
    assert not printed(unit, clerk).is_serviceable
    assert to_bring_back() == []


def test_without_a_tag_nothing_is_printed_and_what_is_back_is_back_once(unit, clerk):
    assert code_of(print_tag, by=clerk, unit_id=unit.pk, act_id=uuid4(), at=AT) == "no_tag"
    tagged(unit)
    hung, act_id = printed(unit, clerk), uuid4()
    bring_tag_back(by=clerk, printed_id=hung.pk, act_id=act_id, at=AT)
    bring_tag_back(by=clerk, printed_id=hung.pk, act_id=act_id, at=AT)
    more = {"by": clerk, "act_id": uuid4(), "at": AT}
    assert code_of(bring_tag_back, printed_id=hung.pk, **more) == "tag_back_already"
    assert code_of(bring_tag_back, printed_id=0, **more) == "unknown_print"
    assert TagBack.objects.count() == 1


def test_the_same_print_sent_again_is_one(unit, clerk):
    tagged(unit)
    act_id = uuid4()
    assert printed(unit, clerk, act_id=act_id) == printed(unit, clerk, act_id=act_id)
    assert PrintedTag.objects.count() == 1


def test_by_page(client, unit, clerk):
    tagged(unit, tagged_at=build.instant("2026-01-05 12:00"))
    client.force_login(clerk)
    answer = client.post(
        reverse("equipment:stores_print_tag", args=[unit.pk]), {"act_id": uuid4()}, follow=True
    )
    hung = PrintedTag.objects.get()
    link = reverse("equipment:stores_printed", args=[hung.pk])
    assert link in answer.content.decode()
    assert client.get(link).content.startswith(b"%PDF")
    assert client.get(reverse("equipment:stores_printed", args=[0])).status_code == 404
    client.post(reverse("equipment:stores_tag_back", args=[hung.pk]), {"act_id": uuid4()})
    assert TagBack.objects.get().printed == hung
