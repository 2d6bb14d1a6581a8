"""What is told at once, to whom, as each chose; told on where nobody looked; and a mail that was cut off."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from equipment.models import Discrepancy, InspectorCall, Step
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.models import Notice
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem, Mail, MailChoice, ProposalRun, ProposedNeed, Told
from scheduling.telling.acts.morning import tell_round
from scheduling.telling.acts.now import tell_of_now
from scheduling.telling.acts.telling import escalate
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import an_aircraft, due_in, overhauls, reckoned
from tests.scheduling.telling.postbox import a_round, serving, wants

pytestmark = pytest.mark.django_db


def now(minutes: int = 0) -> int:
    return tell_of_now(today(), timezone.now() + timedelta(minutes=minutes))


def told(person) -> list[str]:
    return [each.words for each in Notice.objects.filter(to=person).order_by("pk")]


def a_call():
    job = swaps.a_job()
    job.open()
    step = Step.objects.filter(step_list=job.swap.step_list, is_inspected=True).first()
    step = step or Step.objects.filter(step_list=job.swap.step_list).first()
    return InspectorCall.objects.create(
        act_id=uuid4(),
        swap=job.swap,
        step=step,
        called_at=timezone.now(),
        called_by=build.a_person("technician"),
    )


def a_discrepancy(craft, **more):
    facts = {"found_at": timezone.now(), "found_by": build.a_person("technician"), **more}
    return Discrepancy.objects.create(act_id=uuid4(), sort="no_unit", aircraft=craft, **facts)


def test_an_inspector_who_is_called_hears_of_it_once_and_its_caller_does_not():
    inspector, clerk = build.a_person("inspector"), build.a_person("stores")
    call = a_call()
    caller = call.called_by
    caller.roles = ["technician", "inspector"]

    made = [now(), now()]

    assert made == [1, 0]
    [words] = told(inspector)
    assert words.startswith(f"{caller.shown_name} calls an inspector to ")
    assert told(clerk) == [] and told(caller) == []


def test_a_record_to_settle_is_told_to_controllers_and_many_at_once_in_one_notice():
    controller = build.a_person("controller")
    craft = an_aircraft()
    for _ in range(3):
        a_discrepancy(craft)
    a_discrepancy(craft, found_at=timezone.now() - timedelta(days=9))

    made = [now(), now()]

    assert made == [3, 0]
    [words] = told(controller)
    assert craft.registration in words and words.endswith("And 2 more.")


def test_what_becomes_overdue_during_the_day_is_told_what_the_day_began_with_is_not():
    overhauls()
    craft = an_aircraft()
    due_in(craft, "D1L-SLIDE", -3)
    fresh = due_in(craft, "D1R-SLIDE", 100)
    reckoned()
    controller = build.a_person("controller")

    first = now()
    DueItem.objects.filter(unit=fresh).update(band=int(Band.OVERDUE))
    made = [now(), now()]

    assert (first, made) == (0, [1, 0])
    [words] = told(controller)
    assert fresh.serial_number in words and "became overdue" in words


def a_need(run, key):
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2026-03-01")
    unit.refresh_from_db()
    return ProposedNeed.objects.create(
        run=run,
        key=key,
        place_id=unit.place_id,
        unit_off=unit,
        aircraft=an_aircraft(),
        family="F",
        kind="K",
        on=today() + timedelta(days=5),
        station="QVMR",
        registration="Q-1",
        position="D1L-SLIDE",
        off_words="SL-1 S/N 5",
        group=1,
        off_part="SL-1",
        latest_on=today() + timedelta(days=9),
        facts={},
    )


def test_a_need_that_nothing_fits_any_more_is_told_to_controllers_and_stores():
    run = ProposalRun.objects.create(
        as_of=today(), until_on=today() + timedelta(days=90), made_at=timezone.now(), stamp="x"
    )
    a_need(run, "old")
    people = [build.a_person("controller"), build.a_person("stores")]

    first = now()
    a_need(run, "new")
    made = [now(), now()]

    assert (first, made) == (0, [1, 0])
    assert all(
        words.startswith("Nothing fits Q-1 D1L-SLIDE") for each in people for words in told(each)
    )
    assert [len(told(each)) for each in people] == [1, 1]


# --- as each chose ----------------------------------------------------------------------------


def test_each_chooses_of_what_is_told_here_and_of_what_by_mail(box, port):
    here, by_mail, neither = (build.a_person("controller") for _ in range(3))
    wants(here, by_mail=())
    wants(by_mail, here=())
    wants(neither, here=(), by_mail=())
    reckoned()
    a_discrepancy(an_aircraft())

    with serving(box, port):
        a_round()
        a_round(minutes=1)

    assert [each.rcpt_tos[0].partition("@")[0] for each in box.mails] == [by_mail.username]
    assert len(told(here)) == 1 and told(neither) == []
    pages = {
        person: signed_in(person).get(reverse("fleet:notices")).content.decode()
        for person in (here, by_mail)
    }
    assert "It waits to be settled." in pages[here]
    assert "It waits to be settled." not in pages[by_mail]


def test_what_became_of_ones_own_decisions_is_shown_whatever_is_chosen_and_mailed_if_wanted():
    person = build.a_person("controller")
    wants(person, here=(), by_mail=("own",))

    choice = MailChoice.objects.get(user=person)

    assert "own" not in choice.not_shown and "own" not in choice.not_mailed
    assert "overdue" in choice.not_mailed


def test_a_sort_of_notice_that_there_is_not_is_refused_at_its_field():
    with pytest.raises(Refused) as refused:
        wants(build.a_person("controller"), by_mail=("nonsense",))

    assert (refused.value.code, refused.value.field) == ("unknown_sort_of_notice", "by_mail")


def test_the_form_shows_what_was_chosen():
    person = build.a_person("controller")
    client = signed_in(person)
    sent = {
        "act_id": str(uuid4()),
        "address": "o.lind@airline.example",
        "at_once": "on",
        "by_mail": ["call", "overdue"],
        "here": ["settle"],
    }

    answer = client.post(reverse("scheduling:your_mail"), sent)

    assert answer.status_code == 302
    choice = MailChoice.objects.get(user=person)
    assert set(choice.not_mailed) == {"own", "no_check", "no_unit", "shop", "settle"}
    page = client.get(reverse("scheduling:your_mail")).content.decode()
    assert "An inspector is called" in page


# --- told on ----------------------------------------------------------------------------------


def test_a_call_that_nobody_looks_at_is_told_on_once_after_its_time():
    inspector, controller = build.a_person("inspector"), build.a_person("controller")
    a_call()
    now()

    made = [escalate(timezone.now() + timedelta(minutes=each)) for each in (5, 16, 40)]

    assert made == [0, 1, 0]
    [words] = told(controller)
    assert words.startswith("Nobody has looked at this yet. ")
    assert len(told(inspector)) == 1


@pytest.mark.parametrize("how", ["read", "answered"])
def test_what_somebody_read_or_answered_is_not_told_on(how):
    inspector, controller = build.a_person("inspector"), build.a_person("controller")
    call = a_call()
    now()
    if how == "read":
        Notice.objects.filter(to=inspector).update(read_at=timezone.now())
    else:
        InspectorCall.objects.filter(pk=call.pk).update(
            coming_at=timezone.now(), coming_by=inspector
        )

    assert escalate(timezone.now() + timedelta(hours=1)) == 0
    assert told(controller) == []


# --- a mail that was cut off ------------------------------------------------------------------


class Killed(BaseException):
    """The process dies here."""


def test_killed_between_sending_and_saving_it_is_sent_again_under_the_same_name_and_says_so(
    box,
    port,
    monkeypatch,
):
    person = build.a_person("controller")
    wants(person)
    Notice.objects.create(to=person, words="Now.", link="", at=timezone.now())
    saved = Mail.save

    def dies(self, *args, **more):
        if "sent_at" in more.get("update_fields", ()):
            raise Killed
        saved(self, *args, **more)

    with serving(box, port):
        monkeypatch.setattr(Mail, "save", dies)
        with pytest.raises(Killed):
            a_round()
        monkeypatch.setattr(Mail, "save", saved)
        a_round(minutes=1)
        a_round(minutes=2)

    first, second = box.read()
    names = {each.content.split(b"Message-ID: ")[1].split(b"\r\n")[0] for each in box.mails}
    assert len(names) == 1
    assert "may have reached you already" not in first[2]
    assert "may have reached you already" in second[2]


def test_what_the_server_refused_is_sent_later_without_a_word_of_doubt(box, port):
    person = build.a_person("controller")
    wants(person)
    Notice.objects.create(to=person, words="Now.", link="", at=timezone.now())
    box.answer = "451 Later"
    with serving(box, port):
        a_round()
        box.answer = "250 OK"
        a_round(minutes=10)

    [(_, _, body)] = box.read()
    assert "already" not in body and Mail.objects.get().begun_at is not None


def test_a_mail_is_kept_as_sent_before_the_connection_is_closed(box, port, monkeypatch):
    person = build.a_person("controller")
    wants(person)
    Notice.objects.create(to=person, words="Now.", link="", at=timezone.now())
    kept = []
    closed = "django.core.mail.backends.smtp.EmailBackend.close"
    monkeypatch.setattr(closed, lambda self: kept.append(Mail.objects.filter(sent_at=None).count()))

    with serving(box, port):
        a_round()

    assert kept[-1] == 0 and len(box.mails) == 1


def test_the_round_itself_tells_and_of_an_older_day_forgets(box, port):
    overhauls()
    due_in(an_aircraft(), "D1L-SLIDE", -3)
    reckoned()
    Told.objects.create(key=f"overdue-{date(2020, 1, 1)}:7", told_at=timezone.now())

    tell_round(today(), timezone.now())

    assert not Told.objects.filter(key__startswith="overdue-2020").exists()
    assert Told.objects.filter(key__startswith=f"overdue-{today()}").count() == 2
