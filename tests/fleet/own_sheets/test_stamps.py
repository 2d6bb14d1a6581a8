"""What a sheet says is stamped on a cylinder is its stamp, and what contradicts it is a suspicion."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import pytest

from fleet.intake.files import RawSheet
from fleet.intake.stamps import Stamp
from fleet.own_sheets.gathered import Line, OnRecord
from fleet.own_sheets.house import House
from fleet.own_sheets.lines import lines_of
from fleet.own_sheets.said import Said
from fleet.own_sheets.whole import Understood, understood
from scheduling.answers.stamps import stamp_is_told

from .arrivals import BOOKS
from .books import DAY, Rows, later, on
from .strangers import cylinders

HEADS = [
    "A/C",
    "POS",
    "ITEM",
    "P/N",
    "S/N",
    "SPEC",
    "SERVICE PRESSURE",
    "TEST PRESSURE",
    "MARKS",
    "RIN",
]
HEADS += ["LAST HYDRO", "NEXT HYDRO"]


def read(sheets: dict[str, Rows], said: Said | None = None) -> tuple[Understood, House]:
    house = House(tell_stamp=stamp_is_told)
    raws = [RawSheet(name, rows) for name, rows in sheets.items()]
    return understood(raws, said or Said(station="QMB", type="T"), house, DAY), house


def lines(
    sheets: dict[str, Rows], said: Said | None = None, record: OnRecord | None = None
) -> dict[str, list[Line]]:
    said = said or Said(station="QMB", type="T")
    whole, house = read(sheets, said)
    return lines_of(
        whole.taken,
        whole.sheets,
        whole.added,
        day=DAY,
        house=house,
        said=said,
        record=record or OnRecord(),
    )


def of_one(*cells: object) -> dict[str, Rows]:
    line = ["Q-ABA", "FWD GALLEY", "OXYGEN CYL", "OX-1", "1001", *cells]
    return {"Bottles": [HEADS, [*line, *[""] * (len(HEADS) - len(line))]]}


def test_its_columns_become_a_reading_of_the_stamp_and_no_note():
    found = lines(cylinders())

    first, second = found["Cylinder markings"][:2]
    assert dict(first.values) | {"document": ""} == {
        "maker": "NOT-KNOWN",
        "part": "CY-5",
        "serial": "CY0810",
        "specification": "3HT",
        "test_pressure": "3083 psi",
        "marks": "★",
        "requalifier": "A123",
        "read_on": Stamp(DAY, "day"),
        "document": "",
    }
    assert second.values["marks"] == "+"
    assert all(line.values["note"] == "" for line in found["Units"])


def test_the_pressure_behind_a_specification_is_the_service_pressure():
    found = lines(of_one("DOT-3AA1850"))["Cylinder markings"][0].values

    assert (found["specification"], found["service_pressure"]) == ("3AA", "1850 psi")


@pytest.mark.parametrize(
    ("head", "cell", "psi"),
    [("TEST PRESS BAR", 212, "3074.8 psi"), ("TEST PRESS", 3083, "3083 psi")],
)
def test_a_pressure_has_the_unit_of_its_heading_or_the_one_that_it_can_only_be(head, cell, psi):
    rows = [["A/C", "POS", "ITEM", "P/N", "S/N", "SPEC", head, "LAST HYDRO"]]
    rows += [["Q-ABA", "GALLEY", "OXYGEN CYL", "OX-1", "1001", "3HT", cell, on(2025, 3, 1)]]

    assert lines({"B": rows})["Cylinder markings"][0].values["test_pressure"] == psi


def test_a_bare_pressure_that_may_be_psi_or_bar_is_asked_and_stays_a_note():
    sheets = of_one("3HT", "", 212)

    doubts = doubts_of(sheets)
    assert [line.cell for line in doubts["stamp_unreadable"]] == ["H2"]
    assert "psi" in doubts["stamp_unreadable"][0].says
    assert lines(sheets)["Units"][0].values["note"] == "TEST PRESSURE: 212"


def doubts_of(sheets: dict[str, Rows]) -> Mapping[str, list]:
    return {doubt.code: doubt.lines for doubt in read(sheets)[0].doubts}


@pytest.mark.parametrize(
    ("cells", "cell", "says"),
    [
        (
            ("3HT", "", "", "", "", on(2025, 3, 1), later(on(2025, 3, 1), 60)),
            "L2",
            "60 months here; for 3HT",
        ),
        (("DOT-3HT1850", "2015 psi"), "G2", "2015 psi here, 1850 psi in DOT-3HT1850"),
        (("3HT", "1850 psi", "1800 psi"), "H2", "Tested at 1800 psi"),
    ],
)
def test_what_contradicts_the_stamp_is_a_suspicion(cells, cell, says):
    found = doubts_of(of_one(*cells))["stamp_differs"]

    assert [line.cell for line in found] == [cell]
    assert says in found[0].says


def test_a_period_that_is_shorter_than_the_published_one_is_none():
    tested = on(2025, 3, 1)

    assert "stamp_differs" not in doubts_of(
        of_one("3AA", "", "", "", "", tested, later(tested, 36))
    )


@pytest.mark.parametrize(
    ("cells", "cell"), [(("3HT", "", "", "Z"), "I2"), (("3HT", "", "", "", "ACME"), "J2")]
)
def test_a_mark_or_number_that_is_none_is_a_suspicion_and_the_rest_is_kept(cells, cell):
    sheets = of_one(*cells)

    assert [line.cell for line in doubts_of(sheets)["stamp_unreadable"]] == [cell]
    assert lines(sheets)["Cylinder markings"][0].values["specification"] == "3HT"
    assert lines(sheets)["Units"][0].values["note"] != ""


def test_a_specification_of_other_equipment_stays_a_note():
    rows = [["A/C", "POS", "ITEM", "P/N", "S/N", "SPEC"]]
    rows += [["Q-ABA", "GALLEY", "FLASHLIGHT", "FL-1", "1001", "TSO-C999"]]

    found = lines({"L": rows})

    assert "Cylinder markings" not in found
    assert found["Units"][0].values["note"] == "SPEC: TSO-C999"


def test_cylinders_of_two_periods_have_a_limit_each():
    said = Said(station="QMB", type="T", months={"OXYGEN HST 3AA": "60", "OXYGEN HST 3HT": "36"})
    whole, _ = read(BOOKS["stamped"](), said)
    found = lines(BOOKS["stamped"](), said)

    added = {each.key: each for each in whole.added}
    assert (added["OXYGEN HST 3HT"].proposed, added["OXYGEN HST 3HT"].published) == ("36", 36)
    assert (added["OXYGEN HST 3AA"].proposed, added["OXYGEN HST 3AA"].published) == ("60", 60)
    rules = {line.values["limit"]: line.values for line in found["Limits"]}
    assert rules["HST-OXYGEN-3HT"]["part_numbers"] == "KO-307-03, KO-365-5"
    assert rules["HST-OXYGEN-3AA"]["serials"] == "00102, 00109, 00116, 00125"


def test_one_of_another_specification_than_its_part_number_is_a_suspicion():
    found = doubts_of(BOOKS["stamped"]())["stamp_differs"]

    assert [(line.cell, line.holds) for line in found][-1] == ("G37", "3AA")
    assert "3HT in 6 other lines" in found[0].says


def test_where_the_sheet_adds_nothing_the_published_period_is_proposed():
    rows = [
        ["A/C", "POS", "ITEM", "P/N", "S/N", "SPEC", "HYDRO INTERVAL", "LAST HYDRO", "NEXT HYDRO"]
    ]
    rows += [
        [
            "Q-ABA",
            f"{n}L",
            "OXYGEN CYL",
            "OX-1",
            f"100{n}",
            "3HT",
            "",
            on(2025, n, 3),
            on(2027, 7 + n, 19),
        ]
        for n in range(1, 4)
    ]

    added = {each.key: each for each in read({"B": rows})[0].added}

    assert added["OXYGEN HST"].proposed == "36"


def on_record(day: dt.date, **values: str) -> OnRecord:
    return OnRecord(stamps={("OX-1", "1001"): (day, values)})


def test_what_is_on_record_so_already_is_not_read_again():
    record = on_record(dt.date(2026, 1, 5), specification="3HT", requalifier="A123")

    assert "Cylinder markings" not in lines(of_one("DOT-3HT"), record=record)


def test_what_the_sheet_leaves_blank_stays_as_it_was_read():
    record = on_record(dt.date(2026, 1, 5), specification="3HT", requalifier="A123")

    found = lines(of_one("3HT", "", "3083 psi"), record=record)["Cylinder markings"][0].values

    assert (found["test_pressure"], found["requalifier"]) == ("3083 psi", "A123")


def test_a_later_reading_on_record_stands():
    record = on_record(dt.date(2026, 12, 5), specification="3AA")

    assert "Cylinder markings" not in lines(of_one("3HT"), record=record)


def test_an_expiry_without_a_date_of_manufacture_is_counted_back_only_where_somebody_says_so():
    sheets, key = BOOKS["vests_across"](), "VEST LIFE"
    said = Said(station="QMB", type="T", months={key: "120"})

    unsaid = lines(sheets, said)["Units"][0].values
    said.back[key] = "yes"
    counted = lines(sheets, said)["Units"][0].values

    assert unsaid["manufactured_on"] is None
    assert counted["manufactured_on"] == Stamp(dt.date(2018, 1, 1), "month")
    assert "counted back" in str(counted["note"])
    assert {each.key: each.undated for each in read(sheets)[0].added}[key] == 12
