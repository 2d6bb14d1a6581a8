"""What no line of a sheet tells by itself: stations, works, limits."""

from __future__ import annotations

from collections.abc import Sequence

from .counted import OVERHAUL, since_a_work_without_a_day
from .gathered import PROGRAMME, Lines, station_code
from .intervals import LIFE, Added
from .said import Said
from .totals import add_measures
from .unit import At, Seen
from .words.counts import CODES, CYCLES, HOURS, amount_of, amount_words
from .words.heads import work_name


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
        if each.key not in lines.record.limits and (clocks := _stated(each, said))
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
        _of_limit(lines, each, clocks, "manufacture" if is_known else "")


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


def _of_limit(
    lines: Lines, each: Added, clocks: Sequence[tuple[str, str]], first_from: str
) -> None:
    """``first_from`` is blank where units had the work and nobody says when: nothing is counted from their
    manufacture then."""
    said = lines.said
    work = work_name(each.work)
    code = f"{each.work}-{each.kind}"[:40]
    rule = {"programme": PROGRAMME, "limit": code, "revision": "1"}
    lines.add(
        "Limits",
        [code],
        At(-1, 0),
        {
            **rule,
            "title": f"{each.kind_name}: {work.lower()}"[:120],
            "work": each.work,
            "kind": each.kind,
            "document": said.document or "Own sheet, to be confirmed with approved data",
            "document_revision": said.revision or "NOT-STATED",
        },
    )
    for number, (measure, amount) in enumerate(clocks, start=1):
        if measure != "months":
            add_measures(lines)
        values = {
            **rule,
            "clock": str(number),
            "measure": measure,
            "amount": amount,
            "counts_from": "manufacture" if each.work == LIFE else "last done",
            "first_from": first_from,
        }
        lines.add("Clocks", [code, measure], At(-1, 0), values)
