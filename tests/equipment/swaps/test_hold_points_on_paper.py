"""Hold points of a card: judged by the times it has, by its inspector on each day, else said as not shown."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from equipment.common.attached import FileFact
from equipment.judging.release.on_card import StepOnCard
from equipment.models import Discrepancy, SwapEnd
from equipment.swaps.acts import TagFact
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from equipment.swaps.pages.shown import swap_page, whole_swap
from fleet.house.refusals import Refused
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.builders_swaps import PASSWORD, SHORT, a_job, an_ink_signer
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
PAGE = FileFact("card 88.png", b"\x89PNG\r\n\x1a\n" + b"\0" * 20)
#: As the shortest swap, with pins that cover the torque.
COVERING = tuple((*row[:5], {**row[5], "covers": [7]}) if row[0] == 13 else row for row in SHORT)
DAY = build.day("2027-05-20")


def at(text):
    return build.instant(text)


@pytest.fixture
def job(db):
    made = a_job(COVERING)
    an_ink_signer("Una Skerry", "VAR 900", "release")
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
        released=Ink("Una Skerry", "VAR 900", DAY),
        page=PAGE,
        off_id=job.old.pk,
        off_to=build.in_quarantine(job.station),
        tag=TagFact("unserviceable", "limit", "overhaul due"),
        on_id=job.new.pk,
        inspected=Ink("Per Holm", "VAR 901", DAY),
    )


def times(inspected, covered, done=None):
    return (
        StepOnCard(7, at(done) if done else None, at(inspected) if inspected else None),
        StepOnCard(13, at(covered) if covered else None),
    )


KEPT = times("2027-05-20 09:10", "2027-05-20 09:30")
TOO_LATE = times("2027-05-20 09:30", "2027-05-20 09:10")


def transcribed(job, card, **more):
    return transcribe_swap(
        by=job.technician, card=card, **{"act_id": uuid4(), "at": build.NOW, **more}
    )


def told(done):
    return [(each.code, each.step_number) for each in done.obstacles]


def test_a_card_that_shows_its_hold_point_kept_is_released_with_no_finding(job, card):
    done = transcribed(job, replace(card, steps=KEPT))

    assert (done.obstacles, done.not_shown) == ((), ())
    assert SwapEnd.objects.get(swap=done.swap).sort == "released"
    assert not Discrepancy.objects.exists()


def test_a_card_that_shows_it_covered_before_it_was_inspected_stays_open(job, card):
    done = transcribed(job, replace(card, steps=TOO_LATE))

    assert told(done) == [("covered_before_inspection", 13)]
    assert "step 7, “Mount bolts”, which was inspected only at 20 May 2027 09:30" in (
        done.obstacles[0].sentence
    )
    assert [e.code for e in swap_page(whole_swap(done.swap.pk)).obstacles] == [
        "covered_before_inspection"
    ]


def test_an_inspection_before_the_work_was_done_is_none(job, card):
    early = times("2027-05-20 09:00", "2027-05-20 09:30", done="2027-05-20 09:20")

    assert told(transcribed(job, replace(card, steps=early))) == [("inspected_before_sign_off", 7)]


@pytest.mark.parametrize(
    "steps",
    [
        (),
        times("2027-05-20 09:10", None),
        times(None, "2027-05-20 09:30"),
        times("2027-05-20 09:10", "2027-05-20 09:10"),
    ],
    ids=["no times", "not when it was covered", "not when it was inspected", "the same minute"],
)
def test_what_a_card_does_not_show_is_said_and_is_a_finding_and_is_not_guessed(job, card, steps):
    done = transcribed(job, replace(card, steps=steps))

    assert done.obstacles == ()
    [words] = done.not_shown
    assert words == (
        "The card does not show that step 7, “Mount bolts”, was inspected before step 13 covered it."
    )
    finding = Discrepancy.objects.get()
    assert (finding.sort, finding.words, finding.swap) == ("not_shown", words, done.swap)


def test_entered_long_after_it_is_judged_by_the_card_and_not_by_the_day_of_entry(job, card):
    late = build.NOW.replace(month=6, day=15)

    kept = transcribed(job, replace(card, steps=KEPT), at=late)

    assert kept.obstacles == ()


def test_the_inspector_was_authorised_on_the_day_that_the_card_has_at_the_step(job, card):
    an_ink_signer("Ola Voe", "VAR 902", "inspect", until=DAY)
    next_day = times("2027-05-21 09:10", "2027-05-21 09:30")
    ink = Ink("Ola Voe", "VAR 902", DAY)
    released = Ink("Una Skerry", "VAR 900", build.day("2027-05-21"))

    done = transcribed(job, replace(card, inspected=ink, released=released, steps=next_day))

    assert [code for code, _ in told(done)] == ["authorisation_expired"]


def test_who_did_the_work_by_the_card_does_not_inspect_it(job, card):
    done = transcribed(job, replace(card, performed="per holm", steps=KEPT))

    assert told(done) == [("inspected_by_performer", None)]


@pytest.mark.parametrize(
    ("steps", "code"),
    [
        ((StepOnCard(99, at("2027-05-20 09:00")),), "unknown_step"),
        ((StepOnCard(13, at("2027-06-02 09:00")),), "in_the_future"),
        ((StepOnCard(13, at("2027-05-10 09:00")),), "signed_before_work"),
    ],
)
def test_times_that_cannot_be_are_refused_at_their_field_and_nothing_is_kept(
    job, card, steps, code
):
    with pytest.raises(Refused) as refused:
        transcribed(job, replace(card, steps=steps))

    assert (refused.value.code, refused.value.field) == (code, "steps")
    assert not SwapEnd.objects.exists()


# --- page and API -----------------------------------------------------------------------------


@pytest.fixture(autouse=True)
def midday(time_machine):
    time_machine.move_to(build.NOW, tick=False)


@pytest.fixture
def desk(job):
    job.technician.set_password(PASSWORD)
    job.technician.save(update_fields=["password"])
    return signed_in(job.technician)


def sent_by_page(job, **more):
    return {
        "act_id": str(uuid4()),
        "reference": "CARD 88",
        "reason": "Overhaul due",
        "off_code": f"{job.old.part_number.number} {job.old.serial_number}",
        "on_code": f"{job.new.part_number.number} {job.new.serial_number}",
        "happened_at": "2027-05-20T10:00",
        "to": "quarantine",
        "tag": "unserviceable",
        "why": "limit",
        "signer": "Una Skerry",
        "stamp": "VAR 900",
        "signed_on": "2027-05-21",
        "inspector": "Per Holm",
        "inspector_stamp": "VAR 901",
        "inspected_on": "2027-05-20",
        "page": SimpleUploadedFile("card.png", PAGE.content, "image/png"),
        **more,
    }


def test_the_page_asks_for_the_times_of_its_hold_points_and_judges_by_them(job, desk):
    address = reverse("equipment:swap_paper") + f"?unit={job.old.pk}"

    page = desk.get(address).content.decode()
    late = {"inspected_7": "2027-05-20T09:30", "done_13": "2027-05-20T09:10"}
    answer = desk.post(address, sent_by_page(job, **late), follow=True)

    assert "Step 7, “Mount bolts”, inspected" in page
    assert "which covers step 7, done" in page
    assert not SwapEnd.objects.exists()
    release = reverse("equipment:swap_release", args=[answer.context["swap"].id])
    assert "which was inspected only at 20 May 2027 09:30" in desk.get(release).content.decode()


def test_the_page_of_the_swap_says_what_its_card_does_not_show(job, desk):
    address = reverse("equipment:swap_paper") + f"?unit={job.old.pk}"

    page = desk.post(address, sent_by_page(job), follow=True).content.decode()

    assert SwapEnd.objects.get().sort == "released"
    assert "Of its record:" in page
    assert "The card does not show that step 7" in page


def test_a_program_is_told_what_the_card_does_not_show(job, card, program):  # noqa: F811
    body = {
        "act_id": str(uuid4()),
        "place": {
            "sort": "aircraft",
            "aircraft": job.aircraft.registration,
            "position": "D1L-SLIDE",
        },
        "station": job.station.code,
        "reference": "QCARD 88",
        "reason": "overhaul due",
        "happened_at": "2027-05-20T10:00:00Z",
        "released": {"signer": "Una Skerry", "stamp": "VAR 900", "on": "2027-05-20"},
        "inspected": {"signer": "Per Holm", "stamp": "VAR 901", "on": "2027-05-20"},
        "page": {"name": "card.png", "content": "iVBORw0KGgo="},
        "off": job.old.pk,
        "off_to": {"sort": "quarantine", "station": job.station.code},
        "tag": {"sort": "unserviceable", "why": "limit"},
        "on": job.new.pk,
        "is_confirmed": True,
    }
    late = [
        {"number": 7, "inspected_at": "2027-05-20T09:30:00Z"},
        {"number": 13, "done_at": "2027-05-20T09:10:00Z"},
    ]

    wrong = program("technician").post(
        "/api/v1/swaps/transcribed", {**body, "steps": [{"number": 99}]}, format="json"
    )
    done = program("technician").post(
        "/api/v1/swaps/transcribed", {**body, "steps": late}, format="json"
    )

    assert (wrong.status_code, wrong.json()["errors"][0]["field"]) == (422, "steps")
    assert (done.status_code, done.json()["is_released"], done.json()["not_shown"]) == (
        201,
        False,
        [],
    )
    assert [each["code"] for each in done.json()["obstacles"]] == ["covered_before_inspection"]
