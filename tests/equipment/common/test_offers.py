"""What an offered act's page and door do besides the act: told here of fillings and holds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import pytest
from django.urls import reverse

from equipment.availability.acts.holds import HOLD_UNITS, Held
from equipment.models import Filling
from equipment.offers import OFFERS
from fleet.acts.act import Act
from fleet.doors.answers import answer_of
from fleet.house.desks import may
from fleet.offers.api import Api, api_path
from tests.equipment.line_world import signed_in


@pytest.mark.django_db
def test_whose_role_does_not_allow_the_act_is_told_who_does_it(people, line):
    address = reverse("equipment:unit_filling", args=[line.old.pk])
    auditor = signed_in(people["auditor"])

    shown = auditor.get(address).content.decode()
    sent = auditor.post(address, {"done_on": "2026-06-01"})

    assert "This is done by: certifying staff, inspector, stores clerk, technician." in shown
    assert "big-act" not in shown
    assert sent.status_code == 422
    assert "Your role does not allow this" in sent.content.decode()
    assert not Filling.objects.exists()


@pytest.mark.django_db
def test_what_was_typed_is_kept_and_what_was_done_is_said(people, line):
    address = reverse("equipment:unit_filling", args=[line.old.pk])
    desk = signed_in(people["technician"])

    refused = desk.post(address, {"done_on": "nonsense", "document": "WO-7"})
    done = desk.post(address, {"done_on": "2026-06-01", "document": "WO-7"}, follow=True)

    assert refused.status_code == 422
    assert 'value="WO-7"' in refused.content.decode()
    assert "Write it as 3 Mar 2027." in refused.content.decode()
    assert "Filling 1 is recorded." in done.content.decode()


@pytest.mark.django_db
def test_the_unit_s_page_leads_to_every_act_of_its_reader_that_stands_on_it(people, line):
    shown = signed_in(people["technician"]).get(reverse("equipment:unit", args=[line.old.pk]))

    offers = [each for each in OFFERS if each.page and each.page.stands_on == "unit"]
    led_to = {
        each.act.row
        for each in offers
        if reverse(f"equipment:{each.page.name}", args=[line.old.pk]) in shown.content.decode()
    }
    assert led_to == {each.act.row for each in offers if may(people["technician"], each.act.row)}
    assert led_to and led_to != {each.act.row for each in offers}


def test_an_answer_shows_what_its_dataclass_declares():
    assert answer_of(HOLD_UNITS.shows)(Held(4, (8, 9), (9,), ())).data == {
        "hold": 4,
        "units": [8, 9],
        "fitted": [9],
        "discrepancies": [],
    }


@dataclass
class Odd:
    when: datetime
    what: complex


def test_what_no_answer_can_show_is_a_fault_of_the_program():
    with pytest.raises(TypeError, match="what: an answer cannot show"):
        answer_of(Odd)


def test_an_act_that_does_not_say_what_it_shows_has_no_door():
    act = Act(name="looked", does=print, said=Held, address="looked")

    with pytest.raises(TypeError, match="looked: say what programs are shown"):
        api_path(act, Api())
