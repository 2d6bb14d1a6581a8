"""Pages of what is done beside a swap: junk gets a sentence, and what is sent well is kept."""

from __future__ import annotations

from copy import deepcopy

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.urls import reverse

from equipment.models import (
    Attachment,
    Calibration,
    Filling,
    OpenItem,
    Swap,
    SwapEnd,
    Unit,
)
from tests import builders as build
from tests.builders_swaps import a_job, an_ink_signer
from tests.sweeps import by_turns

pytestmark = pytest.mark.django_db
PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 40
JUNK = ["", "rubbish", "-5", "1e999", "9" * 60, "2,5", "\x00", "½"]


@pytest.fixture(autouse=True)
def midday():
    with time_machine.travel("2027-06-01 12:00:00+00:00", tick=False):
        yield


@pytest.fixture(scope="module")
def a_whole_job(one_stage):
    made = a_job()
    an_ink_signer("Una Skerry", "VAR 900", "release")
    an_ink_signer("Per Holm", "VAR 901", "inspect")
    return made


@pytest.fixture
def job(a_whole_job, db):
    return deepcopy(a_whole_job)


@pytest.fixture
def desk(job, client):
    client.force_login(job.certifier)
    return client


def page_of(desk, name, *args):
    return reverse(f"equipment:{name}", args=args)


OPENING = {
    "document": "QMEL 25-60-1 revision 9",
    "words": "door without slide",
    "found_on": "2027-06-01",
    "expires_on": "2027-06-10",
}


def card(job, **more):
    return {
        "reference": "QCARD 88",
        "reason": "overhaul due",
        "happened_at": "2027-05-20T10:00",
        "hours": "10 000:00",
        "cycles": "5000",
        "off_code": f"{job.old.part_number.number} {job.old.serial_number}",
        "to": "quarantine",
        "tag": "unserviceable",
        "why": "limit",
        "on_code": f"{job.new.part_number.number} {job.new.serial_number}",
        "signer": "Una Skerry",
        "stamp": "VAR 900",
        "inspector": "Per Holm",
        "inspector_stamp": "VAR 901",
        "signed_on": "2027-05-20",
        "page": SimpleUploadedFile("card.png", PNG, "image/png"),
        **more,
    }


def entered(desk, job, **more):
    address = f"{reverse('equipment:swap_paper')}?position={job.place.aircraft_position_id}"
    return desk.post(address, card(job, **more))


def test_a_card_is_entered_from_its_page(desk, job):
    answer = entered(desk, job)

    swap = Swap.objects.get()
    assert answer.status_code == 302
    assert SwapEnd.objects.get(swap=swap).signature.ink_signer == "Una Skerry"
    assert Attachment.objects.get().swap == swap


ON_A_CARD = ["reference", "hours", "cycles", "off_code", "signed_on", "signer", "to"]


@pytest.mark.sweep
@pytest.mark.parametrize("name", ON_A_CARD)
def test_junk_on_a_card_never_ends_in_a_fault(desk, job, name):
    for junk in by_turns(JUNK, ON_A_CARD.index(name), 4):
        with transaction.atomic():
            answer = entered(desk, job, **{name: junk})

            assert answer.status_code in (302, 422), junk
            if answer.status_code == 422:
                assert b"field-error" in answer.content or b'role="alert"' in answer.content, junk
                assert not SwapEnd.objects.exists(), junk
            transaction.set_rollback(True)


def test_a_program_is_no_page_of_a_card(desk, job):
    answer = entered(desk, job, page=SimpleUploadedFile("card.pdf", b"MZ\x90\0", "application/pdf"))

    assert answer.status_code == 422
    assert "neither a PDF nor a picture" in answer.content.decode()


def test_a_position_is_left_open_from_the_swap(desk, job):
    job.open()

    answer = desk.post(reverse("equipment:swap_leave_open", args=[job.swap.pk]), OPENING)

    assert answer.status_code == 302
    assert OpenItem.objects.get().swap == job.swap


def test_a_unit_is_robbed_from_the_swap(desk, job):
    donor = a_job(kind=job.old.part_number.kind, tools=job.tools)
    job.open()
    where = f"{donor.aircraft.registration} D1L-SLIDE"

    answer = desk.post(
        reverse("equipment:swap_rob", args=[job.swap.pk]),
        {**OPENING, "donor": where, "happened_on": "2027-05-31"},
    )

    assert answer.status_code == 302
    assert Unit.objects.get(pk=donor.old.pk).aircraft is None
    assert OpenItem.objects.get().aircraft == donor.aircraft


@pytest.mark.parametrize("donor", ["nowhere", "", "Q-0 D9", "\x00"])
def test_a_donor_that_is_not_there_is_said_so(desk, job, donor):
    job.open()

    answer = desk.post(
        reverse("equipment:swap_rob", args=[job.swap.pk]),
        {**OPENING, "donor": donor, "happened_on": "2027-05-31"},
    )

    assert answer.status_code == 422
    assert b"field-error" in answer.content


