"""How much clocks allow, where that depends on more than one figure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fleet.intake.columns import CHOICE, CODE, COUNT, NUMBER, TOTAL
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain
from scheduling.engine.basis.words import AGES, TURNS, choices, listed
from scheduling.models import Amount, Clock

from . import lookups
from .limit_columns import OF_LIMIT
from .measured import amounts_said

AMOUNT_COLUMNS = (
    *OF_LIMIT,
    Column("Clock", "clock", COUNT, True, "Order of the clock in the limit.", ("clock no",)),
    Column(
        "Order",
        "order",
        COUNT,
        True,
        "The first amount, in this order, that fits counts.",
        ("seq", "amount no"),
    ),
    Column("Amount", "amount", TOTAL, meaning="Months, days, hours as 12000:00, or a count."),
    Column(
        "Share (percent)", "share_percent", NUMBER, meaning="Instead: a share of the stated life."
    ),
    Column(
        "Time",
        "when",
        CHOICE,
        meaning=f"{listed(TURNS)}; blank: any time.",
        aliases=("when",),
        choices=choices(TURNS),
    ),
    Column("Age from (months)", "age_from_months", COUNT, meaning="Only from this age on."),
    Column(
        "Age",
        "age_basis",
        CHOICE,
        meaning=f"{listed(AGES)}.",
        aliases=("age basis",),
        choices=choices(AGES),
    ),
    Column("Method", "method", meaning="Only after last work by this method.", most=24),
    Column("Standard", "standard", CODE, meaning="Only at this modification standard.", most=24),
)

#: Columns that name the amount, or are read with others; each of the rest fills the field of its name.
READ_TOGETHER = frozenset({"programme", "limit", "revision", "clock", "order", "amount", "method"})
_PLAIN = tuple(one.field for one in AMOUNT_COLUMNS if one.field not in READ_TOGETHER)


def bring_amounts(batch: Batch) -> None:
    limits = lookups.limits(batch)
    clocks = lookups.clocks(batch, limits)
    measures = dict(Clock.objects.values_list("pk", "measure"))
    amounts = amounts_said(batch, [measures.get(key) if key else None for key in clocks])
    for line in batch.good:
        if (amounts[line] is None) == (batch["share_percent"][line] is None):
            batch.refuse(
                line,
                "amount",
                "an_amount_is_a_number_or_a_share",
                "An amount is either a number or a share of the stated life. Fill in one of the two.",
            )
    values: Mapping[str, Any] = {
        "clock_id": clocks,
        "seq": batch["order"],
        "value": amounts,
        "method": in_small_letters(batch["method"]),
        **{name: batch[name] for name in _PLAIN},
    }
    bring_plain(batch, Amount, key=("clock_id", "seq"), values=values)


def in_small_letters(words: list[str | None]) -> list[str | None]:
    """Methods are compared as they stand: in small letters, words joined."""
    return [None if word is None else word.lower().replace(" ", "_") for word in words]


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

SHEETS = (AMOUNTS,)
