"""What no line of a sheet tells by itself: stations, works, limits."""

from __future__ import annotations

from collections.abc import Sequence

from .gathered import PROGRAMME, Lines, station_code
from .intervals import LIFE, Added
from .said import Said
from .unit import At, Seen
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
    works = {work for one in seen for work in (*one.done, *one.next, *one.interval)}
    for work in sorted(works - lines.record.works):
        name = work_name(work)
        lines.add("Works", [work], nowhere, {"code": work, "name": name})
    stated = [
        (each, months)
        for each in added
        if each.key not in lines.record.limits and (months := _stated(each, said))
    ]
    if not stated:
        return
    lines.add(
        "Programmes",
        [PROGRAMME],
        nowhere,
        {"code": PROGRAMME, "name": "Own programme", "revision": "1", "govern_spares": "yes"},
    )
    for each, months in stated:
        _of_limit(lines, each, months)


def _stated(each: Added, said: Said) -> int:
    text = said.months.get(each.key, "").strip()
    return int(text) if text.isdecimal() and 0 < int(text) <= 1200 else 0


def _of_limit(lines: Lines, each: Added, months: int) -> None:
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
    start = "manufacture" if each.work == LIFE else "last done"
    lines.add(
        "Clocks",
        [code],
        At(-1, 0),
        {
            **rule,
            "clock": "1",
            "measure": "months",
            "amount": str(months),
            "counts_from": start,
            "first_from": "manufacture",
        },
    )
