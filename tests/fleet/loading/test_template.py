"""The template that is handed out loads as it stands, twice without a change."""

from __future__ import annotations

from fleet.intake.registry import kinds
from fleet.intake.template import template
from fleet.loading.run import load_files

#: Whom they name signs in at the operator's own house and nowhere else.
NAMES_PEOPLE = {"Authorisations"}


def said(result):
    return [(s.sheet, f.cell, f.code, f.message) for s in result.sheets for f in s.findings]


def test_the_worked_example_loads_whole_and_a_second_time_changes_nothing(bringing, tmp_path):
    path = tmp_path / "template.xlsx"
    path.write_bytes(template())

    first = load_files([(path, "template.xlsx")], bringing, keep=lambda result: result.is_clean)
    second = load_files([(path, "template.xlsx")], bringing, keep=lambda result: result.is_clean)

    assert said(first) == []
    assert first.is_applied
    assert (first.refused, first.known) == (0, 0)
    assert said(second) == []
    assert (second.accepted, second.refused, second.known) == (0, 0, first.accepted)


def test_every_kind_of_sheet_has_an_example_as_wide_as_its_columns():
    for kind in kinds():
        assert kind.example or kind.name in NAMES_PEOPLE, kind.name
        assert all(len(line) <= len(kind.columns) for line in kind.example), kind.name
        assert kind.purpose.endswith("."), kind.name
