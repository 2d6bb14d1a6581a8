"""Every door whose act has an id of its sender: the same again is done once, other content under it is refused."""

from __future__ import annotations

import pytest

from fleet.house.desks import ACTS
from tests.equipment.line_world import PASSWORD

from .document import api_document
from .other_content import Others, changed, on_record
from .swap_stage import stage_of

#: Doors whose act has no id of its sender: by what the same again is known there instead.
KNOWN_OTHERWISE = {
    "plan_check": "a plan: one of this name and day becomes what is sent",
    "grant_authorisation": "its number and first day",
    "end_authorisation": "the authorisation that it ends",
    "record_calibration": "the tool and the day",
    "answer_call": "the call",
    "record_certificate": "the unit, form and number",
    "enter_chart": "the part number and revision",
    "disposition_directive": "the unit, paragraph and day",
    "grant_extension": "its number",
    "re_identify_unit": "the unit and day",
    "record_life_statement": "the unit, measure and day",
    "bring_load": "nothing: each load is looked at before it is decided",
    "decide_load": "the load",
    "merge_units": "the two units",
    "read_notice": "the notice",
    "free_reservation": "the reservation",
    "enter_rule_set": "its code and revision",
    "enter_step_list": "its code and revision",
    "issue_unit": "the reservation",
    "record_title": "the unit and day",
    "enter_tool": "its code: what may change becomes what is sent",
    "enter_unit": "its part and serial number",
    "enter_lines": "what its lines say",
}
#: Fields that cannot be changed by themselves, or whose change says nothing else.
SAYS_NOTHING_ELSE = {
    ("attach_file", "step"): "the step of a swap, and the example is of a sighting",
    ("record_movements", "movements.0.sort"): "a position takes installations only",
    (
        "correct_movement",
        "movement.sort",
    ): "a position takes installations only: place_does_not_suit",
    ("record_sighting", "zone"): "the zone of a moment is not kept",
    (
        "record_movements",
        "is_confirmed",
    ): "it only answers a question: what is recorded is the same",
    (
        "correct_movement",
        "is_confirmed",
    ): "it only answers a question: what is recorded is the same",
}

#: The world's unit lies in quarantine, so what contradicts the records is said to be so.
CONFIRMED = {"record_installation": {"is_confirmed": True}}


SCHEMA = api_document()


def _acts():
    """(name, act, address, shape, example) of every door that changes something."""
    for address, methods in SCHEMA["paths"].items():
        for operation in methods.values():
            if act := operation.get("x-act"):
                bodies = operation.get("requestBody", {"content": {}})["content"].values()
                body = next(iter(bodies), {"schema": {}})
                example = next(iter(body.get("examples", {}).values()), {"value": None})
                yield operation["operationId"], act, address, body["schema"], example["value"]


WITH_ID = [door for door in _acts() if isinstance(door[4], dict) and "act_id" in door[4]]


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def test_every_act_has_an_id_of_its_sender_or_is_known_otherwise():
    names = {name for name, *_ in _acts()}

    assert names - {name for name, *_ in WITH_ID} == set(KNOWN_OTHERWISE)
    assert len(WITH_ID) >= 50  # the question above is asked of something


@pytest.mark.parametrize("door", WITH_ID, ids=lambda door: door[0])
def test_the_same_again_is_done_once_and_other_content_is_refused(door, program, db):
    name, act, address, shape, example = door
    role = next(
        role
        for role in ("controller", "technician", "certifying", "stores", "administrator")
        if role in ACTS[act]
    )
    program(role)  # whose own the stage can make something
    ids, about = stage_of(program("technician"), address, role)
    sent = about(example, role) | CONFIRMED.get(name, {})
    others = list(changed(SCHEMA, shape, sent, Others(PASSWORD)))

    def answer_to(body):
        return program(role).post(address.format(**ids), body, format="json")

    first = answer_to(sent)
    then = on_record()
    again = answer_to(sent)

    assert first.status_code == 201, first.content
    assert (again.status_code, again.json()) == (200, first.json())
    assert on_record() == then

    wrong = {}
    for field, other in others:
        if (name, field) in SAYS_NOTHING_ELSE:
            continue
        answer = answer_to(other)
        told = [(each["field"], each["code"]) for each in answer.json().get("errors", ())]
        if (answer.status_code, told) != (422, [("act_id", "act_id_used")]):
            wrong[field] = (answer.status_code, told)
    assert wrong == {}
    assert on_record() == then


#: Doors whose rows are compared with what is on record by what makes them the same row.
ROWS = {
    "record_certificate": {"unit", "form", "tracking_number"},
    "record_title": {"unit", "from_on"},
    "record_life_statement": {"unit", "measure", "stated_on", "since", "corrects"},
    "re_identify_unit": {"unit", "from_on"},
    "disposition_directive": {"programme", "limit", "revision", "unit", "on"},
    "grant_extension": {"number"},
    "record_calibration": {"tool", "done_on"},
}


@pytest.mark.parametrize("door", [door for door in _acts() if door[0] in ROWS], ids=lambda d: d[0])
def test_a_row_on_record_is_known_word_for_word_and_refused_with_anything_else(door, program, db):
    name, _, address, shape, example = door
    role = "controller"
    ids, about = stage_of(program("technician"), address, role)
    sent = about(example, role) | CONFIRMED.get(name, {})
    others = [
        (field, other)
        for field, other in changed(SCHEMA, shape, sent, Others(PASSWORD))
        if field not in ROWS[name]
    ]

    def answer_to(body):
        return program(role).post(address.format(**ids), body, format="json")

    first = answer_to(sent)
    then = on_record()
    again = answer_to(sent)
    answers = {field: answer_to(other).status_code for field, other in others}

    assert (first.status_code, again.status_code) == (201, 200), first.content
    assert again.json() == first.json()
    assert answers == dict.fromkeys(answers, 422)
    assert answers and on_record() == then
