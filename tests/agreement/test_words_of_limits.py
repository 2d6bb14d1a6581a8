"""Every word of a limit, a clock or an amount is known at each place that must know it.

The words are those of ``scheduling/engine/basis/limits.py``. A sort of clock that was begun and not
finished fails here, and the failure names the place that does not know it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from functools import cache
from pathlib import Path
from traceback import extract_tb
from typing import Any

import numpy as np
import pytest

from scheduling import models
from scheduling.engine.basis import amounts, words
from scheduling.engine.basis.limits import Amount, Clock, Limit, Variation, words_of
from scheduling.engine.clocks.due import reckon
from scheduling.engine.telling import wording
from scheduling.engine.telling.explain import explain
from scheduling.facts.rules import AMOUNT_READS, CLOCK_READS, rules_on
from scheduling.programme.sheets.amounts import AMOUNTS
from scheduling.programme.sheets.clocks import CLOCKS
from scheduling.programme.sheets.limits import LIMITS
from tests.agreement.generated import AS_OF, NOT_FIRST, Case, cases, columns_of
from tests.agreement.test_engine_against_naive import engines_answer, naive_answer
from tests.scheduling.rules import DAY, Runs, a_rule
from tests.sweeps import by_turns

ROOT = Path(__file__).resolve().parent.parent.parent
TABLES = {Limit: words.OF_LIMIT, Clock: words.OF_CLOCK, Amount: words.OF_AMOUNT}
MODELS = {Limit: models.Limit, Clock: models.Clock, Amount: models.Amount}
SHEETS = {Limit: LIMITS, Clock: CLOCKS, Amount: AMOUNTS}
READS: dict[type, Any] = {Clock: CLOCK_READS, Amount: AMOUNT_READS}
#: What a model's columns hold besides, that sheets say in columns of other names.
OTHERWISE = {
    Clock: {"id", "limit", "seq", "measure"},
    Amount: {"id", "clock", "seq", "value"},
}
WORDS = [
    (rule, field, word)
    for rule in (Limit, Clock, Amount)
    for field, several in words_of(rule).items()
    for word in several
]
#: The first time cannot count from the last.
READ = [one for one in WORDS if one[1:] != ("first_from", "last_done")]
#: What falls due on whom is found before the engine is asked.
RECKONED = [one for one in READ if one[1] != "subject"]
#: Of one item the clocks are explained, and how much they allow.
EXPLAINED = [one for one in RECKONED if one[0] is not Limit]
names = ("rule", "field", "word")
every_word = pytest.mark.parametrize(names, WORDS)
every_read_word = pytest.mark.parametrize(names, READ)
every_reckoned_word = pytest.mark.parametrize(names, RECKONED)
every_explained_word = pytest.mark.parametrize(names, EXPLAINED)


# --- where it is chosen --------------------------------------------------------------------------


@every_word
def test_it_has_a_name_to_be_chosen_by(rule, field, word):
    named = TABLES[rule].get(field, {})

    assert word in named, f"scheduling/engine/basis/words.py has no {field} {word}"
    assert named[word].choice, f"scheduling/engine/basis/words.py does not name {field} {word}"


@every_word
def test_the_model_offers_it_and_holds_it(rule, field, word):
    column = MODELS[rule]._meta.get_field(field)

    offered = dict(column.flatchoices)

    assert word in offered, f"scheduling/models/choices.py does not offer {field} {word}"
    assert len(word) <= column.max_length, f"scheduling/models/limits.py: WORD is too short: {word}"


@every_word
def test_the_sheet_offers_it(rule, field, word):
    offered = SHEETS[rule].column(field).choices

    place = f"scheduling/programme/sheets, {SHEETS[rule].name}"
    assert word in offered, f"{place}: no {field} {word}"
    assert offered[word] == TABLES[rule][field][word].choice, f"{place}: {field} {word}"


def test_of_one_field_no_two_words_have_one_name():
    for table in TABLES.values():
        for field, several in table.items():
            assert len({one.choice for one in several.values()}) == len(several), field


# --- from the tables -----------------------------------------------------------------------------


@pytest.mark.django_db
@every_read_word
def test_it_is_read_from_the_tables(rule, field, word):
    needed = {"given_on": DAY, "store_ratio_percent": 50, "store_cap_months": 12}
    said = {rule: {field: word}}
    clock = {"counts_from": "last_done", **needed, **said.get(Clock, {})}
    row = a_rule("X", Runs("months", [], clock), quota=1, **said.get(Limit, {}))
    amount = {"age_from_months": 12, **said.get(Amount, {})}
    row.clocks.get().amounts.create(seq=1, value=12, **amount)

    [read] = [one.limit for one in rules_on(DAY).rules]

    found = {Limit: [read], Clock: read.clocks, Amount: [a for c in read.clocks for a in c.amounts]}
    place = f"scheduling/facts/rules.py does not read {field} {word}"
    assert [getattr(one, field) for one in found[rule]] == [word], place


@pytest.mark.parametrize("rule", [Clock, Amount])
def test_each_field_of_a_rule_has_a_column_that_is_read(rule):
    held = {one.name for one in MODELS[rule]._meta.get_fields()} | set(READS[rule])

    without = {one.name for one in fields(rule)} - held

    assert not without, f"scheduling/models/limits.py has no column, of {rule.__name__}: {without}"


@pytest.mark.parametrize("rule", [Clock, Amount])
def test_each_column_of_a_rule_is_brought_by_the_sheet(rule):
    held = {one.name for one in MODELS[rule]._meta.concrete_fields} - OTHERWISE[rule]

    without = held - {column.field for column in SHEETS[rule].columns}

    assert not without, f"scheduling/programme/sheets, {SHEETS[rule].name}: no column: {without}"


# --- what it means -------------------------------------------------------------------------------


@cache
def generated() -> tuple[Any, list[Case]]:
    return cases(25, limits=60, units=5)


@cache
def stage(rule: type, field: str, word: str) -> tuple[list[Limit], Any, list[Case]]:
    """The generated cases, each clock (amount, limit) saying this word; the rest as it was."""
    fleet, told = generated()
    forced = [replace(case, limit=_forced(case.limit, rule, field, word)) for case in told]
    limits, facts, _ = columns_of(fleet, forced)
    return limits, facts, forced


def _forced(limit: Limit, rule: type, field: str, word: str) -> Limit:
    if rule is Limit:
        return replace(limit, **{field: word})
    if field == "anchor":
        # Which date of the last work counts shows where a variation permits another.
        limit = replace(limit, variation=Variation(days=30), next_from_original_due=False)
    return replace(limit, clocks=tuple(_clock(one, rule, field, word) for one in limit.clocks))


def _clock(clock: Clock, rule: type, field: str, word: str) -> Clock:
    if rule is Amount:
        return replace(clock, amounts=tuple(replace(one, **{field: word}) for one in clock.amounts))
    # Where it counts from when never done, and by which date of the last work, only matters to this one.
    also = {"counts_from": "last_done"} if field in ("first_from", "anchor") else {}
    return replace(clock, **also | {field: word})


@contextmanager
def known(field: str, word: str) -> Iterator[None]:
    """Whatever does not know the word fails under its own name."""
    try:
        yield
    except KeyError as fault:
        last = extract_tb(fault.__traceback__)[-1]
        place = Path(last.filename).relative_to(ROOT)
        pytest.fail(f"{place}, line {last.lineno}, does not know {field} {word}")


@cache
def answer(rule: type, field: str, word: str) -> Any:
    limits, facts, _ = stage(rule, field, word)
    with known(field, word):
        return reckon(limits, facts, AS_OF)


def told_apart(one: Any, other: Any) -> bool:
    """Whether two answers of the engine differ in any column."""
    columns = [(getattr(one, each.name), getattr(other, each.name)) for each in fields(one)]
    return any(not np.array_equal(mine.astype(str), theirs.astype(str)) for mine, theirs in columns)


@every_reckoned_word
def test_the_engine_makes_something_of_its_own_of_it(rule, field, word):
    others = [one[2] for one in RECKONED if one[:2] == (rule, field) and one[2] != word]

    mine = answer(rule, field, word)

    for other in others:
        is_its_own = told_apart(mine, answer(rule, field, other))
        assert is_its_own, f"scheduling/engine: {field} {word} is reckoned just as {other}"


@pytest.mark.sweep
@every_reckoned_word
def test_the_second_reckoning_knows_it_and_says_the_same(rule, field, word):
    _, _, told = stage(rule, field, word)
    rows = by_turns(range(len(told)), RECKONED.index((rule, field, word)), 4)
    with known(field, word):
        expected = [naive_answer(replace(told[row], later=()))[0] for row in rows]

    found = [engines_answer(answer(rule, field, word), row) for row in rows]

    differ = [pair for pair in zip(expected, found, strict=True) if pair[0] != pair[1]]
    place = f"tests/agreement/naive.py and scheduling/engine differ on {field} {word}"
    assert not differ, f"{place}: {len(differ)} items, the first {differ[0]}"


@every_explained_word
def test_an_explanation_says_it(rule, field, word):
    limits, facts, told = stage(rule, field, word)
    with known(field, word):
        said = TABLES[rule][field][word].said.partition("{")[0]
        texts = (" ".join(explain(limits, facts, row, AS_OF)) for row in range(len(told)))
        is_said = any(said in text for text in texts)

    silent = [each for each, one in TABLES[rule][field].items() if not one.said]
    assert len(silent) <= 1, f"scheduling/engine/basis/words.py: {field}: all but one of {silent}"
    assert is_said, f"scheduling/engine/telling does not say {said!r} of {field} {word}"


@every_reckoned_word
def test_it_is_among_the_generated_items(rule, field, word):
    _, told = cases(2026, limits=120, units=1)
    limits = [case.limit for case in told]
    clocks = [clock for limit in limits for clock in limit.clocks]
    of = {Limit: limits, Clock: clocks, Amount: [one for clock in clocks for one in clock.amounts]}

    found = {getattr(one, field) for one in of[rule]}

    if field == "first_from" and word in NOT_FIRST:
        assert word not in found
        return
    assert word in found, f"tests/agreement/generated.py makes no {field} {word}"


# --- what an amount is chosen by -----------------------------------------------------------------

CONDITIONS = {one.name for one in fields(Amount)} - {"value", "share", "when", "age_basis"}


def test_what_an_amount_is_chosen_by_is_reckoned_and_said():
    assert set(amounts.CHOSEN_BY) == CONDITIONS, "scheduling/engine/basis/amounts.py: CHOSEN_BY"
    assert set(wording.CHOSEN_BY) == CONDITIONS, "scheduling/engine/telling/wording.py: CHOSEN_BY"


@pytest.mark.parametrize("rule", [Clock, Amount])
def test_the_generated_items_vary_each_field(rule):
    _, told = cases(2026, limits=120, units=1)
    clocks = [clock for case in told for clock in case.limit.clocks]
    every = clocks if rule is Clock else [one for clock in clocks for one in clock.amounts]

    alike = {one.name for one in fields(rule) if len({getattr(e, one.name) for e in every}) == 1}

    assert not alike, f"tests/agreement/generated.py never varies {alike} of a {rule.__name__}"
