"""Every row of the table of who may do what, at every door that asks it."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from fleet.house.desks import ACTS, AUDITOR, ROLES
from fleet.models import Load
from tests import builders as build
from tests.sweeps import by_turns

from .document import api_document
from .swap_stage import is_of_one_role, stage_of
from .world import AT


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def acts_in_schema():
    """(act, method, address, the schema's own example) of every door that changes something."""
    document = api_document()
    for address, methods in document["paths"].items():
        for method, operation in methods.items():
            if act := operation.get("x-act"):
                yield act, method, address, _example(operation)


def _example(operation):
    if "requestBody" not in operation:
        return {}
    for body in operation["requestBody"]["content"].values():
        for example in body.get("examples", {}).values():
            return example["value"]
    return None


def all_methods():
    document = api_document()
    return [
        (method, address, operation.get("x-act"))
        for address, methods in document["paths"].items()
        for method, operation in methods.items()
    ]


ACTS_IN_SCHEMA = list(acts_in_schema())
READ_BY = [role for role, _ in ROLES]


@pytest.mark.sweep
@pytest.mark.parametrize("door", ACTS_IN_SCHEMA, ids=lambda door: f"{door[0]} {door[2]}")
def test_a_door_opens_to_the_roles_of_its_row_and_to_no_other(door, program, db):
    act, method, address, body = door
    load = Load.objects.create(brought_at=AT, state=Load.READ)
    turn = ACTS_IN_SCHEMA.index(door)
    may = [role for role in READ_BY if role in ACTS[act]]
    may_not = [role for role in READ_BY if role not in ACTS[act]]
    roles = [*by_turns(may, turn, 3), *by_turns(may_not, turn, 3)]
    for role in {*roles, "technician"}:
        program(role)  # whose own the stage can make something, and who makes the stage

    def answers(role, ids, about):
        sent = about(body, role)
        if address.endswith("/installation"):  # the world's unit lies in quarantine
            sent |= {"is_confirmed": True}
        kind = "multipart" if sent is None else "json"
        sent = (
            {"files": SimpleUploadedFile("units.csv", b"serial_number")} if sent is None else sent
        )
        send = getattr(program(role), method)
        return send(address.format(**ids, key=load.key), sent, format=kind)

    def staged(role):
        return stage_of(program("technician"), address, role)

    # A refusal changes nothing, and what is done is undone again: all come to one stage, save where
    # what stands there is one role's own.
    for visitors in [[role] for role in roles] if is_of_one_role(address) else [roles]:
        with build.undone():
            stage = stage_of(program("technician"), address, visitors[0])
            for role in visitors:
                with build.undone():
                    answer = answers(role, *stage)
                    if role in ACTS[act]:
                        assert answer.status_code == 201, (role, answer.content)
                    else:
                        assert answer.status_code == 403, (role, answer.content)
                        assert answer.json()["code"] == "not_permitted", role


def test_everything_that_changes_names_its_row():
    assert all(act in ACTS for method, _, act in all_methods() if method != "get")
    assert all(act is None for method, _, act in all_methods() if method == "get")


def test_the_auditor_may_do_no_act_but_read():
    assert [act for act, roles in ACTS.items() if AUDITOR in roles] == ["read"]


READ = [a for m, a, _ in all_methods() if m == "get"]


@pytest.mark.sweep
@pytest.mark.parametrize("address", READ)
def test_every_role_reads_every_list(address, program, db):
    load = Load.objects.create(brought_at=AT)
    program("technician")
    ids, _ = stage_of(program("technician"), address, "technician")

    for role in by_turns(READ_BY, READ.index(address), 3):
        answer = program(role).get(address.format(**ids, key=load.key))
        assert answer.status_code in {200, 404}, (role, answer.content)
