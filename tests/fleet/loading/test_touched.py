"""A load asks to have reckoned what it touched: a few units at once, a run over many, or everything."""

from __future__ import annotations

import pytest

from equipment.models import Unit
from scheduling.models import DueItem, RecomputeRun
from scheduling.programme.reads import work_entries
from scheduling.reckoning import recompute

from .ground import GROUND, UNIT, units

PROGRAMME = {
    "Works": [["Code", "Name"], ["WGH", "Weight check"]],
    "Programmes": [["Code", "Name", "Revision", "Govern spares"], ["MP", "Programme", "1", "yes"]],
    "Limits": [
        [
            "Programme",
            "Limit",
            "Revision",
            "Title",
            "Work",
            "Subject",
            "Document",
            "Document revision",
            "Kind",
        ],
        ["MP", "WGT", "1", "Weight check", "WGH", "each unit", "CMM", "1", "SLIDE"],
    ],
    "Clocks": [
        [
            "Programme",
            "Limit",
            "Revision",
            "Clock",
            "Measure",
            "Amount",
            "Counts from",
            "First from",
        ],
        ["MP", "WGT", "1", 1, "months", 24, "last done", "manufacture"],
    ],
}
HEAD = [*UNIT, "Manufactured on"]


def made(*serials):
    return {"Units": [HEAD, *(["QMK", "QS-1", serial, "2026-01-15"] for serial in serials)]}


@pytest.fixture
def ground(bring):
    assert bring(GROUND).is_clean
    said = bring(PROGRAMME)
    assert said.is_clean, [f.message for s in said.sheets for f in s.findings]


def runs():
    """The units that each run asked for lists, None for everything."""
    return list(RecomputeRun.objects.order_by("pk").values_list("unit_ids", flat=True))


def test_a_limit_asks_for_everything(ground):
    assert runs()[-1] is None


def test_a_few_units_are_reckoned_with_the_load_and_no_run_is_asked_for(ground, bring):
    before = runs()

    bring(made("A1", "A2"))
    works = [[*UNIT, "Work", "Done on"], ["QMK", "QS-1", "A1", "WGH", "2026-06-01"]]
    bring({"Works done": works})

    assert runs() == before
    due = {i.unit.serial_number: i.due_on for i in DueItem.objects.select_related("unit")}
    assert {serial: f"{on}" for serial, on in due.items()} == {
        "A1": "2028-06-01",
        "A2": "2028-01-15",
    }


def test_readings_and_rates_ask_for_no_run_over_everything(ground, bring):
    before = runs()

    bring(
        {
            "Readings": [["Aircraft", "Read on", "Hours"], ["Q-ONE", "2026-11-01", 100]],
            "Planned rates": [
                ["Aircraft", "Measure", "From", "Per day"],
                ["Q-ONE", "FH", "2026-11-01", "8:30"],
            ],
        }
    )

    assert runs() == before


def test_many_units_are_a_run_over_them_and_most_of_a_fleet_one_over_everything(
    ground, bring, monkeypatch
):
    bring(made(*(f"S{number}" for number in range(100))))
    monkeypatch.setattr(recompute, "MOST_AT_ONCE", 2)

    bring(made("B1", "B2", "B3"))
    few = runs()[-1]
    bring(made(*(f"C{number}" for number in range(50))))

    assert few is not None and len(few) == 3
    assert runs()[-1] is None


def test_a_load_of_known_lines_asks_for_nothing(ground, bring):
    bring(units("A1"))
    before = runs()

    bring(units("A1"))

    assert runs() == before


def test_works_of_which_nobody_is_named_count_and_are_said_to_name_nobody(ground, bring):
    """A sheet brings what was done before, by whoever it was: one word for all such lines, and the history's own."""
    bring(made("A1", "A2", "A3"))
    head = [*UNIT, "Work", "Done on", "Who", "Document"]
    rows = [
        ["QMK", "QS-1", "A1", "WGH", "2026-06-01", "", ""],
        ["QMK", "QS-1", "A2", "WGH", "2026-06-02", "Lee Shore", ""],
        ["QMK", "QS-1", "A3", "WGH", "2026-06-03", "Lee Shore", "WO 7"],
    ]

    [sheet] = bring({"Works done": [head, *rows]}).sheets

    [word] = [each for each in sheet.findings if each.code == "work_not_shown"]
    assert word.is_warning and word.message.startswith("2 lines name nobody")
    history = {
        unit.serial_number: " ".join(" ".join(each.details) for each in work_entries([unit.pk]))
        for unit in Unit.objects.all()
    }
    assert "nobody is named who did it, no paper is named" in history["A1"]
    assert "nobody is named" not in history["A2"] and "no paper is named" in history["A2"]
    assert "is named" not in history["A3"]
