"""The pages of a swap: every one for every role, a step kept and judged, junk said in a sentence."""

from __future__ import annotations

from uuid import uuid4

import pytest
import time_machine
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from equipment.models import (
    Discrepancy,
    InspectorCall,
    Signature,
    StepEntry,
    Swap,
    SwapMovement,
    Tool,
)
from equipment.swaps.acts import NewSwap, open_swap
from tests.builders import a_station, a_unit, at_position, in_quarantine, in_store, moved
from tests.equipment.line_world import (
    NUMERIC,
    PASSWORD,
    POSITION,
    STEPS,
    signed_in,
)
from tests.sweeps import by_turns

pytestmark = pytest.mark.django_db

JUNK = (
    "",
    " ",
    "abc",
    "-5",
    "1e999",
    "1,234",
    "2,5",
    "2.5",
    "2.5 Nm",
    "62 in-lb",
    "3 ohm",
    "12 34",
    "1/2",
    "²",
    "٣",
    "nan",
    "inf",
    "0x10",
    "9" * 80,
    "2.",
    ",",
    "5 psia",
    "70 F",
    "--",
    "<script>",
    "1e5",
    "5\x00",
)


@pytest.fixture
def swap(line, people):
    new = NewSwap(
        place=at_position(line.aircraft, POSITION),
        station_id=line.station.pk,
        reason="Overhaul is due",
        planned_on_id=line.new.pk,
    )
    return open_swap(by=people["technician"], new=new, act_id=uuid4(), at=timezone.now())


@pytest.fixture
def desk(people):
    return signed_in(people["technician"])


def step_url(swap, number):
    return reverse("equipment:swap_step", args=[swap.pk, number])


def entered(desk, swap, number, **typed):
    return desk.post(step_url(swap, number), {"act_id": uuid4(), **typed})


def text(answer):
    return answer.content.decode()


# --- every page for every role ----------------------------------------------------------------

OF_A_SWAP = (
    "swap",
    "swap_sign",
    "swap_off",
    "swap_on",
    "swap_release",
    "swap_hand_over",
    "swap_abandon",
    "swap_correct",
)
OF_THE_LINE = (
    "swap_list",
    "swap_inspections",
    "swap_start",
    "discrepancies",
    "open_items",
    "tools",
)
ROLES = (
    "technician",
    "inspector",
    "certifying",
    "controller",
    "stores",
    "auditor",
    "administrator",
)


@pytest.mark.parametrize("role", ROLES)
def test_every_page_opens_for_every_role(swap, people, role):
    client = signed_in(people[role])
    addresses = [reverse(f"equipment:{name}", args=[swap.pk]) for name in OF_A_SWAP]
    addresses += [step_url(swap, number) for number in range(1, len(STEPS) + 1)]
    addresses += [reverse(f"equipment:{name}") for name in OF_THE_LINE]

    for address in addresses:
        answer = client.get(address)
        assert answer.status_code == 200, (address, text(answer)[:400])
        assert "Invented demonstration data" in text(answer)


def test_nobody_reads_a_swap_without_signing_in(client, swap):
    assert client.get(reverse("equipment:swap", args=[swap.pk])).status_code == 302


@pytest.mark.parametrize("name", [*OF_A_SWAP, "swap_presence"])
def test_a_swap_that_is_not_there_is_a_page_that_says_so(desk, name):
    address = reverse(f"equipment:{name}", args=[2**31])
    answer = desk.post(address) if name == "swap_presence" else desk.get(address)

    assert answer.status_code == 404


# --- a step -----------------------------------------------------------------------------------


def test_a_plain_yes_goes_on_to_the_next_step(desk, swap):
    answer = entered(desk, swap, 1, done="yes")

    assert answer.status_code == 302
    assert answer["Location"] == step_url(swap, 2)
    assert StepEntry.objects.get(swap=swap).verdict == "in"


def test_the_caution_stands_in_its_step_and_nowhere_else(desk, swap):
    assert "A flap that moves crushes." in text(desk.get(step_url(swap, 1)))
    assert "A flap that moves crushes." not in text(desk.get(step_url(swap, 2)))
    assert "A flap that moves crushes." not in text(
        desk.get(reverse("equipment:swap", args=[swap.pk]))
    )


def test_a_value_off_tolerance_is_kept_and_says_by_how_much(desk, swap):
    answer = entered(desk, swap, 6, value="204", unit="in-lb", drag="12", tool="VT-1")

    page = text(desk.get(answer["Location"]))
    assert "Off tolerance: 28 in-lb too low" in page
    assert StepEntry.objects.get(swap=swap).verdict == "out"
    assert "Kept " in page


