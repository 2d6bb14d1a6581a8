"""The log: JSON lines, without secrets."""

import json
import logging

import pytest
import structlog


@pytest.fixture
def line_of():
    formatter = next(h.formatter for h in logging.getLogger().handlers if h.formatter)
    return lambda record: json.loads(formatter.format(record))


def record_with(**extra):
    made = logging.LogRecord("fleet", logging.INFO, __file__, 1, "signed in", None, None)
    made.__dict__.update(extra)
    return made


def test_a_record_is_one_json_object(line_of):
    line = line_of(record_with(aircraft="Q-AKIR"))

    assert line["event"] == "signed in"
    assert line["aircraft"] == "Q-AKIR"
    assert line["level"] == "info"
    assert line["timestamp"].endswith("Z")


@pytest.mark.parametrize(
    "name", ["password", "api_token", "Authorization", "SECRET_KEY", "cookies"]
)
def test_a_secret_is_not_in_it(line_of, name):
    assert line_of(record_with(**{name: "hush"}))[name] == "(not logged)"


def test_structlog_goes_the_same_way():
    assert structlog.is_configured()
