"""What is open on the operator's first morning comes from a sheet: by the same act as by page and API."""

from __future__ import annotations

import pytest

from equipment.models import OpenItem, RepeatActionDone

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


# --- what is repeated meanwhile -----------------------------------------------------------------

ACTIONS = [
    "Registration",
    "Open item",
    "Found on",
    "Done on",
    "Done by",
    "Authorisation",
    "Shown by",
]
DONE = ["Q-ONE", "QMEL 25-60 rev 9", "2026-11-20", "2026-11-22", "D. Holm", "QA-117", "Log 4442"]


def test_what_was_repeated_comes_from_a_sheet_once(ground, bring):
    bring({"Open items": [HEAD, SLIDE]}, ways="day-first")

    first = bring({"Repeat actions": [ACTIONS, DONE]})
    again = bring({"Repeat actions": [ACTIONS, DONE]})

    assert refusals(first) == refusals(again) == {}
    assert again.sheets[0].known == 1
    action = RepeatActionDone.objects.get()
    assert (action.open_item.document, action.who) == ("QMEL 25-60 rev 9", "D. Holm")
    assert action.done_on.isoformat() == "2026-11-22"


def test_what_names_no_item_or_was_done_before_it_was_found_is_refused_at_its_cell(ground, bring):
    bring({"Open items": [HEAD, SLIDE, DEFECT]}, ways="day-first")
    unknown = ["Q-ONE", "QMEL 99", *DONE[2:]]
    early = [*DONE[:3], "2026-11-19", *DONE[4:]]
    none = ["Q-ONE", "QMEL 33-50 rev 9", "2026-11-21", *DONE[3:]]

    result = bring({"Repeat actions": [ACTIONS, unknown, early, none]})

    assert refusals(result) == {
        "B2": "unknown_open_item",
        "D3": "wrong_day",
        "B4": "nothing_repeated",
    }
    assert not RepeatActionDone.objects.exists()