def test_what_cannot_be_judged_is_not_called_off_tolerance(desk, swap):
    entered(desk, swap, 6, value="62", unit="in-lb", drag="12", tool="")

    page = text(desk.get(reverse("equipment:swap", args=[swap.pk])))

    assert StepEntry.objects.get(swap=swap).verdict == "cannot_judge"
    assert "1 not judged" in page
    assert "off tolerance" not in page


def test_a_script_that_keeps_nothing_is_told_why(desk, swap):
    sent = {"act_id": uuid4(), "value": "", "drag": ""}

    answer = desk.post(step_url(swap, 6), sent, headers={"X-Keep": "1"})

    assert answer.status_code == 422
    assert "Not kept yet" in text(answer)
    assert "Enter the value." in text(answer)


def test_an_open_swap_with_steps_unsigned_has_one_green_act(desk, swap):
    page = text(desk.get(reverse("equipment:swap", args=[swap.pk])))

    assert "Begin: step 1" in page
    assert 'class="is-next"' not in page


def test_a_value_is_judged_as_typed_and_nothing_is_kept(desk, swap):
    address = reverse("equipment:swap_judge", args=[swap.pk, 6])

    right = desk.post(address, {"value": "250", "drag": "12", "tool": "VT-1"})
    setting = desk.post(address, {"value": "", "drag": "12", "extension": "50", "tool": "VT-1"})

    assert "In tolerance" in text(right)
    assert "set the wrench to 192.8 to 225.5 in-lb" in text(setting)
    assert not StepEntry.objects.exists()


def test_a_value_in_another_unit_is_asked_about_before_it_is_kept(desk, swap):
    asked = entered(desk, swap, 7, value="2", unit="Ω", tool="VT-2")

    assert asked.status_code == 422
    assert "It is 2 mΩ" in text(asked)
    assert not StepEntry.objects.exists()
    assert (
        entered(desk, swap, 7, value="2", unit="Ω", instead="2 mΩ", tool="VT-2").status_code == 302
    )
    assert StepEntry.objects.get().values["value"]["value"] == "2"


def test_a_value_that_is_really_so_is_kept_on_the_answer(desk, swap):
    entered(desk, swap, 7, value="2", unit="Ω", confirmed="2 Ω", tool="VT-2")

    entry = StepEntry.objects.get()
    assert (entry.verdict, entry.is_confirmed) == ("out", True)


def test_a_returned_count_stands_beside_what_was_fitted(desk, swap):
    entered(desk, swap, 2, count="2")

    page = text(desk.get(step_url(swap, 11)))
    assert "<b>2</b>" in page
    assert "were counted before" in page
    answer = entered(desk, swap, 11, count="1")
    assert "1 missing" in text(desk.get(answer["Location"]))


def test_a_double_tap_is_one_entry(desk, swap):
    sent = {"act_id": uuid4(), "done": "yes"}

    first, second = (desk.post(step_url(swap, 1), sent) for _ in range(2))

    assert first["Location"] == second["Location"]
    assert StepEntry.objects.count() == 1


@pytest.mark.parametrize("header", [{}, {"HTTP_X_KEEP": "1"}])
def test_the_second_tap_of_a_double_tap_does_not_do_the_next_step_unread(desk, swap, header):
    entered(desk, swap, 1, done="yes")
    shown_at = desk.get(step_url(swap, 3)).context["shown_at"]
    tap = {"act_id": uuid4(), "done": "yes", "shown_at": shown_at}

    with time_machine.travel(shown_at / 1000 + 0.3, tick=False):
        answer = desk.post(step_url(swap, 3), tap, **header)
    undone = not StepEntry.objects.filter(step__number=3).exists()
    with time_machine.travel(shown_at / 1000 + 2, tick=False):
        desk.post(step_url(swap, 3), tap, **header)

    assert answer.status_code == 422
    assert "Read it, then press again." in text(answer)
    assert undone
    assert StepEntry.objects.filter(step__number=3).exists()


def test_a_note_is_believed_however_soon_it_is_sent_for_somebody_typed_it(desk, swap):
    shown_at = desk.get(step_url(swap, 12)).context["shown_at"]
    sent = {"act_id": uuid4(), "text": "Pasted at once.", "shown_at": shown_at}

    with time_machine.travel(shown_at / 1000 + 0.1, tick=False):
        desk.post(step_url(swap, 12), sent)

    assert StepEntry.objects.get(step__number=12).typed["text"] == "Pasted at once."


