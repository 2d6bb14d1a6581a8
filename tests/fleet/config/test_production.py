"""What may not be served to others is refused, with what to do; what is fit is not."""

from __future__ import annotations

import subprocess
import sys

import pytest
from django.core import checks
from django.core.management import call_command

from demo_fixtures.people import PASSWORD
from fleet.config.private import Unusable
from fleet.config.serving import production
from fleet.models import User
from tests.fleet.config.installation import ROOT, Installation

STRONG = "k3H-9vTqLw2ZxRb7Np4YsUe6JmCa8DfGh5Vt1Qo0Wi_XzBnMrKy"
FIT = {
    "HTTPS": "1",
    "SECRET_KEY": STRONG,
    "DATABASE_URL": "postgresql://a@h/g",
    "OWNER_DATABASE_URL": "postgresql://o@h/g",
}
UNFIT = [
    ({"DEBUG": "1"}, "DEBUG is on"),
    ({"DEMO": "1"}, "DEMO asks for the demonstration"),
    ({"SECRET_KEY": ""}, "SECRET_KEY is weak"),
    ({"SECRET_KEY": "x"}, "SECRET_KEY is weak"),
    ({"SECRET_KEY": "ab" * 40}, "SECRET_KEY is weak"),
    ({"OWNER_DATABASE_URL": ""}, "DATABASE_URL names one account alone"),
]


@pytest.mark.parametrize("hosts", ["green.example", "127.0.0.1, green.example", "10.0.0.7", "*"])
def test_a_name_of_another_machine_means_production(hosts):
    assert production.is_meant({"ALLOWED_HOSTS": hosts})


@pytest.mark.parametrize("hosts", ["", "localhost", "127.0.0.1,[::1],localhost"])
def test_this_machine_alone_does_not(hosts):
    assert not production.is_meant({"ALLOWED_HOSTS": hosts})
    assert production.shows_demonstration({"ALLOWED_HOSTS": hosts})


def test_what_is_fit_is_served_without_the_demonstration():
    assert list(production.faults(FIT)) == []
    assert not production.shows_demonstration(FIT)


@pytest.mark.parametrize(("more", "words"), UNFIT)
def test_what_is_unfit_is_named_with_its_cure(more, words):
    [(what, cure)] = production.faults({**FIT, **more})

    assert what.startswith(words)
    assert cure.endswith(".")


@pytest.mark.slow
@pytest.mark.parametrize(("more", "words"), [UNFIT[0], UNFIT[1], UNFIT[3], UNFIT[5]])
def test_a_run_does_not_start_and_makes_nothing(tmp_path, more, words):
    elsewhere = Installation(tmp_path / "data")
    told = {"HTTPS": "1", "DEMO": "0", "DATABASE_URL": "postgresql://a:pw@127.0.0.1:1/g"}
    told["OWNER_DATABASE_URL"] = "postgresql://o:pw@127.0.0.1:1/g"
    run = elsewhere.start(**{**told, **more})

    printed = run.communicate(timeout=60)[0]

    assert run.returncode == 1
    assert words in printed
    assert not (elsewhere.data / "log").exists()


@pytest.mark.django_db
def test_people_of_the_demonstration_are_refused_until_none_can_sign_in(monkeypatch):
    person = User.objects.create_user(username="stores", password=PASSWORD)
    User.objects.create_user(username="inspector", password="another-one-of-their-own")
    monkeypatch.setattr(production, "is_meant", lambda *_: True)
    monkeypatch.setattr(production, "faults", lambda *_: [])

    with pytest.raises(Unusable, match="public password: stores"):
        call_command("refuse_unsafe")
    found = checks.run_checks(include_deployment_checks=True, databases=["default"])
    assert any("public password: stores" in each.msg for each in found)

    person.is_active = False
    person.save(update_fields=["is_active"])
    call_command("refuse_unsafe")


@pytest.mark.slow
def test_the_deploy_check_finds_what_the_environment_says(tmp_path):
    elsewhere = Installation(tmp_path / "data")
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    told = elsewhere.environment(HTTPS="1", DEMO="1", SECRET_KEY="short")

    answer = subprocess.run(
        command, cwd=ROOT, env=told, capture_output=True, text=True, check=False
    )

    assert answer.returncode == 1
    assert "DEMO asks for the demonstration" in answer.stderr
    assert "SECRET_KEY is weak" in answer.stderr
