"""The duties of a record that are met by what people do, each done and its result read back where it is read.

A test's name begins with its row of ``test_record_checklist.py``; the sources are those of published-facts
section 6, as named there.
"""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
import time_machine
from django.db import ProgrammingError, transaction
from django.urls import reverse

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.common.attached import FileFact
from equipment.judging.release.obstacles import stands_in_the_way
from equipment.ledger.facts import PlaceAt
from equipment.models import (
    Discrepancy,
    LifeStatement,
    RecordsLost,
    Signature,
    SwapEnd,
    Unit,
)
from equipment.swaps.acts.paper import Card, Ink, transcribe_swap
from equipment.swaps.printed.paper import swap_paper
from equipment.swaps.reads.state import state_of
from equipment.units import drawn, labels
from fleet.house.refusals import Refused
from fleet.models import Authorisation
from scheduling.models import Limit, Work, WorkDone
from tests import builders as build
from tests import builders_swaps as swaps
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in
from tests.published.test_records_kept import a_life
from tests.scheduling.rules import a_rule, every, follows, reckon

pytestmark = pytest.mark.django_db
DAY = build.day("2027-05-20")
PAGE = FileFact("card 88.png", b"\x89PNG\r\n\x1a\n" + b"\0" * 20)


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(build.NOW, tick=False):
        yield


@pytest.fixture
def job():
    return swaps.a_job(swaps.SHORT)


def printed(job):
    return swap_paper(job.swap.pk, address="x", is_demonstration=False)


def words_of(paper):
    told = [f"{label}: {value}" for label, value in paper.facts]
    rows = [" ".join(map(str, row)) for part in paper.parts for row in part.rows]
    return " ".join([paper.state, *told, *rows]).replace("\u202f", " ")


def rows_of(paper, heading):
    return next((part.rows for part in paper.parts if part.heading == heading), [])


def codes(act, *args, **more):
    with pytest.raises(Refused) as refused:
        act(*args, **more)
    return [each.code for each in refused.value.refusals]


def a_card(job, **more):
    if not Authorisation.objects.filter(number="VAR 900").exists():
        swaps.an_ink_signer("Una Skerry", "VAR 900", "release")
        swaps.an_ink_signer("Per Holm", "VAR 901", "inspect")
    card = Card(
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
    return replace(card, **more)


def transcribed(job, card, at=build.NOW):
    done = transcribe_swap(by=job.technician, card=card, act_id=uuid4(), at=at)
    job.swap = done.swap
    return done


# --- R3: who performed it, if other than who approved it (43.9(a)(3), 121.369(c)(2)) ----------------


def test_r3_a_swap_names_who_did_each_step_beside_who_released_it(job):
    job.do_all()
    job.release()

    done = {str(row[0]): row[3] for row in rows_of(printed(job), "Steps")}
    assert all(job.technician.shown_name in who for who in done.values())
    released = next(row for row in rows_of(printed(job), "Signatures") if "signed off" in row[0])
    assert job.certifier.shown_name in released[1]
    assert job.certifier.shown_name != job.technician.shown_name


def test_r3_a_card_names_who_did_the_work_beside_the_ink_of_its_release(job):
    transcribed(job, a_card(job, performed="Ole Sund"))

    facts = dict(printed(job).facts)
    assert facts["Work done by, as the card has it"] == "Ole Sund"
    assert "Una Skerry in ink" in words_of(printed(job))


@pytest.mark.parametrize(
    ("left_out", "field"),
    [
        ({"who": ""}, "who"),
        ({"authorisation": ""}, "authorisation"),
        ({"document": ""}, "document"),
        ({"result": ""}, "result"),  # nobody else says that it passed
    ],
)
def test_r3_no_work_by_hand_restarts_a_clock_without_a_name_and_a_paper(
    program,  # noqa: F811
    left_out,
    field,
):
    unit = build.a_unit()
    Work.objects.create(code="WEIGHING", name="Weighing")
    said = {
        "work": "WEIGHING",
        "done_on": "2027-05-20",
        "who": "Ole Sund",
        "authorisation": "Q-B1-204",
        "document": "WO 7",
        "result": "passed",
    }
    sent = {**said, **left_out, "unit": unit.pk, "act_id": str(uuid4())}
    desk = signed_in(build.a_person("controller"))

    answer = program("controller").post("/api/v1/works-done", sent, format="json")
    page = desk.post(reverse("scheduling:unit_work", args=[unit.pk]), {**said, **left_out})

    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, field)
    assert page.status_code == 422 and "field-error" in page.content.decode()
    assert not WorkDone.objects.exists()


# --- R5: inspections (43.11(a), (b)) ----------------------------------------------------------------


