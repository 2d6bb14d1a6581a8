from __future__ import annotations

import contextlib
import copy
import json
import re

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections
from django.urls import URLPattern, URLResolver, get_resolver
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from rest_framework.views import APIView
from schemathesis import GenerationMode

from fleet.doors.door import NoSuchAddress
from fleet.models import Load
from tests import builders as build
from tests.sweeps import IS_WHOLE

from .document import api_document
from .swap_stage import is_of_a_swap, stage_of
from .world import AT

METHODS = {"get", "post", "put", "patch", "delete"}


@pytest.fixture
def schema_document(controller):
    return json.loads(controller.get("/api/schema/?format=json").content)


def operations_of(document):
    for address, methods in document["paths"].items():
        for method, operation in methods.items():
            if method in METHODS:
                yield f"{method.upper()} {address}", operation


def doors(resolver=None, prefix=""):
    """Every door's address and class, as Django's own resolver has them."""
    for pattern in (resolver or get_resolver()).url_patterns:
        address = prefix + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from doors(pattern, address)
        elif isinstance(pattern, URLPattern):
            view = getattr(pattern.callback, "cls", None)
            if view and issubclass(view, APIView) and view is not NoSuchAddress:
                yield address, view


def test_every_door_is_in_the_schema(schema_document):
    known = {re.sub(r"\{\w+\}", "{}", address) for address in schema_document["paths"]}
    there = {"/" + re.sub(r"<[^>]*>", "{}", address) for address, _ in doors() if "v1/" in address}

    assert there == known


def test_every_operation_is_described_tagged_and_shown_by_example(schema_document):
    for name, operation in operations_of(schema_document):
        assert operation["summary"], name
        assert operation["description"].endswith("."), name
        assert operation["tags"], name
        good = [answer for status, answer in operation["responses"].items() if status < "300"]
        assert any(
            media.get("examples") for answer in good for media in answer["content"].values()
        ), f"{name} shows no answer"
        for media, body in operation.get("requestBody", {}).get("content", {}).items():
            assert body.get("examples") or media.startswith("multipart"), f"{name} shows no request"


def test_every_operation_says_how_it_refuses(schema_document):
    for name, operation in operations_of(schema_document):
        assert {"400", "401", "403", "404"} <= set(operation["responses"]), name
        assert set(operation["responses"]["401"]["content"]) == {"application/problem+json"}


def test_names_of_operations_are_told_apart(schema_document):
    names = [operation["operationId"] for _, operation in operations_of(schema_document)]

    assert len(names) == len(set(names))


def asked_in_process():
    """The API by its own schema, asked without a server."""
    schema = schemathesis.openapi.from_dict(copy.deepcopy(api_document()))
    schema.app = get_wsgi_application()
    return [found.ok() for found in schema.get_all_operations()]


@pytest.fixture
def stage(operation, program, db):
    """What there is to ask about, so that it reaches the acts and not only the look-ups."""
    return stage_of(program("technician"), operation.path, "certifying")


@pytest.fixture
def own_connection(stage):
    """A request closes old connections; this test's own must outlive it. After the stage, whose
    client connects both signals again."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


@pytest.fixture
def key(secret_of, operation):
    """Of a role that most doors open to: those of a swap are the line's."""
    role = "certifying" if is_of_a_swap(operation.path) else "controller"
    return {"Authorization": f"Bearer {secret_of(role)}"}


@pytest.mark.sweep
@pytest.mark.parametrize("operation", asked_in_process(), ids=lambda operation: operation.label)
def test_nothing_generated_is_a_fault(operation, own_connection, key, stage):
    ids, about = stage
    load = Load.objects.create(brought_at=AT, state=Load.READ)
    ids = {**ids, "key": str(load.key)}

    # Both ways come to the same stage.
    for mode in GenerationMode:
        cases = operation.as_strategy(generation_mode=mode)
        with build.undone(), contextlib.suppress(Unsatisfiable):
            ask(cases, ids, about if mode is GenerationMode.POSITIVE else None, key)


def ask(cases, ids, about, key):
    """An address without input cannot be asked wrongly: ``Unsatisfiable``."""

    @settings(
        max_examples=30 if IS_WHOLE else 4,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=cases)
    def each(case):
        case.path_parameters = {name: ids[name] for name in case.path_parameters or {}}
        if about and isinstance(case.body, dict):
            case.body = about(case.body)
        answer = case.call(headers=key)

        assert answer.status_code < 500, case.as_curl_command()
        if answer.status_code >= 400:
            assert answer.headers["content-type"] == ["application/problem+json"]

    each()
