"""What no line of a sheet tells by itself: stations, works, limits."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from .counted import OVERHAUL, since_a_work_without_a_day
from .gathered import PROGRAMME, Lines, part_of, station_code
from .intervals import LIFE, NO_STAMP, Added
from .said import Said
from .totals import add_measures
from .unit import At, Seen
from .words.counts import CODES, CYCLES, HOURS, amount_of, amount_words
from .words.heads import work_name

#: What becomes of a cylinder past its test, as the sheet of clocks has it.
NOT_FILLED = "may stay until emptied, not be refilled or installed"


def add_the_house(lines: Lines, added: Sequence[Added], seen: Sequence[Seen]) -> None:
    said, house, nowhere = lines.said, lines.house, At(-1, 0)
    code = station_code(house, said)
    if code not in house.stations:
        zone = said.zone or house.zone
        lines.add(
            "Stations",
            [code],
            nowhere,
            {"code": code, "name": said.station or "Main base", "time_zone": zone},
        )
    works = {work for one in seen for work in one.works}
    for work in sorted(works - lines.record.works):
        name = work_name(work)
        lines.add("Works", [work], nowhere, {"code": work, "name": name})
    stated = [
        (each, clocks)
        for each in added
        if each.without_limit(lines.record) and (clocks := _stated(each, said))
    ]
    if not stated:
        return
    lines.add(
        "Programmes",
        [PROGRAMME],
        nowhere,
        {"code": PROGRAMME, "name": "Own programme", "revision": "1", "govern_spares": "yes"},
    )
    undated = {house.kind(one.item, said)[0] for one in seen if since_a_work_without_a_day(one)}
    for each, clocks in stated:
        is_known = each.work != OVERHAUL or each.kind not in undated
        narrowed = _narrowed(lines, each, seen)
        _of_limit(lines, each, clocks, "manufacture" if is_known else "", narrowed)


def _stated(each: Added, said: Said) -> list[tuple[str, str]]:
    """Measure and amount of each clock of a limit, as a person said them."""
    months = said.months.get(each.key, "").strip()
    found = []
    if months.isdecimal() and 0 < int(months) <= 1200:
        found.append(("months", months))
    for measure, kept in ((HOURS, said.hours), (CYCLES, said.cycles)):
        amount = amount_of(measure, kept.get(each.key, "").strip())
        if amount:
            found.append((CODES[measure], amount_words(measure, amount)))
    return found


def _short(of: str | None) -> str:
    """A specification as part of a code."""
    return "" if of is None else re.sub(r"[^A-Z0-9]", "", of.upper()) or NO_STAMP


def _narrowed(lines: Lines, each: Added, seen: Sequence[Seen]) -> dict[str, object]:
    """To which units a limit applies that is not of a whole kind: to part numbers of which none is on record, and of
    one specification to serial numbers too, unless every unit of those part numbers is of it."""
    parts = each.without_limit(lines.record)
    if each.of is None:
        is_whole = not lines.record.limited_parts.get(each.subject)
        return {} if is_whole else {"part_numbers": ", ".join(sorted(parts))}
    house, said = lines.house, lines.said
    of_parts = [one for one in seen if part_of(one, house.kind(one.item, said)[0]) in parts]
    found: dict[str, object] = {"part_numbers": ", ".join(sorted(parts))}
    alike = [one.serial for one in of_parts if house.stamp(one).specification == each.of]
    if len(alike) < len(of_parts):
        found["serials"] = ", ".join(sorted(set(alike)))
    return found


def _of_limit(
    lines: Lines,
    each: Added,
    clocks: Sequence[tuple[str, str]],
    first_from: str,
    narrowed: Mapping[str, object],
) -> None:
    """``narrowed`` are the units it applies to, where not all of its kind. ``first_from`` is blank where units had the
    work and nobody says when: nothing is counted from their manufacture then."""
    said = lines.said
    work = work_name(each.work)
    code = "-".join(filter(None, (each.work, each.kind, _short(each.of))))[:40]
    if each.of is None and narrowed:
        code = f"{code}-{str(narrowed['part_numbers']).partition(',')[0]}"[:40]
    rule = {"programme": PROGRAMME, "limit": code, "revision": "1"}
    lines.add(
        "Limits",
        [code],
        At(-1, 0),
        {
            **rule,
            "title": f"{each.name}: {work.lower()}"[:120],
            "work": each.work,
            "kind": each.kind,
            **narrowed,
            "document": said.document or "Own sheet, to be confirmed with approved data",
            "document_revision": said.revision or "NOT-STATED",
        },
    )
    _of_clocks(lines, each, clocks, {**rule, "first_from": first_from})


def _of_clocks(
    lines: Lines, each: Added, clocks: Sequence[tuple[str, str]], rule: Mapping[str, object]
) -> None:
    code = rule["limit"]
    for number, (measure, amount) in enumerate(clocks, start=1):
        if measure != "months":
            add_measures(lines)
        values = {
            **rule,
            "clock": str(number),
            "measure": measure,
            "amount": amount,
            "counts_from": "manufacture" if each.work == LIFE else "last done",
        }
        lines.add("Clocks", [code, measure], At(-1, 0), values)
        if each.stamps and measure == "months":
            # A cylinder past its test is not filled either: the same months once more, for that.
            filled = {**values, "clock": str(len(clocks) + 1), "runs_out": NOT_FILLED}
            lines.add("Clocks", [code, NOT_FILLED], At(-1, 0), filled)
