"""What an operator counts on its aircraft beside hours and cycles keeps its own name at every door."""

from __future__ import annotations

import io
import json
from datetime import date
from uuid import uuid4

import pytest
from django.core.management import call_command

from equipment.keeping.papers import record_life_statements
from equipment.ledger.facts import LifeStatementFact
from fleet.models import Measure
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.answers import swaps
from scheduling.due import due_list as queries
from scheduling.due.exports import COLUMNS, cells
from scheduling.due.lists.filters import DueFilters
from scheduling.facts.measures import cycles_of, hours_of, other_codes
from tests import builders as build
from tests.scheduling import rules

pytestmark = pytest.mark.django_db

NAME = "landings at listed stations"


def counted(code, name, unit="count"):
    return Measure.objects.create(code=code, name=name, unit=unit, counted_on="aircraft")


def on_slide(measure, amount, **columns):
    """A slide that bore 100 of the measure in February and is fitted; 40 more were read in May."""
    kind = build.a_kind("SLIDE")
    of_type = build.an_aircraft_type("D1L-SLIDE", kind=kind)
    aircraft = rules.follows(build.an_aircraft(of_type=of_type))
    slide = build.a_unit(build.a_part(kind=kind), manufactured_on=build.day("2025-01-01"))
    build.installed(slide, build.at_position(aircraft), "2026-09-01")
    limit = rules.a_rule(
        "SLIDE-LIFE",
        rules.Runs(
            measure.code,
            [(amount, "any")],
            {"counts_from": "manufacture", "runs_out": "end_of_life", **columns},
        ),
        work="SCRAP",
        kind=kind,
    )
    state(slide, measure, 100)
    read(aircraft, measure, ("2027-02-28T12:00:00", 1_000), ("2027-05-31T12:00:00", 1_040))
    rules.reckon()
    return rules.item(limit)


def state(unit, measure, total, on=date(2027, 2, 28)):
    fact = LifeStatementFact(unit.pk, measure.pk, on, total, "log card", "certificate")
    record_life_statements(by=build.a_person("controller", "stores"), rows=[fact], at=build.NOW)


def read(aircraft, measure, *read):
    rows = [
        NewReading(aircraft.pk, measure.pk, build.instant(when), total, uuid4())
        for when, total in read
    ]
    record_readings(by=build.a_person("controller"), rows=rows, now=build.NOW)


@pytest.fixture
def landings(db):
    """Entered before the cycles, as a code comes before another."""
    made = counted("LDG", NAME)
    counted("FC", "flight cycles")
    return made


@pytest.fixture
def item(landings):
    """260 landings left, of 400."""
    return on_slide(landings, 400)


def test_the_list_has_it_under_its_own_name(item):
    (row,) = queries.due_rows(filters=DueFilters(), as_of=rules.DAY)

    assert (row.due_at_cycles, row.left_cycles) == (None, None)
    assert (row.due_at_other, row.left_other, row.other_measure) == (400, 260, NAME)
    assert row.decided_by == NAME


def test_a_file_has_it_under_its_own_name(item):
    (row,) = queries.due_rows(filters=DueFilters(), as_of=rules.DAY)

    told = dict(zip(COLUMNS, cells(row), strict=True))

    assert (told["Due at cycles"], told["Cycles remaining"]) == (None, None)
    assert told["Own measure"] == NAME
    assert (told["Due at own measure"], told["Own measure remaining"]) == (400, 260)


def commanded(**options):
    said = io.StringIO()
    call_command("due", as_of=rules.DAY, stdout=said, **options)
    return said.getvalue()


def test_the_command_says_it_by_its_name(item):
    told, table = json.loads(commanded(format="json")), commanded(format="table")

    assert (told["left_cycles"], told["left_other"], told["other_measure"]) == (None, 260, NAME)
    assert f"400 {NAME}" in table
    assert f"260 {NAME}" in table
    assert "cycles" not in table


@pytest.mark.parametrize(
    "address", ["/due/?as_of={day}&columns=at.remaining", "/due/{item}/?as_of={day}"]
)
def test_a_page_says_it_by_its_name(item, client, address):
    client.force_login(build.a_person("controller"))

    page = client.get(address.format(item=item.pk, day=rules.DAY)).content.decode()

    assert f"400 {NAME}" in page
    assert f"260 {NAME}" in page
    assert "400 cycles" not in page


def test_the_api_says_it_by_its_name(item, client):
    client.force_login(build.a_person("controller"))
    address = f"/api/v1/due-items/{item.pk}/explanation?as_of={rules.DAY}"

    told = client.get(address).json()

    assert (told["item"]["due_at_cycles"], told["item"]["left_cycles"]) == (None, None)
    assert (told["item"]["left_other"], told["item"]["other_measure"]) == (260, NAME)
    assert "cycles" not in " ".join(told["steps"])


def test_a_swap_keeps_it_by_its_name(item):
    (told,) = swaps.life_status(item.unit_id, rules.DAY)

    assert (told["used"], told["left"], told["unit"]) == ("140", "260", NAME)


def test_hours_that_are_not_flown_are_told_as_hours_by_their_name(db):
    counted("FH", "flight hours", "minutes")
    item = on_slide(counted("APU", "hours of the auxiliary power", "minutes"), 400)

    (row,) = queries.due_rows(filters=DueFilters(), as_of=rules.DAY)
    (told,) = swaps.life_status(item.unit_id, rules.DAY)

    assert (row.due_at_minutes, row.due_at_other, row.other_is_hours) == (None, 400, True)
    assert (told["used"], told["unit"]) == ("2:20", "hours of the auxiliary power")


def test_a_count_by_no_known_name_is_never_taken_for_cycles(db):
    landings, trips = counted("LDG", NAME), counted("TRIP", "Flight cycles")

    assert cycles_of([landings]) is None
    assert cycles_of([landings, trips]) == trips
    assert other_codes([landings, trips]) == {"LDG"}


def test_the_codes_of_the_sheet_of_readings_go_before_a_name(db):
    named = counted("H", "Flight hours", "minutes")
    coded = counted("FH", "block hours", "minutes")

    assert hours_of([named, coded]) == coded


def test_of_fillings_beside_landings_those_left_are_told_whichever_decides(landings):
    """Filled twice of three times; the landings, of which none are left, decide."""
    fillings = Measure.objects.create(
        code="FILL", name="fillings", unit="count", counted_on="unit", counts="filling"
    )
    item = on_slide(landings, 140)
    state(item.unit, fillings, 2)
    clock = item.limit.clocks.create(
        seq=2, measure="FILL", counts_from="manufacture", runs_out="end_of_life"
    )
    clock.amounts.create(seq=1, value=3, when="any")

    assert swaps.bottle_limits(item.unit_id, rules.DAY).fillings_left == 1