def test_a_script_gets_the_part_below_the_form_and_where_to_go_on(desk, swap):
    sent = {"act_id": uuid4(), "done": "yes", "sender_at": "2026-11-25T14:05:00.000Z"}

    answer = desk.post(step_url(swap, 1), sent, headers={"X-Keep": "1"})

    assert answer.status_code == 200
    assert "<header" not in text(answer)
    assert 'id="step-after"' in text(answer)
    assert answer["X-Next"] == step_url(swap, 2)
    assert StepEntry.objects.get().sender_at is not None


def test_who_opened_the_form_before_is_told_what_another_entered_meanwhile(desk, people, swap):
    other = signed_in(people["inspector"])
    entered(other, swap, 2, count="2", seen="")

    told = entered(desk, swap, 2, count="3", seen="")

    assert told.status_code == 409
    assert "Inspector entered “2” here" in text(told)
    assert 'value="3"' in text(told)
    assert StepEntry.objects.count() == 1
    latest = StepEntry.objects.get().pk
    assert entered(desk, swap, 2, count="3", seen="", over=latest).status_code == 302
    assert StepEntry.objects.count() == 2


@pytest.mark.sweep
@pytest.mark.parametrize(("number", "field"), NUMERIC)
def test_whatever_is_typed_as_a_number_is_kept_or_answered_with_a_sentence(
    desk, swap, number, field
):
    others = {"value": "1", "tool": "VT-1", "extension": "1"} if field != "value" else {}
    address = reverse("equipment:swap_judge", args=[swap.pk, number])

    for junk in by_turns(JUNK, list(NUMERIC).index((number, field)), 4):
        with transaction.atomic():
            judged = desk.post(address, {**others, field: junk})
            answer = entered(desk, swap, number, **{**others, field: junk})

            assert judged.status_code == 200, junk
            assert answer.status_code in {302, 422}, junk
            if answer.status_code == 422:
                said = text(answer)
                assert "field-error" in said or "verdict-word" in said, junk
                assert not StepEntry.objects.exists(), junk
            transaction.set_rollback(True)


# --- signing ----------------------------------------------------------------------------------


def signed(client, swap, *numbers, username="technician", password=PASSWORD, what="step", **more):
    sent = {"what": what, "step": numbers, "username": username, "password": password, **more}
    sent.setdefault("act_id", uuid4())
    return client.post(reverse("equipment:swap_sign", args=[swap.pk]), sent)


def test_several_steps_are_signed_at_one_entering_of_the_password(desk, swap):
    entered(desk, swap, 1, done="yes")
    entered(desk, swap, 2, count="2")

    assert "I have done this step" in text(desk.get(reverse("equipment:swap_sign", args=[swap.pk])))
    assert signed(desk, swap, 1, 2).status_code == 302
    assert Signature.objects.filter(sort="step").count() == 2


def test_a_wrong_password_signs_nothing_and_says_so_at_its_field(desk, swap):
    entered(desk, swap, 1, done="yes")

    answer = signed(desk, swap, 1, password="wrong")

    assert answer.status_code == 422
    assert "id_password_error" in text(answer)
    assert not Signature.objects.exists()


def test_signing_twice_with_one_tap_is_one_signature(desk, swap):
    entered(desk, swap, 1, done="yes")
    act = uuid4()

    assert [signed(desk, swap, 1, act_id=act).status_code for _ in range(2)] == [302, 302]
    assert Signature.objects.count() == 1


def test_all_of_the_ticked_steps_are_signed_or_none(desk, swap):
    entered(desk, swap, 1, done="yes")

    assert signed(desk, swap, 1, 2).status_code == 422
    assert not Signature.objects.exists()


def test_the_second_person_signs_on_the_same_device(desk, swap):
    entered(desk, swap, 2, count="1")
    entered(desk, swap, 11, count="1")
    signed(desk, swap, 11)

    own = signed(desk, swap, 11, what="inspection")
    other = signed(desk, swap, 11, what="inspection", username="inspector")

    assert own.status_code == 422
    assert other.status_code == 302
    assert Signature.objects.get(sort="inspection").name == "Inspector"
    assert (
        desk.get(reverse("equipment:swap", args=[swap.pk])).context["user"].username == "technician"
    )


