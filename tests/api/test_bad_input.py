from __future__ import annotations

import pytest
from rest_framework import serializers

from fleet.doors.bodies import StrictJSON
from fleet.doors.fields import (
    BIGGEST,
    Day,
    Instant,
    Shape,
    StrictBoolean,
    StrictInteger,
    StrictText,
)


class Sample(Shape):
    total = StrictInteger(required=False)
    source = StrictText(required=False)
    is_date_only = StrictBoolean(required=False)
    on = Day(required=False)
    read_at = Instant(required=False)


@pytest.mark.parametrize(
    ("address", "code"),
    [
        ("/api/v1/aircraft/Q-NONE", "unknown_aircraft"),
        ("/api/v1/aircraft/%00", "unknown_aircraft"),
        ("/api/v1/aircraft/Q-NONE/readings", "unknown_aircraft"),
        ("/api/v1/aircraft/Q-NONE/checks", "unknown_aircraft"),
        ("/api/v1/units/123456", "unknown_unit"),
        ("/api/v1/units/99999999999999999999999", "unknown_unit"),
        ("/api/v1/units/1/papers", "unknown_unit"),
        ("/api/v1/nothing/here", "unknown_address"),
    ],
)
def test_what_is_unknown_is_a_problem_with_a_sentence(controller, address, code):
    answer = controller.get(address)

    assert answer.status_code == 404
    assert answer["Content-Type"] == "application/problem+json"
    assert answer.json()["code"] == code
    assert answer.json()["detail"].endswith(".")


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("limit=0", "limit"),
        ("limit=501", "limit"),
        ("limit=1e3", "limit"),
        ("limit=12,345", "limit"),
        ("limit=٣", "limit"),
        ("limit=99999999999999999999", "limit"),
        ("cursor=abc", "cursor"),
        ("statoin=LYD", "statoin"),
        ("status=flying", "status"),
        ("station=L%00D", "station"),
    ],
)
def test_a_query_that_cannot_be_read_is_refused_at_its_name(controller, query, field):
    answer = controller.get(f"/api/v1/aircraft?{query}")

    assert answer.status_code == 400
    assert [error["field"] for error in answer.json()["errors"]] == [field]


def test_a_cursor_of_another_list_is_refused(controller, station):
    from fleet.models import Station

    Station.objects.create(code="BRE", name="Brent")
    cursor = controller.get("/api/v1/stations?limit=1").json()["next"].split("cursor=")[1]

    answer = controller.get(f"/api/v1/units?cursor={cursor}")

    assert answer.json()["errors"][0]["code"] == "invalid_cursor"


@pytest.mark.parametrize(
    "value", [True, 1.5, 1.0, float("inf"), "12", "12,345", "1e3", [], {}, BIGGEST + 1, -1, 10**400]
)
def test_only_a_whole_number_is_a_total(value):
    assert "total" in errors_of(total=value)


@pytest.mark.parametrize("value", [0, 1, BIGGEST])
def test_a_whole_number_is_taken_as_it_is(value):
    assert read(total=value) == {"total": value}


@pytest.mark.parametrize("value", [12, 1.5, True, [], {}, "a\x00b", ""])
def test_only_text_is_text(value):
    assert "source" in errors_of(source=value)


@pytest.mark.parametrize("value", ["yes", "true", 1, 0, "1", []])
def test_only_a_truth_value_is_true(value):
    assert "is_date_only" in errors_of(is_date_only=value)


@pytest.mark.parametrize(
    "value",
    [
        "3/4/27",
        "20270303",
        "0001-01-01",
        "9999-12-31",
        "2027-W09-3",
        "2027-02-30",
        "2027-03-03T00:00:00Z",
        20270303,
        "",
    ],
)
def test_only_a_written_day_is_a_date(value):
    assert "on" in errors_of(on=value)


@pytest.mark.parametrize(
    "value",
    ["2027-03-03", "2027-03-03T14:05", "2027-13-03T14:05Z", "9999-12-31T23:59:59-14:00", 1, "now"],
)
def test_an_instant_needs_its_offset(value):
    assert "read_at" in errors_of(read_at=value)


def test_a_name_that_is_not_known_is_refused_and_the_known_ones_are_said():
    errors = errors_of(totl=3)

    assert errors["totl"][0].code == "unknown_field"
    assert "total" in errors["totl"][0]


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b"[" * 100_000,
        b'{"total": NaN}',
        b'{"total": Infinity}',
        b'{"total": 1, "total": 2}',
        b'{"source": "\\ud800"}',
        b"\xff\xfe",
        b"1" * 5000,
    ],
    ids=[
        "cut off",
        "deep",
        "NaN",
        "Infinity",
        "a name twice",
        "half a character",
        "not UTF-8",
        "endless",
    ],
)
def test_what_is_not_json_is_malformed(body):
    import io

    from rest_framework.exceptions import ParseError

    with pytest.raises(ParseError):
        StrictJSON().parse(io.BytesIO(body))


def test_a_number_beyond_all_measure_is_refused_at_its_field():
    import io

    data = StrictJSON().parse(io.BytesIO(b'{"total": 1e999}'))

    assert "total" in errors_of(**data)


def read(**values):
    shape = Sample(data=values)
    shape.is_valid(raise_exception=True)
    return dict(shape.validated_data)


def errors_of(**values):
    with pytest.raises(serializers.ValidationError) as caught:
        read(**values)
    return caught.value.detail