@pytest.mark.parametrize("name", ["pressure", "temperature", "done_on", "document"])
def test_junk_in_a_filling_gets_a_sentence(desk, job, name):
    desk.force_login(job.technician)
    address = reverse("equipment:unit_filling", args=[job.new.pk])

    for junk in JUNK:
        with transaction.atomic():
            sent = {"done_on": "2027-05-31", "pressure": "2900", "temperature": "70", name: junk}
            answer = desk.post(address, sent)

            assert answer.status_code in (302, 422), junk
            assert (answer.status_code == 302) == Filling.objects.exists(), junk
            transaction.set_rollback(True)


@pytest.mark.parametrize(
    ("pressure", "temperature", "psig", "fahrenheit"),
    [
        ("1800 psi", "70 °F", 1800, 70),
        ("124 bar", "21 °C", 1798.5, 69.8),
        ("1 800", "70", 1800, 70),
    ],
)
def test_what_was_read_at_a_filling_may_say_its_unit(
    desk, job, pressure, temperature, psig, fahrenheit
):
    desk.force_login(job.technician)
    sent = {"done_on": "2027-05-31", "pressure": pressure, "temperature": temperature}

    answer = desk.post(reverse("equipment:unit_filling", args=[job.new.pk]), sent)

    assert answer.status_code == 302, answer.content.decode()
    kept = Filling.objects.get()
    assert kept.psig == pytest.approx(psig, abs=0.1)
    assert kept.temperature_f == pytest.approx(fahrenheit, abs=0.1)


@pytest.mark.parametrize(
    ("pressure", "temperature", "psig", "fahrenheit"),
    [("1800 psi", "70 °F", 1800, 70), ("124 bar", "21 °C", 1798.5, 69.8)],
)
def test_what_was_read_at_a_discharge_may_say_its_unit(
    desk, job, pressure, temperature, psig, fahrenheit
):
    sent = {"done_on": "2027-05-31", "what": "inflation", "words": "opened while armed"}
    sent |= {"pressure": pressure, "temperature": temperature}

    answer = desk.post(reverse("equipment:unit_discharge", args=[job.new.pk]), sent)

    assert answer.status_code == 302, answer.content.decode()
    kept = Filling.objects.get()
    assert kept.psig == pytest.approx(psig, abs=0.1)
    assert kept.temperature_f == pytest.approx(fahrenheit, abs=0.1)


def test_a_unit_that_measures_something_else_gets_a_sentence_at_a_filling(desk, job):
    desk.force_login(job.technician)
    sent = {"done_on": "2027-05-31", "pressure": "1800 kg", "temperature": "70 psi"}

    answer = desk.post(reverse("equipment:unit_filling", args=[job.new.pk]), sent)

    said = answer.content.decode()
    assert answer.status_code == 422
    assert "“kg” is not a unit for this value: use psi, bar" in said
    assert "“psi” is not a unit for this value: use °F, °C" in said


def test_a_deployment_is_recorded_from_the_units_page(desk, job):
    sent = {"done_on": "2027-05-31", "what": "inflation", "words": "opened while armed"}

    answer = desk.post(reverse("equipment:unit_discharge", args=[job.new.pk]), sent)

    assert answer.status_code == 302
    assert job.new.tags.get().why == "deployed"


def test_a_tool_is_reported_from_its_page(client, job):
    client.force_login(build.a_person("controller"))
    tool = job.tools["torque"]
    sent = {"sort": "dropped", "found_on": "2027-05-31", "words": "fell from the stand"}

    answer = client.post(reverse("equipment:tool_report", args=[tool.code]), sent)

    assert answer.status_code == 302
    assert Calibration.objects.filter(tool=tool, sort="dropped").exists()


def test_a_photo_sent_with_its_step_is_kept(desk, job):
    job.open()
    desk.force_login(job.technician)

    answer = desk.post(
        reverse("equipment:swap_step", args=[job.swap.pk, 12]),
        {"file": SimpleUploadedFile("door.png", PNG, "image/png")},
    )

    assert answer.status_code == 302
    assert Attachment.objects.get().step.number == 12
    assert job.swap.entries.get().typed["photo"] == "door.png"


@pytest.mark.parametrize(
    "name",
    ["swap_paper", "swap_leave_open", "swap_rob", "unit_filling", "unit_discharge", "tool_report"],
)
@pytest.mark.parametrize("role", ["technician", "auditor", "stores", "certifying"])
def test_every_page_opens_for_whoever_reads(client, job, name, role):
    job.open()
    client.force_login(build.a_person(role))
    of = {"swap_paper": [], "tool_report": [job.tools["torque"].code]}
    args = of.get(name, [job.new.pk] if name.startswith("unit") else [job.swap.pk])
    query = f"?position={job.place.aircraft_position_id}" if name == "swap_paper" else ""

    assert client.get(reverse(f"equipment:{name}", args=args) + query).status_code == 200
