"""A directive's units: the case of each, and the listed serial numbers that no unit on record has."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models.functions import Trim, Upper

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Unit
from fleet.drawing.states import state_of
from fleet.words.said import count_words, day_words, hours_words
from scheduling.due.exports import Cell
from scheduling.due.lists.rows import BANDS
from scheduling.facts.applies import population_rows, within
from scheduling.facts.rules import Rule, every_revision
from scheduling.models import Disposition, DueItem, Limit, WorkDone
from scheduling.programme.sentences import spans_words


@dataclass(frozen=True, slots=True)
class Case:
    """One unit under a directive: what was decided of it, how it was complied with last, and when it is
    due again: by day, and at which total (91.417(a)(2)(v), 121.380(a)(2)(vi))."""

    unit: Unit
    words: str
    where: str
    disposition: Disposition | None
    band: str
    due_on: date | None
    due_at: str = ""
    method: str = ""


@dataclass(frozen=True, slots=True)
class Compliance:
    """All that a directive lists: the units on record, and the serial numbers that no unit has."""

    limit: Limit
    listed: str
    cases: tuple[Case, ...]
    unknown: tuple[str, ...]
    ranges: tuple[str, ...]

    @property
    def undecided(self) -> int:
        return sum(case.disposition is None for case in self.cases)


def compliance_of(limit: Limit, rule: Rule) -> Compliance:
    """The units that a directive applies to with the case of each; which listed numbers are unknown."""
    units = Unit.objects.filter(merged_into=None).select_related(
        "part_number", *(f"place__{part}" for part in PLACE_PARTS)
    )
    keys = population_rows(rule, units)
    found = list(units.filter(pk__in=keys).order_by("part_number__number", "serial_number", "pk"))
    latest = {
        one.unit_id: one
        for one in Disposition.objects.filter(limit=limit, unit__in=keys)
        .select_related("recorded_by")
        .order_by("on", "pk")
    }
    due = {row.unit_id: row for row in DueItem.objects.filter(limit=limit, unit__in=keys)}
    done = last_works(limit, keys)
    cases = tuple(
        _case(unit, latest.get(unit.pk), due.get(unit.pk), done.get(unit.pk, "")) for unit in found
    )
    serials = [unit.serial_number for unit in found]
    unknown = unknown_serials([rule]).get(rule.id, ())
    ranges = tuple(
        f"{low} to {high}: {sum(within(serial, [(low, high)]) for serial in serials)} on record"
        for low, high in rule.serials
        if low != high
    )
    return Compliance(limit, spans_words(rule.serials), cases, unknown, ranges)


def _case(unit: Unit, disposition: Disposition | None, due: DueItem | None, method: str) -> Case:
    band = BANDS[due.band][0] if due and due.band < len(BANDS) else ""
    return Case(
        unit,
        unit_words(unit),
        place_words(unit.place),
        disposition,
        band,
        due.due_on if due else None,
        _totals(due),
        method,
    )


def _totals(due: DueItem | None) -> str:
    """``at 5 200:00 h, 900 cycles``: the totals of the next action, as far as the limit counts them."""
    if due is None:
        return ""
    said = [f"{hours_words(due.due_at_minutes)} h"] if due.due_at_minutes is not None else []
    said += [f"{count_words(due.due_at_cycles)} cycles"] if due.due_at_cycles is not None else []
    return f"at {', '.join(said)}" if said else ""


def last_works(limit: Limit, units: Collection[int]) -> dict[int, str]:
    """How the directive was complied with last, of each unit: the work, its method, day and document."""
    rows = WorkDone.objects.filter(
        unit__in=units, work=limit.work_id, result="passed", is_annulment=False, corrected_by=None
    )
    found = {}
    for row in rows.select_related("work").order_by("done_on", "pk"):
        method = row.method.replace("_", " ")
        parts = (row.work.name, method, day_words(row.done_on), row.document or row.certificate)
        found[row.unit_id or 0] = ", ".join(part for part in parts if part)
    return found


def unknown_serials(rules: Iterable[Rule]) -> dict[int, tuple[str, ...]]:
    """The serial numbers that each of these rules lists one by one and that no unit under it has, as they
    are listed, by the rule's key; a rule with none is missing. A unit of another part number is none."""
    wanted = [
        (rule, [low for low, high in rule.serials if low == high]) for rule in rules if rule.serials
    ]
    every = {one.strip().upper() for _, singles in wanted for one in singles}
    if not every:
        return {}
    units = Unit.objects.filter(merged_into=None).annotate(plain=Upper(Trim("serial_number")))
    held = units.filter(plain__in=sorted(every))
    found = {}
    for rule, singles in wanted:
        keys = population_rows(rule, held)
        there = set(held.filter(pk__in=keys).values_list("plain", flat=True))
        found[rule.id] = tuple(one for one in singles if one.strip().upper() not in there)
    return {key: unknown for key, unknown in found.items() if unknown}


def with_compliance(limits: list[Limit]) -> list[Limit]:
    """The same directives, each with its units, how many have no disposition, and the numbers without a unit."""
    rules = {rule.id: rule for _, _, rule in every_revision()}
    for limit in limits:
        told = compliance_of(limit, rules[limit.pk])
        limit.units = len(told.cases)  # type: ignore[attr-defined]
        limit.undecided = told.undecided  # type: ignore[attr-defined]
        limit.unknown_serials = list(told.unknown)  # type: ignore[attr-defined]
    return limits


# --- as a file --------------------------------------------------------------------------------

COLUMNS = (
    "Part number",
    "Serial number",
    "Where",
    "Disposition",
    "Since",
    "Document",
    "Reason",
    "State",
    "Due on",
    "Due at",
    "Method",
)


def cells_of(shown: Compliance) -> Iterator[list[Cell]]:
    """A line for each unit, then for each listed number and range that names none, or how many."""
    for case in shown.cases:
        said = case.disposition
        yield [
            case.unit.part_number.number,
            case.unit.serial_number,
            case.where,
            said.get_sort_display() if said else "none",
            said.on if said else None,
            said.document if said else "",
            said.reason if said else "",
            state_of(case.band).word if case.band else "",
            case.due_on,
            case.due_at,
            case.method,
        ]
    for serial in shown.unknown:
        yield ["", serial, "", "no unit on record", None, "", "", "", None, "", ""]
    for one in shown.ranges:
        serials, _, count = one.partition(": ")
        yield ["", serials, "", count, None, "", "", "", None, "", ""]