def test_r5_an_inspection_has_its_extent_date_aircraft_total_signer_certificate_and_statement(job):
    job.open()
    job.take_off(minutes=600_000, cycles=5_000)
    job.put_on(minutes=600_000, cycles=5_000)
    job.do_steps()

    paper = printed(job)
    seven = next(row for row in rows_of(paper, "Steps") if str(row[0]) == "7")
    who = [row for row in rows_of(paper, "Who signed, and under which authorisation")]
    inspection = Signature.objects.filter(sort="inspection").first()

    assert "Mount bolts." in seven[1] and "in-lb" in seven[2]
    assert job.inspector.shown_name in seven[5] and "1 Jun 2027" in seven[5]
    assert "10 000:00 h" in words_of(paper) and "5 000 cycles" in words_of(paper)
    number = job.inspector.authorisations.get().number
    assert any(job.inspector.shown_name in row[0] and number in row[2] for row in who)
    assert inspection.statement.startswith(job.swap.rule_set.inspection_statement)


def test_r5_what_is_not_airworthy_is_on_a_signed_and_dated_list(job):
    job.open()
    job.enter(7)
    job.sign(7)
    job.refuse(7, reason="Thread damaged.")

    [obstacle] = [e for e in stands_in_the_way(state_of(job.swap, job.now)) if e.step_number == 7]
    signed = Signature.objects.get(sort="not_accepted")

    assert "Thread damaged" in obstacle.sentence and job.inspector.shown_name in obstacle.sentence
    assert (signed.by, signed.reason, signed.signed_at) == (
        job.inspector,
        "Thread damaged.",
        job.now,
    )


# --- R8: time since the last overhaul (91.417(a)(2)(iii), 121.380(a)(2)(iv)) ------------------------


def test_r8_time_since_the_last_overhaul_is_on_the_page_and_for_programs(program):  # noqa: F811
    unit = build.a_unit()
    swaps.a_certificate(unit)
    LifeStatement.objects.create(
        unit=unit,
        measure=build.the_hours(),
        stated_on=build.day("2027-02-01"),
        total=75 * 60,
        since="overhaul",
        source="Form 1 C-1",
        quality="certificate",
        recorded_at=build.NOW,
    )

    page = signed_in(build.a_person("auditor")).get(reverse("equipment:unit", args=[unit.pk]))
    told = program("auditor").get(f"/api/v1/units/{unit.pk}/in-service").json()

    assert "In service since overhaul" in page.content.decode()
    assert "75:00 h" in page.content.decode()
    assert told["overhaul"]["minutes"] == 75 * 60


# --- R10: directives: method, date, when again (91.417(a)(2)(v), 121.380(a)(2)(vi)) -----------------


def test_r10_a_directives_list_has_method_date_and_when_it_is_done_again():
    kind = build.a_kind("BOTTLE")
    unit = build.a_unit(build.a_part(kind=kind), serial_number="B4106")
    craft = follows(build.an_aircraft(of_type=build.an_aircraft_type("BTL", kind=kind)))
    build.installed(unit, build.at_position(craft, "BTL"), "2020-01-05")
    a_rule("AD-1", every(12), work="CHECK", kind=kind, is_directive=True)
    desk = signed_in(build.a_person("controller"))
    sent = {
        "work": "CHECK",
        "done_on": "2027-03-01",
        "method": "eddy current",
        "who": "Ole Sund",
        "authorisation": "Q-B1-204",
        "document": "WO 7",
        "result": "passed",
    }
    address = reverse("scheduling:unit_work", args=[unit.pk])
    shown = desk.post(address, sent)
    saved = desk.post(address, {**sent, "shown": _mark(shown), "save": "1"})
    assert saved.status_code == 302 and WorkDone.objects.get().method == "eddy_current"
    reckon()

    limit = Limit.objects.get(code="AD-1")
    page = desk.get(reverse("scheduling:limit_compliance", args=[limit.pk])).content.decode()
    file = desk.get(reverse("scheduling:compliance_export", args=[limit.pk, "csv"]))

    for words in (page, file.content.decode("utf-8-sig")):
        assert "Check, eddy current, 1 Mar 2027, WO 7" in words
    assert "1 Mar 2028" in page


def _mark(answer):
    words = answer.content.decode()
    return words.split('name="shown" value="')[1].split('"')[0]


# --- R12: the records go with what is sold, and can be read (121.380a) ------------------------------


def test_r12_everything_of_a_unit_is_read_back_by_program_after_it_is_sold(program):  # noqa: F811
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2027-03-01")
    swaps.a_certificate(unit, "QF-1")
    build.moved(unit, "sold", PlaceAt("party", name="Skerry Air"), "2027-05-01")
    reader = program("auditor")

    papers = reader.get(f"/api/v1/units/{unit.pk}/papers").json()
    moves = reader.get(f"/api/v1/units/{unit.pk}/movements").json()["results"]

    assert papers["certificates"][0]["tracking_number"] == "QF-1"
    assert {each["sort"] for each in moves} == {"received", "sold"}
    page = signed_in(build.a_person("auditor")).get(reverse("equipment:unit", args=[unit.pk]))
    assert "Skerry Air" in page.content.decode()


