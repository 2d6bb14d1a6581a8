"""What is said to be stamped on a cylinder and cannot be, or is not as the rest of the sheet has it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from fleet.own_sheets.house import House
from fleet.own_sheets.intervals import months_between, months_in, start_of
from fleet.own_sheets.reading.sheets import OwnSheet
from fleet.own_sheets.stamped import ROLES, TEST, StampTold, counts, said_of_stamp
from fleet.own_sheets.unit import Seen
from fleet.own_sheets.words.marks import bare

from .doubt import Doubt, line_of

_BY_FIELD = {field: role for role, field in ROLES.items()}


def unreadable_stamps(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, *_: object
) -> Doubt:
    doubt = Doubt(
        "stamp_unreadable",
        "These cells stand in a column of what is stamped on cylinders and cannot be read as that. Unless they are "
        "mended they are kept as a note of the unit.",
    )
    for one in seen:
        told = house.stamp(one)
        is_one = counts(one, told) or "specification" in told.faults
        for name, says in told.faults.items() if is_one else ():
            if role := _BY_FIELD.get(name):
                doubt.lines.append(line_of(one, sheets, role, says))
    return doubt


def stamps_that_differ(
    seen: Sequence[Seen], sheets: Sequence[OwnSheet], house: House, *_: object
) -> Doubt:
    doubt = Doubt(
        "stamp_differs",
        "What is stamped on these cylinders does not go with the rest of their line, or with others of their part "
        "number. A specification decides how often it is tested: look at the cylinder.",
    )
    stamped = [(one, told) for one in seen if counts(one, told := house.stamp(one))]
    usual = _usual(stamped)
    for one, told in stamped:
        for role, says in _differences(one, told):
            doubt.lines.append(line_of(one, sheets, role, says))
        others, count = usual[bare(one.part)]
        if one.part and others != told.specification and count > 1:
            says = f"{told.specification} here, {others} in {count} other lines of {one.part}."
            doubt.lines.append(line_of(one, sheets, "spec", says))
    return doubt


def _usual(stamped: Sequence[tuple[Seen, StampTold]]) -> dict[str, tuple[str, int]]:
    """By part number its commonest specification, in how many lines."""
    counted: dict[str, Counter[str]] = defaultdict(Counter)
    for one, told in stamped:
        counted[bare(one.part)][told.specification] += 1
    return {part: counter.most_common(1)[0] for part, counter in counted.items()}


def _differences(one: Seen, told: StampTold) -> Iterator[tuple[str, str]]:
    """By the role of its cell what contradicts the stamp of a line."""
    added = months_in(one.interval.get(TEST, "")) or months_between(
        start_of(one, TEST), one.next.get(TEST)
    )
    if added and told.months and added > told.months:
        role = f"next:{TEST}" if TEST in one.next else f"interval:{TEST}"
        yield (
            role,
            f"{added} months here; for {told.specification} {told.source} has {told.words}.",
        )
    said = said_of_stamp(one)
    service, test = (_psi(told, name) for name in ("service_pressure", "test_pressure"))
    if said and said.service_pressure and (own := _stated(said.specification)) and own != service:
        yield "service", f"{said.service_pressure} here, {own:g} psi in {said.specification}."
    if service and test and test <= service:
        yield "proof", f"Tested at {test:g} psi, and its service pressure is {service:g} psi."


def _psi(told: StampTold, name: str) -> float:
    return float((told.values.get(name) or "0").removesuffix(" psi"))


def _stated(specification: str) -> float:
    """The service pressure that stands behind a specification, as in DOT-3HT1850; 0 for none."""
    digits = ""
    for char in reversed(specification.strip()):
        if not char.isdigit():
            break
        digits = char + digits
    return float(digits) if len(digits) in (4, 5) else 0
