"""A swap done on a card at an outstation, entered afterwards."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest

from equipment.common.attached import FileFact
from equipment.models import Attachment, Discrepancy, Signature, StepList, Swap, SwapEnd, Unit
from equipment.swaps.acts import FoundUnit, TagFact
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from equipment.swaps.pages.shown import swap_page, whole_swap
from fleet.aircraft.ports import groundings_of
from fleet.house.refusals import Refused
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests.builders_swaps import a_job, a_technician, an_authorisation, an_ink_signer

pytestmark = pytest.mark.django_db
PAGE = FileFact("card 88.png", b"\x89PNG\r\n\x1a\n" + b"\0" * 20)
INK = Ink("Una Skerry", "VAR 900", build.day("2027-05-20"))


@pytest.fixture
def job(db):
    made = a_job()
    made.una = an_ink_signer("Una Skerry", "VAR 900", "release")
    made.per = an_ink_signer("Per Holm", "VAR 901", "inspect")
    return made


@pytest.fixture
def card(job):
    return Card(
        place=job.place,
        station_id=job.station.pk,
        reference="QCARD 88",
        reason="overhaul due",
        when=build.on("2027-05-20 10:00"),
        released=INK,
        page=PAGE,
        off_id=job.old.pk,
        off_to=build.in_quarantine(job.station),
        tag=TagFact("unserviceable", "limit", "overhaul due"),
        on_id=job.new.pk,
        inspected=Ink("Per Holm", "VAR 901", build.day("2027-05-20")),
        minutes=600_000,
        cycles=5000,
        log_page="L 12",
    )


def transcribed(job, card, **more):
    return transcribe_swap(
        by=job.technician, card=card, **{"act_id": uuid4(), "at": build.NOW, **more}
    )


def test_a_card_is_entered_whole_and_marked(job, card):
    done = transcribed(job, card)

    end = SwapEnd.objects.get(swap=done.swap)
    assert done.obstacles == ()
    assert (done.swap.is_transcribed, end.sort) == (True, "released")
    assert (end.signature.is_ink, end.signature.ink_signer) == (True, "Una Skerry")
    assert end.signature.by == job.technician
    assert Attachment.objects.get().swap == done.swap


def test_both_histories_are_right_from_the_day_of_the_card(job, card):
    transcribed(job, card)

    on = Unit.objects.get(pk=job.new.pk)
    assert on.aircraft == job.aircraft
    assert Unit.objects.get(pk=job.old.pk).place.sort == "quarantine"
    assert on.movements.get(sort="installed").happened_at == build.instant("2027-05-20 10:00")


def test_the_same_card_sent_twice_is_one_swap(job, card):
    act = uuid4()

    first = transcribed(job, card, act_id=act)

    assert transcribed(job, card, act_id=act).swap == first.swap
    assert Swap.objects.count() == 1


def test_a_card_that_the_facts_contradict_stays_open_and_says_why(job, card):
    astray = build.a_unit(job.new.part_number)

    done = transcribed(job, replace(card, off_id=astray.pk, is_confirmed=True))

    assert not SwapEnd.objects.exists()
    assert "removal_not_conforming" in {each.code for each in done.obstacles}


def test_an_unknown_unit_on_the_card_is_kept_for_the_controller(job, card):
    done = transcribed(
        job, replace(card, on_id=None, on_found=FoundUnit("QX-1", "7"), is_confirmed=True)
    )

    assert done.obstacles
    assert done.swap.discrepancies.get().sort == "unknown_unit"


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"reference": " "}, "missing"),
        ({"off_id": None, "on_id": None}, "missing"),
        ({"off_to": None}, "missing"),
        ({"released": Ink("", "", INK.on)}, "missing"),
        ({"released": Ink("Una", "", build.day("2027-05-19"))}, "signed_before_work"),
        ({"released": Ink("Una", "", build.day("2027-08-01"))}, "in_the_future"),
        ({"page": FileFact("card.exe", b"MZ\x90")}, "file_not_accepted"),
    ],
)
def test_a_card_that_cannot_stand_is_refused_whole(job, card, changed, code):
    with pytest.raises(Refused) as refused:
        transcribed(job, replace(card, **changed))

    assert refused.value.code == code
    assert not Swap.objects.exists()
    assert not Signature.objects.exists()


# --- what is asked of a card ------------------------------------------------------------------


def codes(done):
    assert not SwapEnd.objects.exists()
    return {each.code for each in done.obstacles}


def test_a_card_names_the_step_list_that_was_in_force(job, card):
    done = transcribed(job, card)

    assert done.swap.step_list == StepList.objects.get()
    shown = swap_page(whole_swap(done.swap.pk))
    assert done.swap.step_list.code in shown.document
    assert shown.rows == []


def test_where_the_list_asks_for_an_inspection_the_card_needs_its_inspector(job, card):
    assert codes(transcribed(job, replace(card, inspected=None))) == {"inspection_missing"}


def test_the_inspector_is_somebody_on_record(job, card):
    ink = Ink("Nobody Known", "VAR 999", INK.on)

    assert codes(transcribed(job, replace(card, inspected=ink))) == {"signer_unknown"}


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"until": build.day("2027-05-19")}, "authorisation_expired"),
        ({"from_on": build.day("2027-05-21")}, "authorisation_not_yet"),
    ],
)
def test_the_inspector_was_authorised_on_that_day(job, card, changed, code):
    an_ink_signer("Ola Voe", "VAR 902", "inspect", **changed)

    done = transcribed(job, replace(card, inspected=Ink("Ola Voe", "VAR 902", INK.on)))

    assert codes(done) == {code}


def test_the_inspector_is_another_person(job, card):
    an_authorisation(job.una, "inspect", number="VAR 903")

    done = transcribed(job, replace(card, inspected=Ink("Una Skerry", "VAR 903", INK.on)))

    assert codes(done) == {"inspected_by_performer"}


def test_who_signed_the_release_might_release_that_day(job, card):
    mechanic = a_technician()

    done = transcribed(job, replace(card, released=Ink(mechanic.username, "", INK.on)))

    assert codes(done) == {"not_authorised"}


def test_by_name_alone_the_signer_is_known_too(job, card):
    assert transcribed(job, replace(card, released=Ink("una  skerry", "", INK.on))).obstacles == ()


def test_a_card_earns_the_works_of_its_list_on_the_day_of_the_work(job, card):
    Work.objects.create(code="WEIGHING", name="Weighing")

    done = transcribed(job, card)

    earned = WorkDone.objects.get()
    assert SwapEnd.objects.get(swap=done.swap).works == ["WEIGHING"]
    assert (earned.unit, earned.done_on, earned.who) == (
        job.new,
        build.day("2027-05-20"),
        "Una Skerry",
    )


def test_entered_late_it_says_how_late(job, card):
    done = transcribed(job, card)

    assert "12 days after the work" in swap_page(whole_swap(done.swap.pk)).state_words
    assert not Discrepancy.objects.exists()


def test_later_than_a_record_may_be_it_is_a_finding_that_grounds_nothing(job, card):
    long_ago = Ink("Una Skerry", "VAR 900", build.day("2027-04-20"))
    by = replace(long_ago, signer="Per Holm", stamp="VAR 901")
    when = build.on("2027-04-20 10:00")

    done = transcribed(job, replace(card, when=when, released=long_ago, inspected=by))

    finding = Discrepancy.objects.get()
    assert (finding.sort, done.obstacles) == ("late_entry", ())
    assert "42 days after the work" in finding.words
    assert groundings_of([job.aircraft.pk], build.day("2027-06-01")) == {}


def test_it_is_said_who_signed_in_ink_and_not_who_typed(job, card):
    done = transcribed(job, card)

    ended = swap_page(whole_swap(done.swap.pk)).ended

    assert ended.cite.startswith("Una Skerry, in ink, stamp VAR 900")
    assert f"entered by {job.technician.shown_name}" in ended.cite
