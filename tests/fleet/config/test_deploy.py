"""What is shipped for service managers and containers is read by them, and each process of it really starts."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import psutil
import psycopg
import pytest
import yaml

from fleet.config import postgres, private
from fleet.config.serving.processes import NAMES
from fleet.config.serving.start import main
from tests.fleet.config.installation import ROOT, Installation

DEPLOY = ROOT / "fleet" / "config" / "deploy"
UNITS = sorted(DEPLOY.glob("*.service"))
SHIPPED, SERVED = "/opt/greenband", "/var/lib/greenband"


def settings_of(unit: Path) -> dict[str, str]:
    """The lines of a unit; of a name given twice the last."""
    lines = [line for line in unit.read_text().splitlines() if "=" in line and line[0] != "#"]
    return dict(line.split("=", 1) for line in lines)


def composed() -> dict[str, Any]:
    services: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())["services"]
    return services


# --- as they are written -------------------------------------------------------------------------


def test_there_is_a_unit_and_a_container_for_each_process():
    units = {unit.stem.removeprefix("greenband-") for unit in UNITS if "-" in unit.stem}

    assert units == {*NAMES, "prepare"}
    assert set(composed()) == {*NAMES, "prepare", "accounts", "database"}


def test_systemd_finds_no_fault(tmp_path):
    verify = shutil.which("systemd-analyze")
    if verify is None:
        pytest.skip("systemd-analyze is not on this machine")
    copies = []
    for unit in [*UNITS, DEPLOY / "greenband.target"]:
        copy = tmp_path / unit.name
        copy.write_text(
            unit.read_text().replace(SHIPPED, str(ROOT)).replace("=greenband\n", "=root\n")
        )
        copies.append(str(copy))

    told = subprocess.run(
        [verify, "verify", "--man=no", "--recursive-errors=no", *copies],
        env={**os.environ, "SYSTEMD_UNIT_PATH": f"{tmp_path}:"},
        capture_output=True,
        text=True,
        check=False,
    )

    assert (told.returncode, told.stderr + told.stdout) == (0, "")


@pytest.mark.parametrize("unit", UNITS, ids=lambda unit: unit.stem)
def test_a_unit_is_brought_back_for_ever_and_runs_as_nobody_in_particular(unit):
    told = settings_of(unit)

    assert told["Restart"] == ("on-failure" if "prepare" in unit.stem else "always")
    assert told["User"] == "greenband"
    assert told["NoNewPrivileges"] == "yes"
    assert SERVED in told["ReadWritePaths"].split()
    if told["Restart"] == "always":
        assert told["StartLimitIntervalSec"] == "0"


def test_every_file_that_the_image_takes_is_there():
    text = (DEPLOY / "Containerfile").read_text()
    copied = [name for line in re.findall(r"^COPY (.+)$", text, re.M) for name in line.split()[:-1]]

    assert copied
    assert [name for name in copied if not (ROOT / name).exists()] == []


def test_every_container_waits_for_what_it_needs():
    waits = {name: set(service.get("depends_on", ())) for name, service in composed().items()}

    assert waits["accounts"] == {"database"} and waits["prepare"] == {"accounts"}
    assert {name: waits[name] for name in NAMES} == {name: {"prepare"} for name in NAMES}


# --- and they start ------------------------------------------------------------------------------


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Installation]:
    made = Installation(tmp_path / "data")
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            with suppress(psutil.Error):
                process.kill()


def started(house: Installation, lines: dict[str, list[str]], told: dict[str, str]) -> None:
    """Every process by its own command, as a service manager would; what is done once before them."""
    environment = house.environment(**told)
    once: Callable[[str], Any] = lambda name: subprocess.run(
        lines.pop(name), cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    for name in ("accounts", "prepare"):
        if name in lines:
            done = once(name)
            assert done.returncode == 0, done.stdout + done.stderr
    for name, line in lines.items():
        with (house.data.parent / f"{name}.log").open("wb") as log:
            subprocess.Popen(line, cwd=ROOT, env=environment, stdout=log, stderr=log)


def all_well(house: Installation) -> bool:
    return house.health()[0] == 200


@pytest.mark.slow
def test_each_unit_starts_and_the_house_is_well(house, a_named_server):
    application, owner = a_named_server
    lines = {
        unit.stem.removeprefix("greenband-"): shlex.split(
            settings_of(unit)["ExecStart"].replace(SHIPPED, str(ROOT))
        )
        for unit in UNITS
        if "-" in unit.stem
    }

    started(house, lines, {"DATABASE_URL": application, "OWNER_DATABASE_URL": owner})

    house.wait_for(lambda: all_well(house), seconds=90)
    assert main_as(house, "healthy") == 0


def main_as(house: Installation, name: str) -> int:
    here = subprocess.run(
        [str(ROOT / ".venv/bin/python"), "-m", "fleet.config.serving.start", name],
        cwd=ROOT,
        env=house.environment(),
        capture_output=True,
        check=False,
    )
    return here.returncode


@pytest.fixture
def a_server_to_make_accounts_on(house: Installation) -> Iterator[tuple[str, str]]:
    """An administrator's address, and the name of a database that is not there yet."""
    server, name = postgres.test_server(), f"composed_{os.getpid()}"
    # The accounts are those of every test: so are their passwords.
    house.data.mkdir()
    shutil.copy(private.made_folder() / "secrets.json", house.data)
    with postgres.running(server):
        yield server.admin_url(), name
        with psycopg.connect(server.admin_url(), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@pytest.mark.slow
def test_each_container_starts_and_the_house_is_well(house, a_server_to_make_accounts_on):
    admin, name = a_server_to_make_accounts_on
    entry = re.search(r'^ENTRYPOINT \["(.+)"\]$', (DEPLOY / "Containerfile").read_text(), re.M)
    assert entry is not None
    lines = {
        each: [*entry[1].split('", "'), *service["command"]]
        for each, service in composed().items()
        if each != "database"
    }

    started(house, lines, {"ADMIN_URL": admin, "DATABASE_NAME": name})

    house.wait_for(lambda: all_well(house), seconds=90)
    check = composed()["web"]["healthcheck"]["test"][1:]
    done = subprocess.run(
        check, cwd=ROOT, env=house.environment(), capture_output=True, check=False
    )
    assert done.returncode == 0


def test_the_private_server_is_no_service_of_its_own(monkeypatch, capsys):
    monkeypatch.delenv("DATABASE_URL", raising=False)

    assert main(["web"]) == 1
    assert "make_accounts" in capsys.readouterr().err


def test_an_unknown_process_is_named_with_those_there_are(capsys):
    assert main(["wbe"]) == 2
    told = capsys.readouterr().err
    assert all(name in told for name in (*NAMES, "prepare", "healthy"))


def test_what_is_unfit_is_not_started_by_a_unit_either(monkeypatch, capsys):
    monkeypatch.setenv("DATABASE_URL", "postgresql://a:pw@127.0.0.1:1/g")
    monkeypatch.delenv("OWNER_DATABASE_URL", raising=False)

    assert main(["worker"]) == 1
    assert "one account alone" in capsys.readouterr().err
