"""The clocks of limits."""

from __future__ import annotations

from typing import Any

from fleet.intake.columns import CHOICE, CODE, COUNT, DAY, TOTAL, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import REFUSED, Batch
from fleet.loading.plain import bring_plain
from scheduling.engine.basis.limits import NEEDS, words_of
from scheduling.engine.basis.limits import Clock as Rule
from scheduling.engine.basis.words import (
    ANCHORS,
    COMPARES,
    ROUNDS,
    RUNS,
    RUNS_OUT,
    STAMPS,
    STARTS,
    choices,
    listed,
)
from scheduling.models import Amount, Clock

from . import lookups
from .limit_columns import OF_LIMIT
from .measured import CALENDAR, amounts_said, measures_said

CLOCK_COLUMNS = (
    *OF_LIMIT,
    Column(
        "Clock",
        "clock",
        COUNT,
        True,
        "Order of the clock in the limit: 1, 2 ...",
        ("clock no", "seq"),
    ),
    Column("Measure", "measure", CODE, True, "months, days, or the code of a measure.", most=16),
    Column(
        "Amount",
        "amount",
        TOTAL,
        meaning="How much it allows, where that is one figure; else use 'Amounts'. Hours as 12000:00.",
    ),
    Column(
        "Counts from",
        "counts_from",
        CHOICE,
        True,
        f"{listed(STARTS)}.",
        choices=choices(STARTS),
    ),
    Column(
        "First from",
        "first_from",
        CHOICE,
        meaning="What it counts from when the work was never done.",
        choices=choices(STARTS),
    ),
    Column("Given on", "given_on", DAY, meaning="The given date."),
    Column(
        "Last done by",
        "anchor",
        CHOICE,
        meaning="Which date of the last work counts; blank: the aircraft's release date.",
        aliases=("anchor",),
        choices=choices(ANCHORS),
    ),
    Column(
        "Runs",
        "runs",
        CHOICE,
        meaning=f"{listed(RUNS)}.",
        choices=choices(RUNS),
    ),
    Column(
        "Store ratio (percent)", "store_ratio_percent", COUNT, meaning="How fast it runs in store."
    ),
    Column(
        "Store cap (months)",
        "store_cap_months",
        COUNT,
        meaning="Time in store not counted, at most.",
    ),
    Column(
        "Cap each time",
        "store_cap_each",
        YES_NO,
        meaning="yes: the cap counts each time in store anew.",
    ),
    Column(
        "Before first fitting only",
        "store_before_first_fitting",
        YES_NO,
        meaning="yes: only time in store before the first fitting.",
    ),
    Column(
        "Rounds",
        "rounds",
        CHOICE,
        meaning=f"{listed(ROUNDS)}; blank: to the day.",
        choices=choices(ROUNDS),
    ),
    Column(
        "Month-only stamp",
        "month_only_stamp",
        CHOICE,
        meaning=f"{listed(STAMPS)}.",
        choices=choices(STAMPS),
    ),
    Column(
        "Compares",
        "compares",
        CHOICE,
        meaning=f"{listed(COMPARES)}.",
        choices=choices(COMPARES),
    ),
    Column("Never later on", "never_later_on", DAY, meaning="An absolute backstop."),
    Column(
        "Never later (months)",
        "never_later_months",
        COUNT,
        meaning="A backstop in months from manufacture.",
    ),
    Column(
        "Never later (total)",
        "never_later_total",
        TOTAL,
        meaning="A backstop in the total of its measure since new: hours as 12000:00, or a count.",
    ),
    Column(
        "When it runs out",
        "runs_out",
        CHOICE,
        meaning=f"{listed(RUNS_OUT, '; ')}.",
        aliases=("runs out",),
        choices=choices(RUNS_OUT),
    ),
)

#: Columns that name the clock, or are read with others; each of the rest fills the field of its name.
READ_TOGETHER = frozenset(
    {"programme", "limit", "revision", "clock", "measure", "amount", "never_later_total"}
)
_PLAIN = tuple(one.field for one in CLOCK_COLUMNS if one.field not in READ_TOGETHER)
#: Of what words ask for, the column of another name.
_NEEDED = {"store_ratio": "store_ratio_percent"}


def bring_clocks(batch: Batch) -> None:
    limits = lookups.limits(batch)
    measures = measures_said(batch)
    _need_what_words_ask_for(batch)
    amounts = amounts_said(batch, measures)
    values: dict[str, Any] = {
        "limit_id": limits,
        "seq": batch["clock"],
        "measure": measures,
        "never_later_total": _totals(batch, measures),
        **{name: batch[name] for name in _PLAIN},
    }
    bring_plain(batch, Clock, key=("limit_id", "seq"), values=values)
    _bring_only_amounts(batch, lookups.clocks(batch, limits), amounts)


def _totals(batch: Batch, measures: list[str | None]) -> list[int | None]:
    """The most of its measure since new; of months and days there is no such total."""
    totals = amounts_said(batch, measures, "never_later_total")
    for line in batch.good:
        if totals[line] is not None and measures[line] in CALENDAR.values():
            words = (
                "Months and days have no total. Give 'Never later (months)' or 'Never later on'."
            )
            batch.refuse(line, "never_later_total", "no_total_of_calendar", words)
    return totals


def _need_what_words_ask_for(batch: Batch) -> None:
    said = list(zip(*(batch[name] for name in words_of(Rule)), strict=True))
    for word, (needed, what) in NEEDS.items():
        asked = [word in line for line in said]
        batch.need(_NEEDED.get(needed, needed), asked, f"The clock goes by {what}: give it.")


def _bring_only_amounts(batch: Batch, clocks: list[int | None], amounts: list[int | None]) -> None:
    """The amount that stands in the clock's own line, its first and only one."""
    there = dict(
        Amount.objects.filter(clock__in=set(clocks) - {None}, seq=1).values_list(
            "clock_id", "value"
        )
    )
    new = []
    for line, (clock, amount) in enumerate(zip(clocks, amounts, strict=True)):
        if clock is None or amount is None or batch.outcomes[line] == REFUSED:
            continue
        if clock not in there:
            new.append(line)
            there[clock] = amount
            batch.accept(line)
        elif there[clock] != amount:
            batch.refuse(
                line,
                "amount",
                "differs_from_record",
                "This clock is on record with another amount. Bring a new revision of the limit.",
            )
    bring_in_rows(
        by=batch.bringing.by,
        act=batch.table.kind.act,
        model=Amount,
        columns={"clock_id": [clocks[i] for i in new], "value": [amounts[i] for i in new]},
        fixed={"seq": 1},
    )


CLOCKS = SheetKind(
    "Clocks",
    "The clocks of each limit: so much of one measure, from one start.",
    70,
    "enter_programme",
    CLOCK_COLUMNS,
    bring_clocks,
    [
        ["EX-MP", "EX-OVH", "1", 1, "months", "", "last done", "manufacture"],
        [
            "EX-MP",
            "EX-HYD",
            "1",
            1,
            "months",
            60,
            "last done",
            "manufacture",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "end of month",
        ],
        ["EX-MP", "EX-DIR-1", "1", 1, "days", 90, "a given date", "", "2026-10-06"],
    ],
)

SHEETS = (CLOCKS,)
