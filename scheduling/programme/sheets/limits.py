"""Limits of a programme: which work falls due on what."""

from __future__ import annotations

from typing import Any

from equipment.common import lookups as equipment_lookups
from fleet.intake.registry import SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.acts.bring_in import bring_in_rows
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from scheduling.models import Limit, LimitReset

from . import lookups
from .limit_columns import LIMIT_COLUMNS

#: Columns that name what a limit is about; each of the rest fills the field of its name.
READ_TOGETHER = frozenset(
    {"programme", "limit", "work", "kind", "part_numbers", "serials", "msns", "also_reset_by"}
)
_PLAIN = tuple(one.field for one in LIMIT_COLUMNS if one.field not in READ_TOGETHER)


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

SHEETS = (LIMITS,)
