"""Rule sets, step lists and their steps: the operator's data of how a change is done."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from equipment.common import lookups
from equipment.judging.steps.rules import rule_of
from equipment.models import RuleSet, Step, StepList
from equipment.units.sheets.parts import part_columns
from fleet.intake.columns import CHOICE, CODE, COUNT, DAY, NUMBER, YES_NO
from fleet.intake.registry import Column, SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, choices_of, recorded


def bring_rule_sets(batch: Batch) -> None:
    fields = (
        "code",
        "revision",
        "document",
        "from_on",
        "may_reinspect",
        "warns_same_mistake",
        "step_statement",
        "inspection_statement",
        "reinspection_statement",
        "release_statement",
    )
    values = {name: batch[name] for name in fields}
    bring_plain(batch, RuleSet, key=("code", "revision"), values=values, fixed=recorded(batch))


def bring_step_lists(batch: Batch) -> None:
    names = ("code", "revision", "title", "document", "document_revision", "from_on")
    values: dict[str, list[Any]] = {
        **{name: batch[name] for name in names},
        "kind_id": fleet_lookups.kinds(batch),
        "part_number_id": lookups.parts(batch),
    }
    bring_plain(batch, StepList, key=("code", "revision"), values=values, fixed=recorded(batch))


def bring_steps(batch: Batch) -> None:
    lists = _lists(batch)
    _refuse_unsound(batch, lists)
    rules = [_rule(batch, line) for line in range(len(batch))]
    for line in batch.good:
        _refuse_rule(batch, line, rules[line])
    _refuse_added(batch, lists)
    names = (
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
    values: dict[str, list[Any]] = {name: batch[name] for name in names}
    values |= {
        "step_list_id": lists,
        "is_needed": [needed is not False for needed in batch["is_needed"]],
        "rule": rules,
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


def rule_data(cells: Mapping[str, Any]) -> dict[str, Any]:
    """A step's rule from its flat columns, as ``equipment.judging.steps.rules`` tells it by sort."""
    sort, given = cells["sort"], {name: cells[name] for name in ("low", "high", "unit")}
    as_text = {name: str(value) for name, value in given.items() if value is not None}
    rule: dict[str, Any]
    if sort == "count":
        rule = {"what": cells["counted"] or "", "is_returned": cells["returns"] is not None}
    elif sort == "torque":
        rule = {**as_text, "has_drag": bool(cells["has_drag"])}
    elif sort == "resistance":
        rule = {"limit": as_text.get("high", ""), "unit": as_text.get("unit", "")}
        rule["is_strict"] = bool(cells["is_strict"])
    elif sort in {"endurance", "weight"}:
        moved = {"low": "at_least", "high": "at_most", "unit": "unit"}
        rule = {moved[name]: value for name, value in as_text.items()}
        if cells["loss_percent"] is not None:
            rule |= {
                "loss_percent": str(cells["loss_percent"]),
                "is_strict": bool(cells["is_strict"]),
            }
    else:
        rule = as_text
    return rule | ({"needs_tool": True} if cells["needs_tool"] else {})


_OF_RULE = (
    "sort",
    "low",
    "high",
    "unit",
    "counted",
    "returns",
    "has_drag",
    "is_strict",
    "loss_percent",
    "needs_tool",
)


def _rule(batch: Batch, line: int) -> dict[str, Any]:
    return rule_data({name: batch[name][line] for name in _OF_RULE})


#: Where a sheet has what the rule calls otherwise.
_COLUMN_OF = {"limit": "high", "at_least": "low", "at_most": "high", "what": "counted"}


def _refuse_rule(batch: Batch, line: int, rule: dict[str, Any]) -> None:
    found = rule_of(batch["sort"][line], rule)
    if isinstance(found, list):
        problem = found[0]
        field = _COLUMN_OF.get(problem.field or "", problem.field or "sort")
        name = field if field in _OF_RULE else "sort"
        batch.refuse(line, name, problem.code, problem.sentence)


def _refuse_unsound(batch: Batch, lists: list[int | None]) -> None:
    """Phases in their order, a return that answers a count, one removal and one installation."""
    order = [phase for phase, _ in Step.PHASES]
    sorts: dict[tuple[int | None, int], str] = {}
    latest: dict[int | None, int] = {}
    posted: set[tuple[int | None, str]] = set()
    by_number = sorted(batch.good, key=lambda line: (lists[line] or 0, batch["number"][line]))
    for line in by_number:
        key, number = lists[line], batch["number"][line]
        at, posts, returns = (
            order.index(batch["phase"][line]),
            batch["posts"][line],
            batch["returns"][line],
        )
        sorts[key, number] = batch["sort"][line]
        if at < latest.get(key, 0):
            batch.refuse(
                line,
                "phase",
                "phase_out_of_order",
                f"A step before it is in a later phase. The phases come in this order: {', '.join(order)}.",
            )
        if posts and (key, posts) in posted:
            batch.refuse(
                line,
                "posts",
                "recorded_twice",
                f"Another step of the list records the {posts} already. One of them is enough.",
            )
        if returns is not None and sorts.get((key, returns)) != "count":
            batch.refuse(
                line,
                "returns",
                "nothing_to_return",
                f"Step {returns} counts nothing that could come back here. Name the step that does.",
            )
        latest[key] = max(at, latest.get(key, 0))
        if posts:
            posted.add((key, posts))


