"""Limits of a programme, their clocks, and how much each clock allows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from equipment.common import lookups as equipment_lookups
from fleet.intake.numbers import count_of
from fleet.intake.problems import CellProblem
from fleet.intake.registry import SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import REFUSED, Batch
from fleet.loading.plain import bring_plain, recorded
from fleet.loading.totals import total_in_measure
from scheduling.models import Amount, Clock, Limit, LimitReset

from . import lookups
from .limit_columns import AMOUNT_COLUMNS, CLOCK_COLUMNS, LIMIT_COLUMNS

#: Columns of the sheet that fill the model's field of the same name.
_PLAIN = (
    "revision",
    "title",
    "subject",
    "document",
    "document_revision",
    "from_on",
    "until_on",
    "when",
    "is_directive",
    "paragraph",
    "standards",
    "manufactured_from",
    "manufactured_to",
    "positions",
    "quota",
    "variation_days",
    "variation_percent",
    "variation_days_most",
    "variation_minutes",
    "variation_count",
    "next_from_original_due",
    "is_extendable",
    "extension_days_most",
    "extension_minutes_most",
    "extension_count_most",
)


def bring_limits(batch: Batch) -> None:
    programmes, works = lookups.programmes(batch), lookups.works(batch)
    parts = _parts(batch)
    resets = _resets(batch)
    population = [word == Limit.POPULATION for word in batch["subject"]]
    batch.need("quota", population, "A sample of the units has a quota: say how many.")
    values: dict[str, Any] = {
        "programme_id": programmes,
        "code": batch["limit"],
        "work_id": works,
        "kind_id": fleet_lookups.kinds(batch),
        "serials": [_ranges(each) for each in batch["serials"]],
        "msns": [_ranges(each) for each in batch["msns"]],
        **{name: batch[name] for name in _PLAIN},
    }
    key = ("programme_id", "code", "revision")
    new = bring_plain(
        batch, Limit, key=key, values=values, fixed=recorded(batch), may_change=("until_on",)
    )
    if new:
        _bring_lists(batch, new, parts, resets)


def _ranges(codes: tuple[str, ...] | None) -> tuple[Any, ...] | None:
    """``("A1", "B1..B9")`` as ``("A1", ("B1", "B9"))``."""
    if codes is None:
        return None
    parts = [tuple(end.strip() for end in code.split("..")) for code in codes]
    return tuple(part[0] if len(part) == 1 else part[:2] for part in parts)


def _parts(batch: Batch) -> list[list[int]]:
    """The part numbers that each limit lists: ``NUMBER``, or ``MAKER:NUMBER`` where two make it."""
    known = equipment_lookups.all_parts(batch)
    codes = {f"{known.makers[key]}:{number}": key for (_, number), key in known.by_maker.items()}
    found: list[list[int]] = []
    for line, listed in enumerate(batch["part_numbers"]):
        keys: list[int] = []
        for code in listed or ():
            several = known.by_number.get(code, [])
            if code in codes or len(several) == 1:
                keys.append(codes.get(code) or several[0])
            elif batch.is_good(line) and several:
                names = ", ".join(f"{known.makers[key]}:{code}" for key in several)
                batch.refuse(
                    line,
                    "part_numbers",
                    "ambiguous_part_number",
                    f"Part number {code} has several makers. Write one of {names}.",
                )
            elif batch.is_good(line):
                batch.refuse_unknown(line, "part_numbers", code, known.by_number, "part number")
        found.append(keys)
    return found


def _resets(batch: Batch) -> list[list[int]]:
    known = lookups.all_works(batch)
    found: list[list[int]] = []
    for line, listed in enumerate(batch["also_reset_by"]):
        for code in listed or ():
            if code not in known and batch.is_good(line):
                batch.refuse_unknown(line, "also_reset_by", code, known, "work")
        found.append([known[code] for code in listed or () if code in known])
    return found


def _bring_lists(
    batch: Batch, new: list[int], parts: list[list[int]], resets: list[list[int]]
) -> None:
    """What new limits list: part numbers, and works that reset them too."""
    keys = lookups.limits(batch)
    by, act = batch.bringing.by, batch.table.kind.act
    of_part = [(keys[line], part) for line in new for part in dict.fromkeys(parts[line])]
    of_reset = [(keys[line], work) for line in new for work in resets[line]]
    columns: dict[str, list[int | None]]
    if of_part:
        columns = {
            "limit_id": [k for k, _ in of_part],
            "partnumber_id": [p for _, p in of_part],
        }
        bring_in_rows(by=by, act=act, model=Limit.part_numbers.through, columns=columns, fixed={})
    if of_reset:
        columns = {"limit_id": [k for k, _ in of_reset], "work_id": [w for _, w in of_reset]}
        bring_in_rows(by=by, act=act, model=LimitReset, columns=columns, fixed={})


_CALENDAR = {"MONTHS": "months", "DAYS": "days"}
_CLOCK_FIELDS = (
    "first_from",
    "given_on",
    "anchor",
    "runs",
    "store_ratio_percent",
    "store_cap_months",
    "store_cap_each",
    "store_before_first_fitting",
    "rounds",
    "month_only_stamp",
    "compares",
    "never_later_on",
    "never_later_months",
    "runs_out",
)


def bring_clocks(batch: Batch) -> None:
    limits = lookups.limits(batch)
    measures = _measures(batch)
    counts_from = batch["counts_from"]
    given = [
        "given_date" in {start, first}
        for start, first in zip(counts_from, batch["first_from"], strict=True)
    ]
    batch.need("given_on", given, "The clock counts from a given date: give it.")
    for name, wanted in (
        ("store_ratio_percent", "store_at_ratio"),
        ("store_cap_months", "store_up_to_cap"),
    ):
        batch.need(
            name, [runs == wanted for runs in batch["runs"]], "The clock runs by it: give it."
        )
    amounts = _amounts(batch, measures)
    values: dict[str, Any] = {
        "limit_id": limits,
        "seq": batch["clock"],
        "measure": measures,
        "counts_from": counts_from,
        **{name: batch[name] for name in _CLOCK_FIELDS},
    }
    bring_plain(batch, Clock, key=("limit_id", "seq"), values=values)
    _bring_only_amounts(batch, lookups.clocks(batch, limits), amounts)


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


def _measures(batch: Batch, name: str = "measure") -> list[str | None]:
    """``months``, ``days`` or the code of a measure on record."""
    known = fleet_lookups.measures_by_code(batch)
    found: list[str | None] = []
    for line, code in enumerate(batch[name]):
        found.append(_CALENDAR.get(code, code if code in known else None))
        if found[-1] is None and code is not None and batch.is_good(line):
            batch.refuse_unknown(line, name, code, [*_CALENDAR, *known], "measure")
    return found


def _amounts(batch: Batch, measures: list[str | None], name: str = "amount") -> list[int | None]:
    """Amounts as their measure counts: months, days, minutes out of hours, or a count."""
    kinds = fleet_lookups.units_of_measures(batch)
    known = fleet_lookups.measures_by_code(batch)
    amounts: list[int | None] = [None] * len(batch)
    for line in batch.good:
        cell, measure = batch[name][line], measures[line]
        total = (
            total_in_measure(cell, kinds[known[measure]]) if measure in known else count_of(cell)
        )
        if isinstance(total, CellProblem):
            batch.problem(line, name, total)
        else:
            amounts[line] = total
    return amounts


def bring_amounts(batch: Batch) -> None:
    limits = lookups.limits(batch)
    clocks = lookups.clocks(batch, limits)
    measures = dict(Clock.objects.values_list("pk", "measure"))
    amounts = _amounts(batch, [measures.get(key) if key else None for key in clocks])
    for line in batch.good:
        if (amounts[line] is None) == (batch["share_percent"][line] is None):
            batch.refuse(
                line,
                "amount",
                "an_amount_is_a_number_or_a_share",
                "An amount is either a number or a share of the stated life. Fill in one of the two.",
            )
    fields = ("share_percent", "when", "age_from_months", "age_basis", "standard")
    values: Mapping[str, Any] = {
        "clock_id": clocks,
        "seq": batch["order"],
        "value": amounts,
        "method": lower(batch["method"]),
        **{name: batch[name] for name in fields},
    }
    bring_plain(batch, Amount, key=("clock_id", "seq"), values=values)


def lower(words: list[str | None]) -> list[str | None]:
    """Methods are compared as they stand: in small letters, words joined."""
    return [None if word is None else word.lower().replace(" ", "_") for word in words]


LIMITS = SheetKind(
    "Limits",
    "The rules of a programme: which work falls due on what. Its clocks are in 'Clocks'. A revised limit is a new line.",
    60,
    "enter_programme",
    LIMIT_COLUMNS,
    bring_limits,
    [
        [
            "EX-MP",
            "EX-OVH",
            "1",
            "Slide overhaul",
            "EXOVH",
            "each unit",
            "EX-CMM 10",
            "4",
            "",
            "",
            "",
            "",
            "",
            "EXSLIDE",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "yes",
            60,
        ],
        [
            "EX-MP",
            "EX-HYD",
            "1",
            "Bottle hydrostatic test",
            "EXHYD",
            "each unit",
            "EX-CMM 20",
            "2",
            "",
            "",
            "",
            "",
            "",
            "EXBOTTLE",
        ],
        [
            "EX-MP",
            "EX-DIR-1",
            "1",
            "Valve check of listed bottles",
            "EXHYD",
            "each unit",
            "EX-AD-01",
            "1",
            "",
            "",
            "",
            "yes",
            "(a)",
            "EXBOTTLE",
            "",
            "",
            "B0001..B0099",
        ],
    ],
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

AMOUNTS = SheetKind(
    "Amounts",
    "How much a clock allows, where that depends on age, method, standard, or first time and repeat.",
    80,
    "enter_programme",
    AMOUNT_COLUMNS,
    bring_amounts,
    [
        ["EX-MP", "EX-OVH", "1", 1, 1, 12, "", "any time", 180, "age when the work was done"],
        ["EX-MP", "EX-OVH", "1", 1, 2, 36],
    ],
)
