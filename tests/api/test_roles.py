"""Every row of the table of who may do what, at every door that asks it."""

from __future__ import annotations

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.renderers import OpenApiJsonRenderer

from fleet.desks import ACTS, AUDITOR, ROLES
from fleet.models import Load

from .swap_stage import stage_of
from .world import AT


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def acts_in_schema():
    """(act, method, address, the schema's own example) of every door that changes something."""
    document = json.loads(
        OpenApiJsonRenderer().render(SchemaGenerator().get_schema(request=None, public=True))
    )
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
    document = json.loads(
        OpenApiJsonRenderer().render(SchemaGenerator().get_schema(request=None, public=True))
    )
    return [
        (method, address, operation.get("x-act"))
        for address, methods in document["paths"].items()
        for method, operation in methods.items()
    ]


@pytest.mark.parametrize("door", list(acts_in_schema()), ids=lambda door: f"{door[0]} {door[2]}")
def test_a_door_opens_to_the_roles_of_its_row_and_to_no_other(door, role, program, db):
    act, method, address, body = door
    load = Load.objects.create(brought_at=AT, state=Load.READ)
    program(role)  # whose own the stage can make something
    ids, about = stage_of(program("technician"), address, role)
    body = about(body)
    address = address.format(**ids, key=load.key)

    kind = "multipart" if body is None else "json"
    body = {"files": SimpleUploadedFile("units.csv", b"serial_number")} if body is None else body
    answer = getattr(program(role), method)(address, body, format=kind)

    is_refused = answer.status_code == 403 and answer.json()["code"] == "not_permitted"
    assert is_refused == (role not in ACTS[act]), answer.content
    assert is_refused or answer.status_code == 201, answer.content


def test_everything_that_changes_names_its_row():
    assert all(act in ACTS for method, _, act in all_methods() if method != "get")
    assert all(act is None for method, _, act in all_methods() if method == "get")


def test_the_auditor_may_do_no_act_but_read():
    assert [act for act, roles in ACTS.items() if AUDITOR in roles] == ["read"]


@pytest.mark.parametrize("address", [a for m, a, _ in all_methods() if m == "get"])
def test_every_role_reads_every_list(address, role, program, db):
    load = Load.objects.create(brought_at=AT)
    ids, _ = stage_of(program("technician"), address, role)

    answer = program(role).get(address.format(**ids, key=load.key))

    assert answer.status_code in {200, 404}
    assert dict(ROLES)[role]
