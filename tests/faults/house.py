"""A house at work for the loops: its people, programs that write to it, and what they were promised."""

from __future__ import annotations

import io
import json
import threading
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

import psycopg
import xlsxwriter

from fleet.config import roles
from fleet.config.postgres import Server
from tests.fleet.config.installation import Installation

AIRCRAFT = ("Q-AVEN", "Q-AVON", "Q-AVUS")
FOUNDED = """
from django.utils import timezone
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.models import Aircraft, AircraftType, Measure, Station
from fleet.people.acts.people import NewPerson, found_house
from fleet.people.acts.tokens import make_token
kim = found_house(administrator=NewPerson("kim", "Kim", "Ash", "a-long-pass-word-4", (CONTROLLER, ADMINISTRATOR)), at=timezone.now())
at = Station.objects.create(code="LYD", name="Lydmouth", time_zone="UTC")
tern = AircraftType.objects.create(code="TERN-200", name="Tern 200")
Measure.objects.get_or_create(code="FH", defaults=dict(name="Flight hours", unit="minutes", counted_on="aircraft"))
for number, name in enumerate({aircraft!r}):
    Aircraft.objects.create(registration=name, msn=str(number), aircraft_type=tern, station=at)
role = {role!r}
print("token:" + make_token(by=kim, user=kim, label="loop", role=role, at=timezone.now()).secret)
"""
LINES_OF_A_LOAD = 40


@dataclass
class House:
    """An installation with people and aircraft, and how its database is asked by its administrator.

    ``named`` is what its environment says of servers of one's own, ``admin_url`` their administrator's.
    """

    installation: Installation
    token: str = ""
    named: dict[str, str] = field(default_factory=dict)
    admin_url: str = ""

    def found(self) -> None:
        script = FOUNDED.format(aircraft=AIRCRAFT, role="controller")
        done = self.installation.manage("shell", "-c", script, **self.named)
        assert done.returncode == 0, done.stderr
        self.token = done.stdout.rpartition("token:")[2].strip()

    @property
    def server(self) -> Server:
        return Server(self.installation.data / "postgres")

    def url_of(self, role: str) -> str:
        """The database's address under one of its accounts."""
        if self.named:
            own = {
                roles.OWNER: self.named["OWNER_DATABASE_URL"],
                roles.APPLICATION: self.named["DATABASE_URL"],
            }
            return own.get(role) or self.admin_url.rpartition("/")[0] + "/greenband"
        kept = json.loads((self.installation.data / "secrets.json").read_text())
        names = {roles.OWNER: "owner_password", roles.APPLICATION: "app_password"}
        return self.server.url(role, kept[names.get(role, "admin_password")], "greenband")

    def asked(self, sql: str) -> list[tuple[Any, ...]]:
        with psycopg.connect(self.url_of("postgres"), connect_timeout=5) as opened:
            return [tuple(row) for row in opened.execute(sql).fetchall()]

    def sent(self, path: str, body: bytes, media: str, seconds: float = 20) -> tuple[int, Any]:
        """The status and body of a POST; status 0 when no answer came."""
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.installation.port}{path}",
            data=body,
            headers={"Authorization": f"Bearer {self.token}", "Content-Type": media},
            method="POST",
        )
        try:
            with urllib.request.urlopen(request, timeout=seconds) as answer:
                return answer.status, json.loads(answer.read())
        except urllib.error.HTTPError as refused:
            return refused.code, None
        except (OSError, ValueError, EOFError):
            return 0, None
        except Exception as torn:  # http.client's own, of an answer that ended in the middle
            if type(torn).__module__ != "http.client":
                raise
            return 0, None


def reading(number: int, act_id: str) -> bytes:
    day = date(2000, 1, 1) + timedelta(days=number)
    body = {
        "act_id": act_id,
        "measure": "FH",
        "read_on": day.isoformat(),
        "total": 1000 + number,
        "source": f"log {number}",
    }
    return json.dumps(body).encode()


def stations(number: int) -> bytes:
    kept = io.BytesIO()
    with xlsxwriter.Workbook(kept) as book:
        sheet = book.add_worksheet("stations")
        sheet.write_row(0, 0, ["code", "name", "time_zone"])
        for line in range(LINES_OF_A_LOAD):
            row = [f"Z{number:04d}{line:02d}", f"Station {number} {line}", "UTC"]
            sheet.write_row(line + 1, 0, row)
    return kept.getvalue()


@dataclass
class Promised:
    """What was acknowledged, and what was not answered the first time and sent again."""

    readings: set[str] = field(default_factory=set)
    loads: set[str] = field(default_factory=set)
    sent_again: int = 0


@dataclass
class Writers:
    """Programs that write until they are told to stop: readings of each aircraft, and loads of sheets."""

    house: House
    promised: Promised = field(default_factory=Promised)
    stop: threading.Event = field(default_factory=threading.Event)
    threads: list[threading.Thread] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def begin(self) -> None:
        tasks = [(self._readings, name) for name in AIRCRAFT] + [(self._loads, "")]
        self.threads = [threading.Thread(target=do, args=(name,)) for do, name in tasks]
        for thread in self.threads:
            thread.start()

    def end(self) -> None:
        """Each finishes what it has begun: what was sent is sent until it is answered."""
        self.stop.set()
        for thread in self.threads:
            thread.join(timeout=120)
        assert not [thread for thread in self.threads if thread.is_alive()]
        assert self.faults == []

    def _readings(self, aircraft: str) -> None:
        number = 0
        while not self.stop.is_set():
            act_id, number = str(uuid4()), number + 1
            path, body = f"/api/v1/aircraft/{aircraft}/readings", reading(number, act_id)
            if self._insisted(path, body, "application/json"):
                self.promised.readings.add(act_id)

    def _loads(self, _: str) -> None:
        number, limit = 0, uuid4().hex
        while not self.stop.wait(0.5):
            number += 1
            parts = (
                f'--{limit}\r\nContent-Disposition: form-data; name="mode"\r\n\r\nall_or_nothing\r\n'
                f'--{limit}\r\nContent-Disposition: form-data; name="files"; filename="s.xlsx"\r\n'
                "Content-Type: application/octet-stream\r\n\r\n"
            )
            body = parts.encode() + stations(number) + f"\r\n--{limit}--\r\n".encode()
            told = self._insisted("/api/v1/loads", body, f"multipart/form-data; boundary={limit}")
            if told:
                self.promised.loads.add(told["key"])

    def _insisted(self, path: str, body: bytes, media: str) -> Any:
        for tries in range(400):
            status, told = self.house.sent(path, body, media)
            if status in {200, 201}:
                return told
            if 400 <= status < 500:
                self.faults.append(f"{path}: {status}")
                return None
            self.promised.sent_again += tries == 0
            self.stop.wait(0.2) if not self.stop.is_set() else threading.Event().wait(0.2)
        self.faults.append(f"{path}: never answered")
        return None
