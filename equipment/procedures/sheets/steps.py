"""The steps of the lists: each with the rule that its columns make, each list judged as a whole."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from equipment.judging.declaring.cells import COLUMNS, rule_from, unplaced
from equipment.judging.sorts.table import BY_CODE
from equipment.judging.steps.step_lists import NewStep, step_numbers_of
from equipment.models import Step, StepList
from fleet.intake.columns import CHOICE, CODE, COUNT, NUMBER, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, choices_of

from .whole_lists import each_once, refuse_added, refuse_faults, refuse_rest

# What a step says besides its rule, by the same names in the sheet, in the rules and on record.
PLAIN = (
    "number",
    "phase",
    "sort",
    "words",
    "caution",
    "document",
    "is_inspected",
    "posts",
    "returns",
    "earns",
)


def bring_steps(batch: Batch) -> None:
    """The steps of a list are judged by the one rule of step lists, as those that a program sends."""
    lists = _lists(batch)
    steps = {line: _step(batch, line) for line in batch.good}
    _refuse_unread(batch, steps)
    on_record = _on_record(lists)
    broken = {key for line, key in enumerate(lists) if not batch.is_good(line)}
    for key, lines in _by_list(batch, lists).items():
        numbers = on_record.get(key, set())
        places = each_once(batch, lines, steps)
        is_whole = key not in broken and all(batch.is_good(line) for line in lines)
        refuse_faults(batch, places, steps, is_whole=is_whole and not numbers)
        if numbers:
            refuse_added(batch, lines, numbers)
        elif not is_whole or not all(batch.is_good(line) for line in lines):
            refuse_rest(batch, lines)
    values: dict[str, list[Any]] = {name: batch[name] for name in PLAIN}
    values |= {
        "step_list_id": lists,
        "is_needed": [needed is not False for needed in batch["is_needed"]],
        "covers": [list(steps[i].covers) if i in steps else [] for i in range(len(batch))],
        "rule": [dict(steps[line].rule) if line in steps else {} for line in range(len(batch))],
    }
    bring_plain(batch, Step, key=("step_list_id", "number"), values=values)


def _lists(batch: Batch) -> list[int | None]:
    """The list that each line names by code and revision."""
    rows = StepList.objects.values_list("code", "revision", "pk")
    known = {(code.upper(), revision.upper()): key for code, revision, key in rows}
    found: list[int | None] = []
    for line, (code, revision) in enumerate(zip(batch["code"], batch["revision"], strict=True)):
        key = known.get(((code or "").upper(), (revision or "").upper()))
        if key is None and batch.is_good(line):
            batch.refuse(
                line,
                "code",
                "unknown_step_list",
                f"No step list '{code}' of revision '{revision}' is on record. Bring it in the sheet"
                " 'Step lists', or check both.",
            )
        found.append(key)
    return found


def _step(batch: Batch, line: int) -> NewStep:
    """A good line as a step; what the rule of its sort has no place for refuses it."""
    cells = BY_CODE[batch["sort"][line]].cells
    said = {name: batch[name][line] for name in (*COLUMNS, "returns", "needs_tool")}
    for name in unplaced(cells, said):
        heading = batch.table.kind.column(name).name
        batch.refuse(
            line,
            name,
            "name_unknown",
            f"'{heading}' is not part of the rule of this kind of step, and nothing would be judged by"
            " it. Leave it blank, or choose another kind of step.",
        )
    plain = {name: value for name in PLAIN if (value := batch[name][line]) is not None}
    needed = batch["is_needed"][line] is not False
    covers = step_numbers_of(batch["covers"][line] or "") or ()
    return NewStep(**plain, is_needed=needed, rule=rule_from(cells, said), covers=covers)


def _refuse_unread(batch: Batch, steps: dict[int, NewStep]) -> None:
    """This will refuse what covers other steps and does not name them by their numbers."""
    for line in steps:
        text = batch["covers"][line] or ""
        if step_numbers_of(text) is None:
            words = f"“{text[:40]}” names no steps. Give their numbers, as: 13, 14."
            batch.refuse(line, "covers", "not_numbers", words)


def _on_record(lists: list[int | None]) -> dict[int, set[int]]:
    """The numbers of the steps on record, by list."""
    kept: dict[int, set[int]] = defaultdict(set)
    rows = Step.objects.filter(step_list__in=set(lists) - {None})
    for key, number in rows.values_list("step_list", "number"):
        kept[key].add(number)
    return kept


def _by_list(batch: Batch, lists: list[int | None]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = defaultdict(list)
    for line in batch.good:
        key = lists[line]
        assert key is not None  # a line without its list is refused
        found[key].append(line)
    return found


_COLUMNS = (
    Column("List", "code", CODE, True, "Code of the list.", ("step list",), most=32),
    Column("Revision", "revision", CODE, True, "Revision of the list.", ("rev",), most=24),
    Column("Step", "number", COUNT, True, "Number of the step.", ("no", "number")),
    Column(
        "Phase",
        "phase",
        CHOICE,
        True,
        "Make safe, remove, inspect before fitting, install, test or restore.",
        choices=dict(Step.PHASES),
    ),
    Column(
        "Kind of step",
        "sort",
        CHOICE,
        True,
        "What is recorded.",
        ("sort",),
        choices=dict(Step.SORTS),
    ),
    Column("Words", "words", needed=True, meaning="What is done.", aliases=("text",), most=300),
    Column("Caution", "caution", meaning="The danger of this step, shown in the step.", most=300),
    Column("Document", "document", meaning="Where it is not the list's own."),
    Column("Needed", "is_needed", YES_NO, meaning="no: may be left out; blank: yes."),
    Column(
        "Inspected",
        "is_inspected",
        YES_NO,
        meaning="yes: a second person inspects it independently.",
    ),
    Column(
        "Records",
        "posts",
        CHOICE,
        meaning="removal or installation, where the step records it.",
        choices={code: words for code, words in choices_of(Step, "posts").items() if code},
    ),
    Column(
        "Returns step",
        "returns",
        COUNT,
        meaning="The step whose pins, locks or tools come back here.",
    ),
    Column(
        "Covers steps",
        "covers",
        meaning="Inspected steps that cannot be seen any more once this one is done: it waits for their"
        " inspection. Their numbers, as: 13, 14.",
        most=60,
    ),
    Column(
        "Earns",
        "earns",
        CODE,
        meaning="Code of the work that the released job counts as.",
        most=32,
    ),
    Column(
        "Low",
        "low",
        NUMBER,
        meaning="The least that is in tolerance; of a series how many must succeed in a row.",
    ),
    Column(
        "High",
        "high",
        NUMBER,
        meaning="The most that is in tolerance; of a resistance its limit, of a leak test the most drop.",
    ),
    Column("Unit", "unit", meaning="Of low and high: in-lb, N·m, mΩ, psi, min, kg …", most=16),
    Column("Less than", "is_strict", YES_NO, meaning="yes: the limit itself is out of tolerance."),
    Column(
        "Drag added",
        "has_drag",
        YES_NO,
        meaning="yes: the friction drag is added to the torque.",
    ),
    Column(
        "Loss (%)",
        "loss_percent",
        NUMBER,
        meaning="The most weight lost, in per cent of the full weight.",
    ),
    Column("Over (min)", "minutes", NUMBER, meaning="How long a leak test stands at least."),
    Column(
        "Steady within (°F)",
        "steady_f",
        NUMBER,
        meaning="Of a leak test: the temperature must change by less.",
    ),
    Column("Counted", "counted", meaning="What is counted: safety pins, tools …"),
    Column(
        "Tool needed",
        "needs_tool",
        YES_NO,
        meaning="yes: the value counts only with a calibrated tool.",
    ),
)


def _example(**cells: str) -> list[str]:
    """A line that loads as it stands, from what is filled in."""
    return [cells.get(column.field, "") for column in _COLUMNS]


_LIST = {"code": "EX-STEPS", "revision": "1"}

STEPS = SheetKind(
    "Steps",
    "The steps of the lists, in the order of the work.",
    44,
    "enter_procedures",
    _COLUMNS,
    bring_steps,
    [
        _example(
            **_LIST,
            number="1",
            phase="Make safe",
            sort="count",
            words="Fit the safety pin. Pins fitted:",
            caution="Without the pin it can discharge.",
            counted="safety pins",
        ),
        _example(
            **_LIST,
            number="2",
            phase="Remove",
            sort="confirmation",
            words="Lift it out. Record what came off.",
            posts="the removal",
        ),
        _example(
            **_LIST,
            number="3",
            phase="Install",
            sort="confirmation",
            words="Lift it in. Record what went on.",
            posts="the installation",
        ),
        _example(
            **_LIST,
            number="4",
            phase="Install",
            sort="torque",
            words="Mount bolts.",
            is_inspected="yes",
            low="50",
            high="70",
            unit="in-lb",
            has_drag="yes",
            needs_tool="yes",
        ),
        _example(
            **_LIST,
            number="5",
            phase="Restore",
            sort="count",
            words="Take the pin out. Pins returned:",
            is_inspected="yes",
            returns="1",
            counted="safety pins",
        ),
    ],
)

SHEETS = (STEPS,)