def test_a_signed_step_is_read_until_somebody_says_again(desk, swap):
    entered(desk, swap, 1, done="yes")
    signed(desk, swap, 1)

    assert 'id="step-form"' not in text(desk.get(step_url(swap, 1)))
    assert 'id="step-form"' in text(desk.get(step_url(swap, 1) + "?again=1"))
    entered(desk, swap, 1, done="yes")
    assert "it no longer counts" in text(desk.get(step_url(swap, 1)))


def test_the_inspector_sees_who_waits_and_says_that_they_come(desk, people, swap):
    entered(desk, swap, 2, count="1")
    entered(desk, swap, 11, count="1")
    signed(desk, swap, 11)
    desk.post(reverse("equipment:swap_call", args=[swap.pk, 11]), {"act_id": uuid4()})
    inspector = signed_in(people["inspector"])

    page = text(inspector.get(reverse("equipment:swap_inspections")))
    call = inspector.get(reverse("equipment:swap_inspections")).context["calls"][0]
    inspector.post(reverse("equipment:swap_coming", args=[call.id]))

    assert "called by Technician" in page
    assert "less than a minute" in page
    assert "Inspector</strong> is coming" in text(desk.get(step_url(swap, 11)))


@pytest.mark.parametrize(
    "page", ["scheduling:due_list", "equipment:swap_list", "equipment:swap_mine"]
)
def test_a_call_and_its_answer_stand_on_the_screen_of_the_other_and_on_the_start_page(
    desk, people, swap, page
):
    entered(desk, swap, 2, count="1")
    entered(desk, swap, 11, count="1")
    signed(desk, swap, 11)
    inspector = signed_in(people["inspector"])

    desk.post(reverse("equipment:swap_call", args=[swap.pk, 11]), {"act_id": uuid4()})
    called = text(inspector.get(reverse(page)))
    elsewhere = text(inspector.post(reverse("equipment:swap_presence", args=[swap.pk])))
    inspector.post(reverse("equipment:swap_coming", args=[InspectorCall.objects.get().pk]))
    answered = text(desk.get(reverse(page)))
    at_once = text(desk.post(reverse("equipment:swap_presence", args=[swap.pk])))

    assert "Inspector called:" in called and "by Technician, less than a minute ago" in called
    assert "calls the inspector to" in elsewhere
    assert "Inspector is coming" in answered and "Your call:" in answered
    assert "Inspector is coming" in at_once
    assert 'hx-trigger="every 5s"' in called


def test_the_note_of_a_handover_is_on_the_next_shifts_screen_and_no_longer_on_the_giver_s(
    desk, people, swap
):
    sent = {"act_id": uuid4(), "words": "Pin in valve, hose uncapped."}
    sent |= {"giver": "technician", "taker": "certifying"}
    sent |= {"giver_password": PASSWORD, "taker_password": PASSWORD}
    desk.post(reverse("equipment:swap_hand_over", args=[swap.pk]), sent)
    night = signed_in(people["certifying"])

    for page in (reverse("scheduling:due_list"), reverse("equipment:swap_list")):
        assert "Technician handed it over: Pin in valve, hose uncapped." in text(night.get(page))
        assert "Pin in valve" not in text(desk.get(page))
    assert "Pin in valve" in text(night.get(reverse("equipment:swap", args=[swap.pk])))


def test_a_desk_is_told_nothing_of_the_line_and_asks_nothing(people):
    assert 'id="mine"' not in text(
        signed_in(people["controller"]).get(reverse("scheduling:due_list"))
    )


def test_two_people_on_one_swap_see_each_other(desk, people, swap):
    signed_in(people["inspector"]).get(step_url(swap, 4))

    page = text(desk.get(step_url(swap, 1)))

    assert "<b>Inspector</b> at step 4" in page
    assert "Technician</b>" not in page


# --- units off and on -------------------------------------------------------------------------


def off(client, swap, **more):
    sent = {
        "act_id": uuid4(),
        "unit": swap.expected_off_id,
        "to": "quarantine",
        "tag": "unserviceable",
        "why": "limit",
        "happened_at": f"{timezone.now():%Y-%m-%dT%H:%M}",
        **more,
    }
    return client.post(reverse("equipment:swap_off", args=[swap.pk]), sent)


def on(client, swap, **more):
    sent = {"act_id": uuid4(), "happened_at": f"{timezone.now():%Y-%m-%dT%H:%M}", **more}
    return client.post(reverse("equipment:swap_on", args=[swap.pk]), sent)