# --- R13, R22: life-limited parts: part, serial, limit, used, left (43.10(c), GM M.A.305(d)) --------


def test_r13_r22_each_removal_records_part_serial_limit_used_and_left(job):
    a_life(job)
    job.do_all()
    job.release()

    [told] = SwapEnd.objects.get(swap=job.swap).dispositions

    assert (told["part"], told["serial"]) == (job.old.part_number.number, job.old.serial_number)
    # Made on 1 January 2020, a life of 240 months; off on 1 June 2027: 2 708 days used, 4 597 left.
    assert told["limit"] == "LIFE Life"
    assert (told["used"].replace("\u202f", ""), told["unit"]) == ("2708", "days")
    assert told["left"].replace("\u202f", "") == "4597"
    assert f"{job.old.part_number.number} S/N {job.old.serial_number}" in words_of(
        printed(job)
    ) + " ".join(printed(job).notes)


# --- R17, R18, R31: required inspections (121.369(b), 121.371(c), (d), 145.A.48) --------------------


def test_r17_each_item_to_be_inspected_is_and_by_somebody_authorised_by_title(job):
    job.open()
    job.take_off()
    job.put_on()
    job.do_steps(but=(7,))
    job.enter(7)
    job.sign(7)

    assert codes(job.release) == ["inspection_missing"]
    job.inspect(7)
    assert job.release()
    signed = Signature.objects.filter(sort="inspection", step=job.step(7)).get()
    assert "Engineer" in signed.authorisation_words


def test_r17_a_tool_out_of_calibration_inspects_nothing(job):
    job.tools["torque"] = swaps.a_tool("wrench", until=build.day("2027-05-31"))
    job.open()
    job.take_off()
    job.put_on()
    job.do_steps(but=(7, 13))

    entry = job.enter(7)

    assert entry.verdict != "in"
    assert any(each.step_number == 7 for each in stands_in_the_way(state_of(job.swap, job.tick())))


@pytest.mark.parametrize("way", ["swap", "card"])
def test_r18_nobody_inspects_what_he_performed(way):
    job = swaps.a_job(swaps.SHORT)
    if way == "card":
        done = transcribed(job, a_card(job, performed="Per Holm"))
        assert [each.code for each in done.obstacles] == ["inspected_by_performer"]
        return
    job.open()
    job.enter(7, by=job.inspector)
    job.sign(7, by=job.inspector)
    assert codes(job.inspect, 7, by=job.inspector) == ["inspects_own_work"]


def test_r31_both_names_stand_on_the_card_before_the_release(job):
    named = transcribed(job, a_card(job))
    assert not named.obstacles
    words = words_of(printed(job))
    assert "Per Holm in ink" in words and "Una Skerry in ink" in words

    other = swaps.a_job(swaps.SHORT)
    unnamed = transcribed(other, replace(a_card(other), inspected=None))
    assert [each.code for each in unnamed.obstacles] == ["inspection_missing"]
    assert not SwapEnd.objects.filter(swap=other.swap).exists()


# --- R20: no later than 30 days (M.A.305(a)) --------------------------------------------------------


@pytest.mark.parametrize(("on", "is_late"), [("2027-05-02", False), ("2027-05-01", True)])
def test_r20_a_card_entered_more_than_thirty_days_after_the_work_is_a_finding(job, on, is_late):
    day = build.day(on)
    card = a_card(
        job,
        when=build.on(f"{on} 10:00"),
        released=Ink("Una Skerry", "VAR 900", day),
        inspected=Ink("Per Holm", "VAR 901", day),
    )

    transcribed(job, card)

    assert Discrepancy.objects.filter(sort="late_entry").exists() is is_late


# --- R26: nothing is altered, the date least of all (AMC M.A.305) -----------------------------------


def test_r26_the_application_cannot_alter_a_signature(job):
    job.open()
    job.enter(7)
    job.sign(7)

    with pytest.raises(ProgrammingError), transaction.atomic():
        Signature.objects.update(signed_at=build.instant("2027-01-01 08:00"))


