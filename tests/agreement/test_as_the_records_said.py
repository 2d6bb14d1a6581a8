"""As the records said on a day: whatever is recorded after that day, by whichever act or sheet, changes nothing of it."""

from __future__ import annotations

import re
import uuid
from collections.abc import Sequence
from datetime import UTC, date, datetime

import pytest
from django.test import Client
from django.urls import reverse

from equipment.ledger.on_aircraft import fitted
from fleet.house.desks import ACTS, ADMINISTRATOR, CONTROLLER
from fleet.intake.registry import SheetKind, kinds
from fleet.intake.tables import table_said
from fleet.loading.batch import Batch, Bringing
from fleet.loading.run import bring_sheet
from fleet.models import Aircraft, User
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.api.swap_stage import stage_of
from tests.api.test_repeats import CONFIRMED, _acts
from tests.sweeps import by_turns

pytestmark = pytest.mark.django_db
#: The records of a world are of 2024; a program's act is recorded now, which is after this day.
KNOWN = date(2026, 6, 30)
#: Its printed head says the minute, and a question may meet the next one.
PRINTED = re.compile(r"Printed \d+ \w+ \d{4} \d\d:\d\d")
DAYS = (date(2024, 3, 3), date(2026, 3, 3), KNOWN)
ROLES = ("controller", "technician", "certifying", "stores", "administrator")
#: Doors whose examples do not stand on the stage of the other tests: what they write is of a load's.
ELSEWHERE = {
    "bring_load": "a file; its lines are brought below, sheet by sheet",
    "decide_load": "the load of a file",
}


@pytest.fixture(autouse=True)
def kept_apart(settings, tmp_path):
    settings.DATA_DIR = tmp_path


def told(known: date = KNOWN, days: Sequence[date] = DAYS) -> dict[tuple[str, date], str]:
    """The page of each aircraft on some days as the records said at the end of ``known``, and what was
    fitted."""
    client = Client()
    auditor, _ = User.objects.get_or_create(username="auditor", defaults={"roles": ["auditor"]})
    client.force_login(auditor, "django.contrib.auth.backends.ModelBackend")
    found = {}
    for aircraft in Aircraft.objects.order_by("pk"):
        for day in days:
            address = reverse("fleet:aircraft", args=[aircraft.registration])
            asked = {"at": day.isoformat(), "known_at": known.isoformat()}
            page = client.get(address, asked).content.decode()
            end = datetime.combine(known, datetime.max.time(), UTC)
            shown = page[page.find("<main") : page.find("</main")]
            found[aircraft.registration, day] = PRINTED.sub("", shown)
            found[f"{aircraft.registration} fitted", day] = str(
                fitted(aircraft.pk, day=day, known_at=end)
            )
    return found


DOORS = [door for door in _acts() if isinstance(door[4], dict) and door[0] not in ELSEWHERE]


@pytest.mark.sweep
@pytest.mark.parametrize("door", DOORS, ids=lambda door: door[0])
def test_an_act_recorded_later_is_not_what_the_records_said(door, program):  # noqa: F811
    name, act, address, _, example = door
    role = next(role for role in ROLES if role in ACTS[act])
    program(role)  # whose own the stage can make something
    ids, about = stage_of(program("technician"), address, role)
    sent = about(example, role) | CONFIRMED.get(name, {})
    days = by_turns(DAYS, DOORS.index(door), 3)
    before = told(days=days)

    answer = program(role).post(address.format(**ids), sent, format="json")

    assert answer.status_code in (200, 201), answer.content
    after = told(days=days)
    assert {key: after[key] for key in before} == before


def test_the_page_of_a_day_says_what_was_recorded_by_then():
    """Or the question above would be asked of empty pages."""
    aircraft, slide = build.an_aircraft("D1L-SLIDE"), build.a_unit(serial_number="SLIDE1")
    early = build.instant("2024-03-02 18:00")
    build.installed(slide, build.at_position(aircraft), "2024-03-02", at=early)

    assert "SLIDE1" in told()[aircraft.registration, DAYS[0]]
    assert "SLIDE1" not in told(date(2024, 3, 1))[aircraft.registration, DAYS[0]]


# --- sheets -----------------------------------------------------------------------------------------

#: What a house is: its registers, which have no time of recording. All else is a fact, or a rule.
REGISTERS = 50
BY_THEN = datetime(2026, 1, 5, 8, tzinfo=UTC)
LATER = datetime(2026, 11, 25, 8, tzinfo=UTC)


def brought(by: User, some: list[SheetKind], at: datetime) -> None:
    """The worked examples of these sheets, each in a load of its own moment."""
    for kind in some:
        lines = [
            {column.field: cell for column, cell in zip(kind.columns, line, strict=False)}
            for line in kind.example
        ]
        batch = Batch(
            table_said(kind, lines), Bringing(by=by, at=at, today=at.date(), key=uuid.uuid4())
        )
        bring_sheet(batch)
        for act in batch.bringing.later.values():
            act()
        refused = [found for found in batch.findings if not found.is_warning]
        assert not refused, (kind.name, refused)


def test_no_sheet_brought_later_is_what_the_records_said():
    by = User.objects.create_user("loader", roles=[CONTROLLER, ADMINISTRATOR])
    sheets = [kind for kind in kinds() if kind.example]
    registers = [kind for kind in sheets if kind.order < REGISTERS]
    facts = [kind for kind in sheets if kind.order >= REGISTERS]
    brought(by, registers, BY_THEN)
    before = told()
    assert len(facts) > 20
    assert len(before) > 3

    changed = {}
    for kind in facts:
        brought(by, [kind], LATER)
        now = told()
        if different := [key for key in before if now[key] != before[key]]:
            changed[kind.name] = different
            before |= {key: now[key] for key in before}

    assert changed == {}
