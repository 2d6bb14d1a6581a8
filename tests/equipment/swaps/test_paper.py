"""A swap done on a card at an outstation, entered afterwards."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest

from equipment.common.attached import FileFact
from equipment.models import Attachment, Signature, Swap, SwapEnd, Unit
from equipment.swaps.acts import FoundUnit, TagFact
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from fleet.house.refusals import Refused
from tests import builders as build
from tests.builders_swaps import a_job

pytestmark = pytest.mark.django_db
PAGE = FileFact("card 88.png", b"\x89PNG\r\n\x1a\n" + b"\0" * 20)
INK = Ink("Una Skerry", "VAR 900", build.day("2027-05-20"))


@pytest.fixture
def job(db):
    return a_job()


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

    done = transcribed(job, replace(card, off_id=astray.pk))

    assert not SwapEnd.objects.exists()
    assert "removal_not_conforming" in {each.code for each in done.obstacles}


def test_an_unknown_unit_on_the_card_is_kept_for_the_controller(job, card):
    done = transcribed(job, replace(card, on_id=None, on_found=FoundUnit("QX-1", "7")))

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