def test_the_unit_on_record_comes_off_with_one_press(desk, swap, line):
    answer = off(desk, swap)

    assert answer.status_code == 302, text(answer)
    line.old.refresh_from_db()
    assert line.old.place.sort == "quarantine"
    page = text(desk.get(answer.url))
    assert "Recorded: HLY-OW-210 S/N 00417, removed to quarantine" in page
    assert "00417" in text(desk.get(reverse("equipment:swap", args=[swap.pk])))


def test_another_unit_known_to_the_records_is_kept_as_found(desk, swap, line):
    other = a_unit(line.old.part_number, serial_number="00777")

    answer = off(desk, swap, code="S/N 00777", unit="", is_confirmed="on")

    assert answer.status_code == 302, text(answer)
    assert Discrepancy.objects.filter(swap=swap, found_unit=other).exists()
    page = text(desk.get(answer.url))
    assert "It does not conform, and the controller is told. Nothing is recorded of" in page
    page = text(desk.get(reverse("equipment:discrepancies")))
    assert "00417" in page
    assert "00777" in page


def test_a_plate_nobody_knows_is_kept_and_keeps_the_aircraft_from_release(desk, swap, line):
    off(desk, swap, part_number="XX-1", serial_number="77", unit="", is_confirmed="on")

    page = text(desk.get(reverse("fleet:aircraft", args=[line.aircraft.registration])))

    assert "Not releasable" in page
    assert "unknown" in Discrepancy.objects.get().sort


@pytest.mark.parametrize(
    ("name", "junk"),
    [
        ("hours", "1e999"),
        ("hours", "abc"),
        ("hours", "-3"),
        ("hours", "12,345"),
        ("cycles", "2.5"),
        ("cycles", "1e999"),
        ("cycles", "9" * 30),
        ("happened_at", "yesterday"),
        ("happened_at", ""),
        ("happened_at", "0001-01-01T00:00"),
        ("happened_at", "9999-12-31T23:59"),
        ("code", "nowhere"),
        ("code", "a\x00b"),
        ("unit", "x"),
        ("unit", "9" * 30),
        ("to", "moon"),
        ("tag", "lovely"),
        ("part_number", "only this"),
        ("act_id", "x"),
    ],
)
def test_whatever_is_typed_of_a_removal_is_answered_with_a_sentence(desk, swap, name, junk):
    answer = off(desk, swap, **{"code": "", name: junk})

    assert answer.status_code == 422
    assert "field-error" in text(answer) or 'role="alert"' in text(answer)
    assert not SwapMovement.objects.exists()


def test_the_unit_that_went_on_is_chosen_beforehand(desk, swap, line):
    off(desk, swap)
    page = text(desk.get(reverse("equipment:swap_on", args=[swap.pk])))

    assert f'value="{line.new.pk}" checked' in page
    assert on(desk, swap, unit=line.new.pk).status_code == 302
    line.new.refresh_from_db()
    assert line.new.aircraft_id == line.aircraft.pk


# --- where a swap begins ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "asked",
    [
        "unit={unit}",
        "code=00417",
        "code=HLY-OW-210 00417",
        "code={aircraft} OW-L-SLIDE",
        "code={aircraft}",
    ],
)
def test_a_swap_begins_from_a_unit_a_position_or_a_code(desk, line, asked):
    query = asked.format(unit=line.old.pk, aircraft=line.aircraft.registration)

    page = text(desk.get(f"{reverse('equipment:swap_start')}?{query}"))

    assert "Overwing slide: off and on" in page
    assert "HLY-OW-210 S/N 00417" in page
    assert "HLY-OW-210 S/N 00533" in page


@pytest.mark.parametrize(
    "query",
    [
        "code=nothing",
        "code=a%00b",
        "unit=99999999999",
        "unit=x",
        "place=0",
        "place=77777",
        "position=-1",
    ],
)
def test_a_code_that_means_nothing_says_what_would_do(desk, line, query):
    answer = desk.get(f"{reverse('equipment:swap_start')}?{query}")

    assert answer.status_code == 200
    assert "Begin" not in text(answer)


def test_a_second_swap_at_a_position_leads_to_the_first(desk, swap, line):
    page = text(desk.get(f"{reverse('equipment:swap_start')}?unit={line.old.pk}"))

    assert reverse("equipment:swap", args=[swap.pk]) in page
    assert "Go on with it" in page


