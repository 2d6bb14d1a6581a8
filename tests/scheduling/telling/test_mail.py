"""Mail to a real server, stopped and started: each notice once, nothing lost, each person as chosen."""

from __future__ import annotations

from datetime import timedelta
from email import message_from_bytes
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.models import Notice
from fleet.people.acts.notices import tell
from scheduling.models import DayTold, Mail, MailChoice
from scheduling.reckoning.bulk import recompute_all
from scheduling.telling.acts.night import tell_of_day
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import an_aircraft, due_in, overhauls, reckoned
from tests.scheduling.telling.postbox import a_round, serving, wants

pytestmark = pytest.mark.django_db


def test_a_notice_arrives_once_however_often_it_is_asked(box, port):
    person = build.a_person("controller")
    wants(person)
    tell(to=person, words="It is no longer set aside.", link="/stores/", at=timezone.now())

    with serving(box, port):
        sent = [a_round(), a_round(), a_round(5)]

    assert sent == [1, 0, 0]
    [(to, subject, body)] = box.read()
    assert to == f"{person.username}@airline.example"
    assert subject == "It is no longer set aside."
    assert "https://house.invalid/stores/" in body


def test_while_the_server_is_away_mails_are_kept_and_sent_later(box, port):
    person = build.a_person("controller")
    wants(person)
    for number in range(3):
        tell(to=person, words=f"Notice {number}.", link="", at=timezone.now())

    assert a_round() == 0
    waiting = Mail.objects.filter(sent_at=None)
    assert waiting.count() == 3 and waiting.exclude(fault="").count() == 1
    with serving(box, port):
        a_round()  # what failed is not tried again at once; the others are
        a_round(minutes=10)

    assert sorted(subject for _, subject, _ in box.read()) == [
        "Notice 0.",
        "Notice 1.",
        "Notice 2.",
    ]
    assert not Mail.objects.filter(sent_at=None).exists()


def test_what_the_server_refuses_is_tried_again_later_and_less_often(box, port):
    person = build.a_person("controller")
    wants(person)
    tell(to=person, words="Notice.", link="", at=timezone.now())
    box.answer = "451 Later"
    waits = []
    with serving(box, port):
        for minutes in (0, 10, 100, 1000):
            a_round(minutes)
            mail = Mail.objects.get()
            waits.append(mail.next_at - timezone.now() - timedelta(minutes=minutes))
        box.answer = "250 OK"
        a_round(minutes=3000)

    assert waits == sorted(waits) and waits[-1] <= timedelta(hours=1)
    assert len(box.mails) == 1 and Mail.objects.get().tries == 5


def test_each_person_chooses_and_nothing_of_before_the_choice_is_mailed(box, port):
    at_once, digest, nothing = (build.a_person("controller") for _ in range(3))
    tell(to=at_once, words="Long ago.", link="", at=timezone.now() - timedelta(days=1))
    wants(at_once)
    wants(digest, at_once=False, digest=True)
    reckoned()
    for person in (at_once, digest, nothing):
        tell(to=person, words="Now.", link="", at=timezone.now())

    with serving(box, port):
        a_round()
        a_round(minutes=1)

    found = {(to.partition("@")[0], subject.partition(":")[0]) for to, subject, _ in box.read()}
    assert (at_once.username, "Now.") in found and len(box.mails) == 2
    assert {name for name, _ in found} == {at_once.username, digest.username}


def test_the_digest_comes_once_a_day_and_says_what_stops_a_departure(box, port):
    overhauls()
    craft = an_aircraft()
    due_in(craft, "D1L-SLIDE", -3)
    reckoned()
    person = build.a_person("controller")
    wants(person, at_once=False, digest=True)

    with serving(box, port):
        a_round()
        a_round(minutes=60)

    [(_, subject, body)] = box.read()
    assert craft.registration in body and "May not leave: 1" in body
    assert "1 aircraft that may not leave" in subject
    assert "The operator's approved data governs." in body


def test_a_read_notice_is_not_mailed_and_who_left_gets_nothing(box, port, as_owner):
    read, left = build.a_person("controller"), build.a_person("controller")
    for person in (read, left):
        wants(person)
        tell(to=person, words="Now.", link="", at=timezone.now())
    Notice.objects.filter(to=read).update(read_at=timezone.now())
    with as_owner():
        type(left).objects.filter(pk=left.pk).update(is_active=False)

    with serving(box, port):
        a_round()

    assert box.mails == []


def test_without_a_server_nothing_is_written_and_the_page_says_so(settings):
    settings.MAIL_HOST = ""
    person = build.a_person("controller")
    wants(person)
    tell(to=person, words="Now.", link="", at=timezone.now())

    assert a_round() == 0 and not Mail.objects.exists()
    page = signed_in(person).get(reverse("scheduling:your_mail")).content.decode()
    assert "knows no mail server yet" in page


def test_no_address_is_refused_at_its_field_and_what_was_typed_is_kept():
    person = build.a_person("technician")
    with pytest.raises(Refused) as told:
        wants(person, address="nobody")
    assert (told.value.code, told.value.field) == ("no_mail_address", "address")

    sent = {"act_id": str(uuid4()), "address": "nobody", "digest": "on"}
    answer = signed_in(person).post(reverse("scheduling:your_mail"), sent)
    assert answer.status_code == 422 and 'value="nobody"' in answer.content.decode()
    assert not MailChoice.objects.exists()


def test_a_header_cannot_be_forged_by_what_a_notice_says(box, port):
    person = build.a_person("controller")
    wants(person)
    tell(to=person, words="One\r\nBcc: thief@example.net", link="", at=timezone.now())

    with serving(box, port):
        a_round()

    [mail] = box.mails
    assert mail.rcpt_tos == [f"{person.username}@airline.example"]
    assert "Bcc" not in message_from_bytes(mail.content)


def test_what_the_night_brought_is_told_to_controllers_once():
    with time_machine.travel(build.NOW, tick=False):
        overhauls()
        craft = an_aircraft()
        due_in(craft, "D1L-SLIDE", -1)
        due_in(craft, "D1R-SLIDE", 200)
        controller, clerk = build.a_person("controller"), build.a_person("stores")
        night = build.NOW - timedelta(hours=11)
        yesterday = today() - timedelta(days=1)
        recompute_all(as_of=yesterday, now=night - timedelta(days=1), why="test")
        recompute_all(as_of=today(), now=night, why="test")

        told = [tell_of_day(today(), timezone.now()) for _ in range(2)]

        words = [each.words for each in Notice.objects.filter(to=controller)]
    assert told == [1, 0] and DayTold.objects.count() == 1
    assert Notice.objects.filter(to=clerk).count() == 0
    assert len(words) == 1
    assert craft.registration in words[0] and "became overdue" in words[0]
