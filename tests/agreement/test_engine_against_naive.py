"""The engine in columns and a second reckoning, one unit and one day at a time, say the same."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

from fleet.words.said import day_words
from scheduling.engine.basis.bands import Band, band_of
from scheduling.engine.basis.columns import UNKNOWN
from scheduling.engine.basis.result import Due, Missing, State, missing_words
from scheduling.engine.clocks.ahead import asked_from, governing, together
from scheduling.engine.clocks.due import reckon
from scheduling.engine.telling.explain import explain
from scheduling.engine.totals.due import column_of
from tests.agreement.generated import AS_OF, Case, cases, columns_of
from tests.agreement.naive import Reckoning, band, with_later
from tests.sweeps import many


def plain(value: Any) -> Any:
    return None if np.isnat(value) else value.item()


def engines_answer(due: Any, row: int) -> dict[str, Any]:
    names = {fact.name for fact in Missing if due.missing[row] & fact}
    answer = {
        "state": State(due.state[row]).name,
        "missing": names,
        "past": bool(due.is_past[row]),
    }
    if answer["state"] == "NO_BASIS":
        answer["worst_on"] = plain(due.worst_on[row])
    if answer["state"] == "RECKONED":
        answer |= {
            "due_on": plain(due.due_on[row]),
            "decided_by": int(due.decided_by[row]),
            "start_on": plain(due.start_on[row]),
            "projected": bool(due.due_on_projected[row]),
            "within": bool(due.within_variation[row]),
        }
    return answer


def naive_answer(case: Case) -> tuple[dict[str, Any], str, dict[int, int | None], str]:
    """As :func:`engines_answer`, its band, what it is due at, and which revision decides."""
    reckoning = Reckoning(case.limit, case.unit, case.aircraft, case.work, AS_OF)
    answers = [(None, reckoning.answer() | {"revision": case.limit.revision})]
    for day, limit in case.later:
        later = Reckoning(limit, case.unit, case.aircraft, case.work, AS_OF).answer()
        answers.append((day, later | {"revision": limit.revision}))
    answer = with_later(answers, AS_OF)
    totals, revision = answer.pop("due_at", {}), answer.pop("revision")
    return answer, band(reckoning, answer), totals, revision


def due_at_of(due: Any, row: int, facts: Any, case: Case) -> dict[int, int | None]:
    """Due at, of each clock in hours or counts that is alone in its column."""
    clocks = [clock for clock in case.limit.clocks if not clock.is_calendar]
    columns = [column_of(facts, clock) for clock in clocks]
    found = {}
    for clock, column in zip(clocks, columns, strict=True):
        if columns.count(column) == 1:
            value = int(getattr(due, f"due_at_{column}")[row])
            found[clock.seq] = None if value == UNKNOWN else value
    return found


def with_revisions(fleet: list[Any], told: list[Case]) -> tuple[Any, Any, Any, list[Case]]:
    """What the engine decides of each case, its band, the facts, and the case as it decides it: its
    limit the revision that it goes by."""
    limits, facts, checks = columns_of(fleet, told)
    due = reckon(limits, facts, AS_OF)
    bands, _ = band_of(limits, facts, due, checks, AS_OF)
    rows = [(place, day, limit) for place, case in enumerate(told) for day, limit in case.later]
    rows.sort(key=lambda row: (row[2].code, row[2].revision))
    to_come = [replace(told[place], limit=limit) for place, _, limit in rows]
    group = np.array([*range(len(told)), *(place for place, _, _ in rows)])
    if to_come:
        days = np.array([str(day) for _, day, _ in rows], "datetime64[D]")
        limits, later_facts, later_checks = columns_of(fleet, to_come)
        later = asked_from(reckon(limits, later_facts, AS_OF), days, AS_OF)
        more, _ = band_of(limits, later_facts, later, later_checks, AS_OF)
        none = np.full(len(told), np.datetime64("NaT", "D"))
        due, bands = together(due, later), np.concatenate([bands, more])
        kept = np.flatnonzero(governing(due, group, np.concatenate([none, days])))
    else:
        kept = np.arange(len(told))
    kept = kept[np.argsort(group[kept])]
    decided = [[*told, *to_come][row] for row in kept.tolist()]
    due = Due(**{one.name: getattr(due, one.name)[kept] for one in fields(Due)})
    return due, bands[kept], facts, decided


@pytest.mark.slow
@pytest.mark.sweep
@pytest.mark.parametrize("seed", [2026, 11, 25, 180][: many(4, 1)])
def test_thousands_of_generated_items_agree(seed):
    fleet, told = cases(seed, limits=120, units=12)

    due, bands, facts, decided = with_revisions(fleet, told)

    differ = []
    for row, case in enumerate(told):
        expected, expected_band, totals, revision = naive_answer(case)
        found = engines_answer(due, row)
        mine = due_at_of(due, row, facts, decided[row])
        same = {seq: totals.get(seq) for seq in mine}
        mine_is = (found, Band(bands[row]).name, mine, decided[row].limit.revision)
        theirs = (expected, expected_band, same, revision)
        if mine_is != theirs:
            differ.append((row, theirs, mine_is))
    assert not differ, f"{len(differ)} of {len(told)} differ, the first: {differ[0]}"


def test_the_generated_items_show_every_state_and_band():
    fleet, told = cases(180, limits=120, units=12)
    limits, facts, checks = columns_of(fleet, told)

    due = reckon(limits, facts, AS_OF)
    bands, _ = band_of(limits, facts, due, checks, AS_OF)

    assert set(due.state.tolist()) == {int(state) for state in State}
    # What is not serviceable is told to the engine, not reckoned.
    assert set(bands.tolist()) == {int(one) for one in Band} - {int(Band.UNSERVICEABLE)}
    assert due.within_variation.any()
    assert due.is_extended.any()
    assert due.is_growing.any()
    assert due.due_on_projected.any()


def test_an_item_alone_is_reckoned_as_in_its_batch():
    fleet, told = cases(7, limits=40, units=5)
    limits, facts, _ = columns_of(fleet, told)

    together = reckon(limits, facts, AS_OF)

    for row in range(len(told)):
        alone = reckon(limits, facts.only(np.array([row])), AS_OF)
        assert engines_answer(alone, 0) == engines_answer(together, row)


def test_every_generated_item_explains_itself_with_its_own_result():
    fleet, told = cases(5, limits=60, units=3)
    limits, facts, _ = columns_of(fleet, told)
    due = reckon(limits, facts, AS_OF)

    for row in range(len(told)):
        text = " ".join(explain(limits, facts, row, AS_OF))

        assert limits[facts.items.limit[row]].code in text
        assert "NaT" not in text
        if due.state[row] == State.NO_BASIS:
            assert all(words in text for words in missing_words(due.missing[row]))
        elif plain(due.due_on[row]):
            assert day_words(plain(due.due_on[row])) in text