def test_a_swap_begins_with_a_reason_and_is_one_however_often_it_is_sent(desk, line):
    sent = {
        "act_id": uuid4(),
        "unit": line.old.pk,
        "reason": "Overhaul",
        "station": line.station.pk,
        "planned_on": line.new.pk,
    }
    address = reverse("equipment:swap_start")

    assert desk.post(address, {**sent, "reason": ""}).status_code == 422
    assert [desk.post(address, sent).status_code for _ in range(2)] == [302, 302]
    assert Swap.objects.get().planned_on == line.new


def test_what_is_in_the_store_here_is_offered_before_what_is_far_or_held(desk, line):
    far = a_station("FAR")
    for number in range(13):
        held = a_unit(line.old.part_number, serial_number=f"000{number:02}")
        moved(held, "received", in_quarantine(far), "2026-02-05")
    distant = a_unit(line.old.part_number, serial_number="00201")
    moved(distant, "received", in_store(far), "2026-02-05")

    page = text(desk.get(f"{reverse('equipment:swap_start')}?unit={line.old.pk}"))

    assert page.index("store QTLH") < page.index("store FAR") < page.index("quarantine FAR")


# --- the release ------------------------------------------------------------------------------


def test_what_stands_in_the_way_is_said_once_a_step_and_leads_there(desk, swap):
    entered(desk, swap, 6, value="204", unit="in-lb", drag="12", tool="VT-1")

    page = text(desk.get(reverse("equipment:swap_release", args=[swap.pk])))

    assert page.count(f'href="{step_url(swap, 6)}"') == 1
    assert "is off tolerance" in page
    assert "It is not signed off. It is not inspected by a second person." in page
    assert "The removal is not recorded." in page
    assert "I certify" not in page


def test_a_release_asked_for_too_early_signs_nothing_and_says_why(people, swap):
    certifying = signed_in(people["certifying"])

    answer = certifying.post(
        reverse("equipment:swap_release", args=[swap.pk]),
        {"act_id": uuid4(), "username": "certifying", "password": PASSWORD},
    )

    assert answer.status_code == 422
    assert "in the way" in text(answer)
    assert not Signature.objects.exists()


def test_a_handover_is_signed_by_both_each_fault_at_its_own_password(desk, swap):
    sent = {
        "act_id": uuid4(),
        "words": "Pack is off, hose capped",
        "giver": "technician",
        "giver_password": PASSWORD,
        "taker": "inspector",
        "taker_password": "wrong",
    }
    address = reverse("equipment:swap_hand_over", args=[swap.pk])

    wrong = desk.post(address, sent)
    right = desk.post(address, {**sent, "taker_password": PASSWORD})

    assert wrong.status_code == 422
    assert "id_taker_password_error" in text(wrong)
    assert right.status_code == 302
    assert set(Signature.objects.values_list("sort", flat=True)) == {"handed_over", "taken_over"}


def test_a_step_before_fitting_shows_the_unit_and_its_certificate(desk, swap, line):
    # Seen: the step asked that part, serial and certificate agree with this record, and showed none.
    page = text(desk.get(step_url(swap, 4)))

    assert "To be fitted" in page
    for words in ("HLY-OW-210", "00533", "Form 1", "C-533", "overhauled"):
        assert words in page, words
    assert "To be fitted" not in text(desk.get(step_url(swap, 3)))


def test_a_unit_without_a_certificate_is_said_so_before_it_is_fitted(desk, line, people):
    bare = a_unit(line.old.part_number, serial_number="00777")
    moved(bare, "received", in_store(line.station), "2026-02-05")
    new = NewSwap(
        at_position(line.aircraft, POSITION), line.station.pk, "due", planned_on_id=bare.pk
    )
    made = open_swap(by=people["technician"], new=new, act_id=uuid4(), at=timezone.now())

    assert "No certificate is on record" in text(desk.get(step_url(made, 4)))


def test_a_bonding_of_nought_is_asked_about_on_its_page(desk, swap):
    asked = entered(desk, swap, 7, value="0", tool="VT-2")

    assert asked.status_code == 422
    assert "no bond has none" in text(asked)
    assert "Is this right?" in text(asked)
    assert not StepEntry.objects.exists()


def test_a_value_beyond_its_wrench_is_said_while_it_is_typed(desk, swap, line):
    Tool.objects.filter(code="VT-1").update(measures="10 to 100 in-lb")
    address = reverse("equipment:swap_judge", args=[swap.pk, 6])

    page = text(desk.post(address, {"value": "240", "drag": "5", "tool": "VT-1"}))

    assert "Cannot be judged" in page
    assert "VT-1 measures 10 to 100 in-lb" in page
