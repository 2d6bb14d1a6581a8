"""A question to an upper app has exactly one answerer, or nothing starts; unanswered, it is never *nothing*."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date

import pytest
from django.apps import apps

from fleet.house import ports
from fleet.house.ports import Port, PortFault
from fleet.house.signals import facts_changed
from tests.test_house import ROOT, declared_in_source

#: The program as it starts when nobody from above is there to answer.
ALONE = """
from django.conf import settings
settings.INSTALLED_APPS.remove("scheduling.apps.SchedulingConfig")
"""
STARTS = {
    "web": "import fleet.config.wsgi",
    "worker": "from fleet.config import celery_app\ncelery_app.worker_main(['worker', '--pool', 'solo'])",
    "command": "from django.core.management import execute_from_command_line\n"
    "execute_from_command_line(['manage.py', 'check'])",
}


@pytest.fixture(autouse=True)
def declared_as_before(monkeypatch):
    """Questions that a test invents are gone after it."""
    monkeypatch.setattr(ports, "_declared", list(ports.declared()))


@pytest.fixture
def fillings_left() -> Port[[int, date], int]:
    return Port("how many fillings a bottle has left")


def one_for_each_day(unit_id: int, on: date) -> int:
    return unit_id - on.day


def test_the_one_who_provides_is_the_one_who_answers(fillings_left):
    fillings_left.provide(one_for_each_day)

    assert fillings_left(31, date(2027, 6, 1)) == 30


def test_asked_without_an_answerer_it_raises_and_names_the_question(fillings_left):
    with pytest.raises(PortFault, match="how many fillings a bottle has left"):
        fillings_left(31, date(2027, 6, 1))


def test_a_second_answerer_is_refused_and_the_first_stays(fillings_left):
    fillings_left.provide(one_for_each_day)

    with pytest.raises(PortFault, match=r"how many fillings.*one_for_each_day.*none_left"):
        fillings_left.provide(none_left)

    assert fillings_left(31, date(2027, 6, 1)) == 30


def none_left(unit_id: int, on: date) -> int:
    return 0


def test_the_house_does_not_get_ready_while_a_question_is_unanswered(fillings_left):
    with pytest.raises(PortFault, match="how many fillings a bottle has left"):
        apps.get_app_config("house").ready()

    fillings_left.provide(one_for_each_day)
    apps.get_app_config("house").ready()


def test_the_house_is_the_last_app_so_that_everybody_has_spoken_before_it():
    assert list(apps.get_app_configs())[-1].label == "house"


def test_in_the_running_program_every_question_has_its_one_answerer_above():
    answerers = {port.question: port.answer for port in ports.declared()}

    assert set(answerers) == set(declared_in_source("Port").values())
    assert {answer.__module__.partition(".")[0] for answer in answerers.values()} == {"scheduling"}


def test_what_was_provided_at_the_start_is_not_provided_again():
    for port in ports.declared():
        with pytest.raises(PortFault, match="answered already"):
            port.provide(port.answer)


@pytest.mark.slow
@pytest.mark.parametrize("start", STARTS)
def test_without_the_upper_app_nothing_starts_and_every_question_is_named(start):
    done = subprocess.run(
        [sys.executable, "-c", ALONE + STARTS[start]],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "fleet.config.settings"},
    )

    assert done.returncode != 0
    assert "PortFault" in done.stderr
    assert [
        words for words in declared_in_source("Port").values() if words not in done.stderr
    ] == []


def test_news_of_changed_facts_is_heard():
    assert [receiver for receiver in facts_changed.receivers if receiver[1]() is not None]
