"""How far a load is moves inside a sheet, while it is read and judged and while it is applied."""

from __future__ import annotations

import io

import pytest
from django.core.management import call_command

from fleet.house import pace
from fleet.house.desks import ADMINISTRATOR, CONTROLLER
from fleet.loading import work
from fleet.loading.acts import bring_in
from fleet.loading.acts.loads import bring_load
from fleet.loading.work import work_on
from fleet.management.commands import load_sheets
from fleet.models import Load, User
from fleet.utilisation.acts import readings as utilisation

from .conftest import NOW
from .ground import GROUND, UNIT, units

LINES = 400


def shown_of(path, by, **options):
    """What was shown of a load while it was worked on."""
    seen = []
    load = bring_load(by=by, files=[(path.name, [path.read_bytes()])], at=NOW, **options)
    work_on(
        load_id=load.pk, now=lambda: NOW, today=NOW.date(), also_show=lambda *it: seen.append(it)
    )
    return seen


@pytest.fixture
def in_pieces(monkeypatch):
    """Sheets of 400 lines are written as those of 100,000 are: in pieces."""
    monkeypatch.setattr(bring_in, "ROWS_A_WRITE", 50)
    monkeypatch.setattr(utilisation, "AT_ONCE", 50)


@pytest.mark.parametrize("mode", ["", Load.GOOD_LINES])
def test_a_big_sheet_moves_while_it_is_read_and_while_it_is_worked_through(
    controller, workbook, in_pieces, mode
):
    shown_of(workbook(GROUND), controller, mode=Load.GOOD_LINES)

    seen = shown_of(workbook(units(*range(1, LINES + 1))), controller, mode=mode)

    reading = [done for done, total, words in seen if words == "Sheet 'Units': reading"]
    writing = [done for done, total, words in seen if words == "Sheet 'Units': writing"]
    assert len(set(reading)) >= 5 and reading == sorted(reading)
    assert len(set(writing)) >= LINES // 50 and writing == sorted(writing)
    assert all(done <= total for done, total, _ in seen if total)


def test_movements_and_readings_move_inside_their_sheets_too(controller, workbook, in_pieces):
    shown_of(workbook({**GROUND, **units("A1")}), controller, mode=Load.GOOD_LINES)
    head = [*UNIT, "Movement", "Happened on", "To", "Station"]
    moved = ["QMK", "QS-1", "A1", "received", "2024-01-05", "store", "QST"]
    read = [["Q-ONE", f"2026-{1 + i // 25:02d}-{1 + i % 25:02d}", i] for i in range(250)]
    sheets = {"Movements": [head, moved], "Readings": [["Aircraft", "Read on", "Cycles"], *read]}

    seen = shown_of(workbook(sheets), controller, mode=Load.GOOD_LINES)

    words = {words for _, _, words in seen}
    assert "Sheet 'Movements': judging each line against the records" in words
    assert "Sheet 'Movements': working out where each unit is" in words
    writing = {done for done, _, words in seen if words == "Sheet 'Readings': writing"}
    assert len(writing) == 5


@pytest.mark.django_db(transaction=True)
def test_another_session_sees_it_move_inside_the_sheet_meanwhile(workbook, in_pieces, monkeypatch):
    controller = User.objects.create_user("controller", roles=[CONTROLLER, ADMINISTRATOR])
    shown_of(workbook(GROUND), controller, mode=Load.GOOD_LINES)
    monkeypatch.setattr(work, "_EVERY", 0)
    path, pages = workbook(units(*range(1, LINES + 1))), []
    load = bring_load(
        by=controller, files=[(path.name, [path.read_bytes()])], at=NOW, mode=Load.GOOD_LINES
    )

    def look(done, total, words):
        # what another session, as a page's, sees of the row while the load's transaction is open
        row = Load.objects.using(work._PROGRESS).get(pk=load.pk)
        pages.append((row.progress_done, row.progress_words))

    work_on(load_id=load.pk, now=lambda: NOW, today=NOW.date(), also_show=look)

    assert len({done for done, words in pages if words.endswith("writing")}) >= 5


def test_the_command_says_how_far_it_is_beside_its_answer(controller, workbook, monkeypatch):
    monkeypatch.setattr(load_sheets, "SECONDS_BETWEEN", 0)
    said, beside = io.StringIO(), io.StringIO()

    call_command("load_sheets", str(workbook(GROUND)), stdout=said, stderr=beside)

    assert "Sheet 'Part numbers': writing, about " in beside.getvalue()
    assert "writing" not in said.getvalue()


def test_parts_of_parts_are_shares_of_the_whole():
    seen = []
    with pace.watched(lambda share, words: seen.append(round(share, 3))):
        with pace.part(0.5, 1), pace.part(0, 0.5):
            pace.reached(1, "half of the half")
        list(pace.pieces([1, 2, 3, 4], "writing", 2))
    pace.reached(1, "nobody watches")

    assert seen == [0.75, 0, 0.5]
