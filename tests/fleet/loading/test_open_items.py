"""What is open on the operator's first morning comes from a sheet: by the same act as by page and API."""

from __future__ import annotations

import pytest

from equipment.models import OpenItem

from .ground import GROUND
from .test_line_sheets import refusals

HEAD = [
    "Registration",
    "Position",
    "What is open",
    "Document",
    "Found on",
    "Last day",
    "Category",
    "Repeated meanwhile",
    "Effect",
]
SLIDE = [
    "q-one",
    "d1l ",
    "Slide removed, door not used",
    "QMEL 25-60 rev 9",
    "20/11/2026",
    "2026-11-30",
    "C",
    "Placard before each flight",
    "20 seats blocked",
]
DEFECT = [
    "Q-ONE",
    "",
    "Exit sign dim at row 12",
    "QMEL 33-50 rev 9",
    "2026-11-21",
    "2026-12-21",
    "",
    "",
    "",
]


@pytest.fixture
def ground(bring):
    assert refusals(bring(GROUND)) == {}


def test_positions_left_open_and_deferred_defects_are_on_record_once(ground, bring):
    first = bring({"Open items": [HEAD, SLIDE, DEFECT]}, ways="day-first")
    again = bring({"Open items": [HEAD, SLIDE, DEFECT, DEFECT]}, ways="day-first")

    assert refusals(first) == refusals(again) == {}
    assert (first.sheets[0].accepted, again.sheets[0].known) == (2, 3)
    slide, defect = OpenItem.objects.order_by("pk")
    assert slide.place.aircraft_position.type_position.code == "D1L"
    assert (slide.category, slide.effect) == ("C", "20 seats blocked")
    assert slide.repeat_actions == "Placard before each flight"
    assert (str(slide.found_on), str(slide.expires_on)) == ("2026-11-20", "2026-11-30")
    assert (defect.place, defect.aircraft.registration) == (None, "Q-ONE")


@pytest.mark.parametrize(
    ("changed", "cell", "code"),
    [
        ({0: "Q-TWO"}, "A2", "unknown_aircraft"),
        ({1: "D9R"}, "B2", "unknown_position"),
        ({2: ""}, "C2", "missing"),
        ({3: ""}, "D2", "missing"),
        ({5: "2026-11-19"}, "F2", "an_open_item_lasts_at_least_a_day"),
        ({4: "2027-11-20", 5: "2027-11-30"}, "E2", "in_the_future"),
        ({6: "CATEGORY C"}, "G2", "too_long"),
        ({6: "E"}, "G2", "unknown_category"),
        ({5: "2026-12-01"}, "F2", "beyond_category"),
    ],
)
def test_what_cannot_stand_is_refused_at_its_cell(ground, bring, changed, cell, code):
    line = [changed.get(at, value) for at, value in enumerate(SLIDE)]

    result = bring({"Open items": [HEAD, line]}, ways="day-first")

    assert refusals(result) == {cell: code}
    assert not OpenItem.objects.exists()


def test_a_position_is_open_by_one_document_at_a_time(ground, bring):
    other = [*SLIDE[:3], "QMEL 25-61 rev 9", *SLIDE[4:]]

    result = bring({"Open items": [HEAD, SLIDE, other]}, ways="day-first")

    assert refusals(result) == {"B3": "open_already"}
    assert OpenItem.objects.count() == 1