@pytest.mark.parametrize(
    "changed",
    [
        {"signed_at": "2027-05-01T08:00Z"},
        {"name": "Somebody Else"},
        {"authorisation_words": "licence 1"},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_r26_a_date_name_or_authorisation_altered_behind_it_voids_the_signature(
    job,
    as_owner,
    program,  # noqa: F811
    changed,
):
    job.open()
    job.enter(7)
    job.sign(7)
    told = program("auditor").get(f"/api/v1/swaps/{job.swap.pk}").json()
    assert _seven(told)["is_as_signed"] and _seven(told)["counts"]

    with as_owner():
        Signature.objects.filter(step=job.step(7)).update(**changed)

    told = program("auditor").get(f"/api/v1/swaps/{job.swap.pk}").json()
    assert not _seven(told)["is_as_signed"] and not _seven(told)["counts"]
    seven = [e.code for e in stands_in_the_way(state_of(job.swap, job.now)) if e.step_number == 7]
    assert "signed_value_changed" in seven


def _seven(told):
    [step] = [each for each in told["steps"] if each["number"] == 7]
    return step["signatures"][0]


# --- R27: lost records: reconstructed, with a statement (AMC M.A.305) -------------------------------


def test_r27_a_loss_is_stated_with_the_best_estimate_and_stands_in_the_history(program):  # noqa: F811
    unit = build.a_unit()
    desk = signed_in(build.a_person("controller"))
    said = {
        "lost": "Cards of 2019: the archive burnt.",
        "estimate": "5 200 h at most, by the aircraft's log.",
        "document": "QREC 3",
        "from_on": "2019-01-01",
        "until_on": "2019-12-31",
        "submitted_to": "The authority",
    }
    address = reverse("equipment:unit_records_lost", args=[unit.pk])

    unsaid = desk.post(address, {**said, "estimate": "", "act_id": str(uuid4())})
    desk.post(address, {**said, "act_id": str(uuid4())})
    sent = {**said, "unit": unit.pk, "document": "QREC 4", "act_id": str(uuid4())}
    answer = program("controller").post("/api/v1/records-lost", sent, format="json")
    page = desk.get(reverse("equipment:unit", args=[unit.pk])).content.decode()

    assert (unsaid.status_code, answer.status_code) == (422, 201)
    assert RecordsLost.objects.filter(unit=unit).count() == 2
    assert "records lost: Cards of 2019: the archive burnt." in page
    assert "best estimate: 5 200 h at most" in page and "submitted to The authority" in page
    with pytest.raises(ProgrammingError), transaction.atomic():
        RecordsLost.objects.update(lost="nothing")


# --- R34: the unserviceable tag (AMC1 145.A.42(a)(ii)) ----------------------------------------------


def test_r34_the_tag_has_identification_needs_times_preservation_failure_and_exposure():
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2027-03-01")
    tag = TagFact(
        "unserviceable",
        "defect",
        "Girt torn at the left end.",
        actions_needed="To the shop: repair.",
        exposure="Salt water.",
        preservation="Dried, bagged.",
        total_minutes=512_400,
        total_cycles=6_120,
    )
    made = tag_unit(
        by=build.a_person("technician"),
        unit_id=unit.pk,
        tag=tag,
        tagged_at=build.NOW,
        act_id=uuid4(),
        at=build.NOW,
    )

    sheet = labels.unit_tag(made, on=build.NOW.date(), at=build.NOW, is_demonstration=False)
    told = dict(sheet.lines)

    assert (told["Part number"], told["Serial number"]) == (
        unit.part_number.number,
        unit.serial_number,
    )
    assert told["Failure or defect"] == "Girt torn at the left end."
    assert told["Actions needed"] == "To the shop: repair."
    assert told["Adverse exposure, accident"] == "Salt water."
    assert told["Preservation"] == "Dried, bagged."
    assert told["Times as tagged"].replace("\u202f", " ") == "8 540:00 h, 6 120 cycles"
    assert "Do not remove this tag" in sheet.foot


def test_r34_no_line_of_a_tag_is_left_off_however_long(monkeypatch):
    unit = Unit.objects.get(pk=build.a_unit().pk)
    build.moved(unit, "received", build.in_store(build.a_station()), "2027-03-01")
    long = "very " * 39
    tag = TagFact(
        "unserviceable", "defect", f"{'torn ' * 59}girt", f"{long}needs", f"{long}sea", f"{long}bag"
    )
    made = tag_unit(
        by=build.a_person("technician"),
        unit_id=unit.pk,
        tag=tag,
        tagged_at=build.NOW,
        act_id=uuid4(),
        at=build.NOW,
    )
    said = []
    monkeypatch.setattr(drawn.Canvas, "drawString", lambda self, x, y, text: said.append(text))

    sheet = labels.unit_tag(made, on=build.NOW.date(), at=build.NOW, is_demonstration=False)
    drawn.pdf_of(sheet)

    words = " ".join(said)
    for name, value in sheet.lines:
        if value:
            assert f"{name}:" in words, name
    for last in ("girt", "needs", "sea", "bag"):
        assert last in words