def _refuse_added(batch: Batch, lists: list[int | None]) -> None:
    """A list on record is never changed: other steps are another revision of it."""
    kept: dict[int, set[int]] = {}
    for key, number in Step.objects.filter(step_list__in=set(lists) - {None}).values_list(
        "step_list", "number"
    ):
        kept.setdefault(key, set()).add(number)
    for line in batch.good:
        numbers = kept.get(lists[line] or 0)
        if numbers and batch["number"][line] not in numbers:
            batch.refuse(
                line,
                "number",
                "step_list_on_record",
                "This list is on record without that step, and work may rest on it. Bring the list"
                " under its next revision.",
            )


_STATEMENT = 600
RULE_SETS = SheetKind(
    "Rule sets",
    "The operator's rules of signing: who may inspect, and what exactly is signed.",
    42,
    "enter_procedures",
    (
        Column("Code", "code", CODE, True, "Code of the rules.", most=24),
        Column("Revision", "revision", CODE, True, "Their revision.", ("rev",), most=24),
        Column("Document", "document", needed=True, meaning="The document that lays them down."),
        Column(
            "From",
            "from_on",
            DAY,
            True,
            "The first day on which they hold.",
            ("from on", "valid from"),
        ),
        Column(
            "Reinspection",
            "may_reinspect",
            YES_NO,
            meaning="yes: one person may inspect the own work again in unforeseen circumstances.",
        ),
        Column(
            "Same mistake warning",
            "warns_same_mistake",
            YES_NO,
            meaning="yes: warn who changes the same kind of unit at two doors in one visit.",
        ),
        Column(
            "Step statement",
            "step_statement",
            needed=True,
            meaning="What the sign-off of a step says.",
            most=400,
        ),
        Column(
            "Inspection statement",
            "inspection_statement",
            needed=True,
            meaning="What an independent inspection says.",
            most=400,
        ),
        Column(
            "Reinspection statement",
            "reinspection_statement",
            meaning="What a reinspection by the same person says.",
            most=400,
        ),
        Column(
            "Release statement",
            "release_statement",
            needed=True,
            meaning="What the sign-off of the whole swap says.",
            most=_STATEMENT,
        ),
    ),
    bring_rule_sets,
    [
        [
            "EX-SIGN",
            "1",
            "EX-MOE-2",
            "2024-01-01",
            "no",
            "yes",
            "I have done this step.",
            "I have inspected this step independently.",
            "",
            "I certify that this work was carried out as the data named require.",
        ]
    ],
)

STEP_LISTS = SheetKind(
    "Step lists",
    "Lists of steps for a kind of position, or for one part number there. Another revision is another line.",
    43,
    "enter_procedures",
    (
        Column("List", "code", CODE, True, "Code of the list.", ("step list", "code"), most=32),
        Column("Revision", "revision", CODE, True, "Revision of the list.", ("rev",), most=24),
        Column("Title", "title", needed=True, meaning="What is done by it.", most=120),
        Column("Kind", "kind", CODE, True, "Code of the kind of position.", most=24),
        *part_columns(needed=False),
        Column(
            "Document", "document", needed=True, meaning="The approved document it is taken from."
        ),
        Column("Document revision", "document_revision", CODE, True, "Its revision.", most=24),
        Column(
            "From",
            "from_on",
            DAY,
            True,
            "The first day on which it is used.",
            ("from on", "valid from"),
        ),
    ),
    bring_step_lists,
    [["EX-STEPS", "1", "Example change", "EXSLIDE", "", "", "EX-CM-1", "1", "2024-01-01"]],
)

STEPS = SheetKind(
    "Steps",
    "The steps of the lists, in the order of the work.",
    44,
    "enter_procedures",
    (
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
        Column(
            "Caution", "caution", meaning="The danger of this step, shown in the step.", most=300
        ),
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
            "Earns",
            "earns",
            CODE,
            meaning="Code of the work that the released job counts as.",
            most=32,
        ),
        Column("Low", "low", NUMBER, meaning="The least that is in tolerance."),
        Column(
            "High",
            "high",
            NUMBER,
            meaning="The most that is in tolerance; of a resistance its limit.",
        ),
        Column("Unit", "unit", meaning="Of low and high: in-lb, N·m, mΩ, psi, min, kg …", most=16),
        Column(
            "Less than", "is_strict", YES_NO, meaning="yes: the limit itself is out of tolerance."
        ),
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
        Column("Counted", "counted", meaning="What is counted: safety pins, tools …"),
        Column(
            "Tool needed",
            "needs_tool",
            YES_NO,
            meaning="yes: the value counts only with a calibrated tool.",
        ),
    ),
    bring_steps,
    [
        [
            "EX-STEPS",
            "1",
            "1",
            "Make safe",
            "count",
            "Fit the safety pin. Pins fitted:",
            "Without the pin it can discharge.",
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
            "safety pins",
            "",
        ],
        [
            "EX-STEPS",
            "1",
            "2",
            "Remove",
            "confirmation",
            "Lift it out. Record what came off.",
            "",
            "",
            "",
            "",
            "the removal",
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
        ],
        [
            "EX-STEPS",
            "1",
            "3",
            "Install",
            "confirmation",
            "Lift it in. Record what went on.",
            "",
            "",
            "",
            "",
            "the installation",
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
        ],
        [
            "EX-STEPS",
            "1",
            "4",
            "Install",
            "torque",
            "Mount bolts.",
            "",
            "",
            "",
            "yes",
            "",
            "",
            "",
            "50",
            "70",
            "in-lb",
            "",
            "yes",
            "",
            "",
            "yes",
        ],
        [
            "EX-STEPS",
            "1",
            "5",
            "Restore",
            "count",
            "Take the pin out. Pins returned:",
            "",
            "",
            "",
            "yes",
            "",
            "1",
            "",
            "",
            "",
            "",
            "",
            "",
            "",
            "safety pins",
            "",
        ],
    ],
)

SHEETS = (RULE_SETS, STEP_LISTS, STEPS)
