"""Every line ends accepted, refused with its reason and cell, or already known."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from equipment.models import LifeStatement, Movement, Unit, UnitMerge
from fleet.house.desks import AUDITOR, STORES
from fleet.house.refusals import Refused
from fleet.models import Aircraft, AircraftPosition, Station, UtilisationReading

from .ground import GROUND, UNIT, units


def refusals(result):
    return {
        (sheet.sheet, found.cell): (found.code, found.message)
        for sheet in result.sheets
        for found in sheet.findings
        if not found.is_warning
    }


def codes(result):
    return sorted(code for code, _ in refusals(result).values())


def counts(result):
    return result.accepted, result.refused, result.known


@pytest.fixture
def ground(bring):
    assert refusals(bring(GROUND)) == {}


def test_the_same_file_twice_changes_nothing(ground, bring):
    again = bring(GROUND)

    assert again.accepted == again.refused == 0
    assert again.known > 0


def test_lower_case_serials_and_makers_by_alias_are_one_unit(ground, bring):
    sheets = {"Units": [UNIT, ["quarrel ltd", "qs-1", " ab12 "], ["QMK", "QS-1", "AB12"]]}

    assert counts(bring(sheets)) == (1, 0, 1)
    assert Unit.objects.get().serial_number == "AB12"


def test_good_lines_stand_beside_refused_ones(ground, bring):
    result = bring(
        {"Units": [UNIT, ["QMK", "QS-1", "A1"], ["QMK", "QS-9", "A2"], ["QMK", "QS-1", ""]]}
    )

    assert counts(result) == (1, 2, 0)
    assert refusals(result)["Units", "B3"][0] == "unknown_part_number"
    assert "Did you mean 'QS-1'" in refusals(result)["Units", "B3"][1]
    assert refusals(result)["Units", "C4"][0] == "missing"


def test_all_or_nothing_takes_all_back(ground, bring):
    sheets = {"Units": [UNIT, ["QMK", "QS-1", "A1"], ["QMK", "QS-9", "A2"]]}

    result = bring(sheets, keep=lambda result: result.is_clean)

    assert not result.is_applied
    assert not Unit.objects.exists()


def test_a_refused_line_refuses_what_hangs_on_it(bring):
    sheets = {**GROUND, "Kinds": [["Code", "Name"], ["SLIDE", ""], ["BOTTLE", "Bottle"]]}

    found = refusals(bring(sheets))

    assert found["Kinds", "B2"][0] == "missing"
    assert found["Part numbers", "D2"][0] == "unknown_kind"
    assert ("Part numbers", "D3") not in found


def test_two_lines_that_contradict_each_other_name_each_other(ground, bring):
    sheets = {
        "Units": [[*UNIT, "Note"], ["QMK", "QS-1", "A1", "one"], ["QMK", "QS-1", "A1", "other"]]
    }

    result = bring(sheets)

    assert codes(result) == ["contradicts_line"]
    assert "Row 2" in next(iter(refusals(result).values()))[1]


def test_another_value_than_on_record_is_refused_and_not_written_over(ground, bring):
    heading = [*UNIT, "Manufactured on"]
    bring({"Units": [heading, ["QMK", "QS-1", "A1", "02/2021"]]})

    result = bring({"Units": [heading, ["QMK", "QS-1", "A1", "03/2021"]]})

    assert refusals(result)["Units", "D2"][0] == "differs_from_record"
    assert Unit.objects.get().manufactured_on == dt.date(2021, 2, 1)
    assert Unit.objects.get().manufactured_precision == "month"


def test_a_stations_name_may_be_put_right_by_a_load(ground, bring):
    result = bring(
        {"Stations": [["Code", "Name", "Time zone"], ["QST", "New name", "America/Halifax"]]}
    )

    assert counts(result) == (1, 0, 0)
    assert Station.objects.get().name == "New name"


def test_serials_that_look_alike_are_warned_of_and_taken(ground, bring):
    result = bring(units("AO1", "A01"))

    assert counts(result) == (2, 0, 0)
    assert [f.code for s in result.sheets for f in s.findings] == ["looks_alike"]


def test_an_aircraft_gets_every_position_of_its_layout(ground):
    assert AircraftPosition.objects.get().aircraft.registration == "Q-ONE"


def test_the_latest_status_as_of_today_is_the_aircrafts(ground, bring):
    heading = ["Aircraft", "From", "Status"]
    rows = [["Q-ONE", "2026-01-05", "parked"], ["Q-ONE", "2027-01-05", "in check"]]

    bring({"Aircraft status": [heading, *rows]})

    assert Aircraft.objects.get().status == "parked"


def test_a_reading_of_a_day_is_the_end_of_that_day_at_the_station(ground, bring):
    bring({"Readings": [["Aircraft", "Read on", "Hours"], ["Q-ONE", "2026-11-01", "12345:30"]]})

    reading = UtilisationReading.objects.get()
    assert reading.total == 12345 * 60 + 30
    assert reading.read_at == dt.datetime(2026, 11, 2, 3, 59, 59, 999999, tzinfo=dt.UTC)


def test_a_reading_that_stands_is_replaced_only_by_a_marked_correction(ground, bring):
    heading = ["Aircraft", "Read on", "Hours", "Correction"]
    first = {"Readings": [heading, ["Q-ONE", "2026-11-01", 100, ""]]}
    bring(first)

    other = bring({"Readings": [heading, ["Q-ONE", "2026-11-01", 90, ""]]})
    marked = bring({"Readings": [heading, ["Q-ONE", "2026-11-01", 90, "yes"]]})

    assert codes(other) == ["reading_stands"]
    assert counts(marked) == (1, 0, 0)
    assert counts(bring(first)) == (0, 0, 1)
    assert UtilisationReading.objects.filter(corrected_by=None).get().total == 90 * 60


def test_a_reading_that_runs_backwards_is_taken_and_counted_by_nobody(ground, bring):
    rows = [["Q-ONE", "2026-11-01", 100], ["Q-ONE", "2026-11-02", 50]]

    result = bring({"Readings": [["Aircraft", "Read on", "Hours"], *rows]})

    assert counts(result) == (2, 0, 0)
    assert list(
        UtilisationReading.objects.order_by("pk").values_list("is_conforming", flat=True)
    ) == [True, False]


def test_hours_that_nobody_believes_are_questioned_at_their_cell_and_taken_once_confirmed(
    ground, bring
):
    heading = ["Aircraft", "Read on", "Hours", "Confirmed"]
    rows = [
        ["Q-ONE", "2026-11-01", 100, ""],
        ["Q-ONE", "2026-11-02", "99999:00", ""],
        ["Q-ONE", "2026-11-03", 109, ""],
    ]

    asked = bring({"Readings": [heading, *rows]})
    confirmed = bring({"Readings": [heading, ["Q-ONE", "2026-11-04", "99999:00", "yes"]]})

    assert codes(asked) == ["total_questioned"]
    [finding] = asked.sheets[0].findings
    assert finding.cell == "C3"
    assert "write yes under 'Confirmed'" in finding.message
    assert codes(confirmed) == []


def test_a_total_that_runs_backwards_says_so_at_its_cell_before_it_is_taken(ground, bring):
    rows = [["Q-ONE", "2026-11-01", 100], ["Q-ONE", "2026-11-02", 50]]

    result = bring({"Readings": [["Aircraft", "Read on", "Hours"], *rows]})

    [finding] = result.sheets[0].findings
    assert (finding.cell, finding.code, finding.is_warning) == ("C3", "total_runs_backwards", True)
    assert "100:00 h read on 1 Nov 2026" in finding.message
    assert "counted by nobody" in finding.message


MOVED = [*UNIT, "Movement", "Happened on", "To", "Aircraft", "Position", "Station"]


def moved(serial, what, on, *to):
    return ["QMK", "QS-1", serial, what, on, *to]


def test_movements_that_contradict_the_records_are_refused_with_what_hangs_on_them(ground, bring):
    bring(units("A1", "A2"))
    rows = [
        moved("A1", "received", "2024-01-05", "store", "", "", "QST"),
        moved("A1", "installed", "2024-01-06", "aircraft", "Q-ONE", "D1L"),
        moved("A2", "received", "2024-01-05", "store", "", "", "QST"),
        moved("A2", "installed", "2024-02-06", "aircraft", "Q-ONE", "D1L"),
    ]

    result = bring({"Movements": [MOVED, *rows]})

    assert counts(result) == (3, 1, 0)
    assert codes(result) == ["position_full"]
    assert Unit.objects.get(serial_number="A1").aircraft.registration == "Q-ONE"
    assert counts(bring({"Movements": [MOVED, *rows]})) == (0, 1, 3)


def test_a_movement_is_replaced_and_annulled_by_sheets(ground, bring):
    bring(units("A1"))
    rows = [
        moved("A1", "received", "2024-01-05", "store", "", "", "QST"),
        moved("A1", "installed", "2024-01-06", "aircraft", "Q-ONE", "D1L"),
    ]
    bring({"Movements": [MOVED, *rows]})
    later = {
        "Movements": [
            [*MOVED, "Replaces on", "Replaces movement"],
            [
                *moved("A1", "installed", "2024-01-09", "aircraft", "Q-ONE", "D1L", ""),
                "2024-01-06",
                "installed",
            ],
        ]
    }
    never = {
        "Annulments": [
            [*UNIT, "On", "Movement", "Reason"],
            ["QMK", "QS-1", "A1", "2024-01-09", "installed", "Other door"],
        ]
    }

    assert counts(bring(later)) == (1, 0, 0)
    assert counts(bring(later)) == (0, 0, 1)
    assert counts(bring(never)) == (1, 0, 0)
    assert counts(bring(never)) == (0, 0, 1)
    assert Unit.objects.get().place.sort == "store"
    assert Movement.objects.count() == 3


def test_two_units_are_joined_by_a_sheet(ground, bring):
    bring(units("A1", "A1X"))
    heading = [*UNIT, "Absorbed maker", "Absorbed part number", "Absorbed serial number", "Reason"]
    sheets = {
        "Merges": [heading, ["QMK", "QS-1", "A1", "QMK", "QS-1", "A1X", "One plate, read twice"]]
    }

    assert counts(bring(sheets)) == (1, 0, 0)
    assert counts(bring(sheets)) == (0, 0, 1)
    assert UnitMerge.objects.get().absorbed.serial_number == "A1X"


def test_a_sighting_is_taken_once(ground, bring):
    heading = ["Seen on", "Aircraft", "Position", "Part number read", "Serial number read"]
    sheets = {"Sightings": [heading, ["2026-11-20 10:15", "Q-ONE", "D1L", "QS-1", "Z9"]]}

    assert counts(bring(sheets)) == (1, 0, 0)
    assert counts(bring(sheets)) == (0, 0, 1)


def test_a_life_statement_is_corrected_by_a_marked_line(ground, bring):
    bring(units("A1"))
    heading = [*UNIT, "Measure", "Stated on", "Total", "Source", "Quality", "Correction"]

    def line(total, correction=""):
        cells = [
            "QMK",
            "QS-1",
            "A1",
            "FH",
            "2024-01-31",
            total,
            "C 1",
            "on a certificate",
            correction,
        ]
        return {"Life statements": [heading, cells]}

    bring(line("8100:00"))

    assert codes(bring(line("8000:00"))) == ["statement_stands"]
    assert counts(bring(line("8000:00", "yes"))) == (1, 0, 0)
    assert counts(bring(line("8100:00"))) == (0, 0, 1)
    assert LifeStatement.objects.get(corrected_by=None).total == 8000 * 60


def test_who_may_not_load_is_refused_and_who_may_not_do_an_act_has_its_sheet_refused(
    ground, bring, bringing
):
    bringing.by.roles = [AUDITOR]
    with pytest.raises(Refused) as refused:
        bring(units("A1"))
    bringing.by.roles = [STORES, "administrator"]
    rates = {
        "Checks": [
            ["Aircraft", "Name", "Starts on", "Ends on", "Station"],
            ["Q-ONE", "A1", "2027-01-01", "2027-01-02", "QST"],
        ]
    }

    assert refused.value.code == "not_permitted"
    assert codes(bring(rates)) == ["not_permitted"]


def test_a_load_asks_as_often_for_many_lines_as_for_few(ground, bring):
    bring(units("ONE"))

    with CaptureQueriesContext(connection) as few:
        bring(units(*(f"F{i}" for i in range(5))))
    with CaptureQueriesContext(connection) as many:
        bring(units(*(f"M{i}" for i in range(500))))

    assert len(many) == len(few)
