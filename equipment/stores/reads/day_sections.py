"""The clerk's day as its page shows it: counts, and short lists whose lines have one next act each."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from equipment.stores.ports import ToSetAside
from equipment.units.printed import ToBringBack
from fleet.models import Station
from fleet.words.said import weekday_words

from .clerk_day import ClerkDay, Incoming, ToIssue, Waiting, total_of
from .issued import Issued
from .owed import Owed
from .shop_loop import AtShop

MOST_SHOWN = 6
#: What was handed over longer ago, in days, and is not fitted, somebody should ask for.
LONG_OUT = 7


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that waits: the unit, what is known of it, the one next act and where it is done."""

    unit: str
    more: str
    act: str
    link: str
    is_late: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """One list of the day, or the first ``lines`` of it; ``empty`` is what the page says where nothing waits."""

    code: str
    title: str
    lines: tuple[Line, ...]
    all_link: str
    empty: str
    count: int

    @property
    def shown(self) -> tuple[Line, ...]:
        return self.lines[:MOST_SHOWN]

    @property
    def left(self) -> int:
        return max(0, self.count - MOST_SHOWN)


TITLES = {
    "tags": "Tags to bring back",
    "late": "Late from shop",
    "inspect": "To inspect",
    "issue": "To issue",
    "issued": "Issued, not fitted yet",
    "set-aside": "To set aside",
    "receive": "To receive",
    "send": "To send",
    "owed": "To go back or come back",
    "quarantine": "In quarantine, papers or doubts to clear",
}
EMPTY = {
    "tags": "No printed tag says what does not hold.",
    "late": "No shop is late.",
    "inspect": "Nothing waits for its incoming inspection.",
    "issue": "Nothing that is set aside waits to be handed over.",
    "issued": "Nothing that was handed over waits to be fitted or brought back.",
    "set-aside": "No need waits for a unit.",
    "receive": "Nothing is expected from a shop.",
    "send": "Nothing unserviceable lies here.",
    "owed": "No loan, exchange or core is due within two weeks.",
    "quarantine": "Nothing waits for a paper.",
}


def sections(day: ClerkDay, station: str) -> list[Section]:
    """The day in the order in which a clerk works through it: what is late first."""
    here = f"?station={station}" if station else ""
    shop, set_aside = reverse("equipment:stores_shop") + here, _address("stores_set_aside", here)
    waits = _address("stores_waiting", here)
    parts: tuple[tuple[str, Callable[[Any], Line], Sequence[object], str], ...] = (
        ("tags", _hangs, day.tags, waits),
        ("late", _late, day.late, shop),
        ("inspect", _waits, day.to_inspect, waits),
        ("issue", _issues, day.to_issue, set_aside),
        ("set-aside", _sets_aside, day.to_set_aside, set_aside),
        ("issued", _out, day.issued, set_aside),
        ("receive", _comes, day.to_receive, shop),
        ("owed", _owes, day.owed, reverse("equipment:stores_owed")),
        ("send", _waits, day.to_send, waits),
        ("quarantine", _waits, day.in_quarantine, waits),
    )
    return [
        Section(code, TITLES[code], _lines(line, rows), link, EMPTY[code], total_of(rows))
        for code, line, rows, link in parts
        if rows or code != "tags"
    ]


def _address(name: str, query: str) -> str:
    return reverse(f"equipment:{name}") + query


def _lines(line: object, rows: Iterable[object]) -> tuple[Line, ...]:
    assert callable(line)
    return tuple(line(row) for row in rows)


def _hangs(tag: ToBringBack) -> Line:
    link = reverse("equipment:stores_tag_back", args=[tag.printed_id])
    return Line(tag.unit, f"{tag.words}. {tag.why}", "Bring it back", link, is_late=True)


def _late(order: AtShop) -> Line:
    days = f"{order.days_late} day{'s' if order.days_late != 1 else ''} late"
    said = f"{days}, promised {weekday_words(order.promised_on)} by {order.shop}"
    return Line(order.unit, said, "Chase the shop", _order(order.order_id), is_late=True)


def _order(order_id: int) -> str:
    return reverse("equipment:stores_order", args=[order_id])


def _waits(unit: Waiting) -> Line:
    since = f" Since {weekday_words(unit.since_on)}." if unit.since_on else ""
    # The line begins with the unit: its reasons need not name it again.
    why = unit.why.replace(f"{unit.unit}: ", "").replace(unit.unit, "It")
    return Line(unit.unit, f"{unit.station}: {why}{since}", unit.act, unit.link)


def _issues(row: ToIssue) -> Line:
    where = " ".join(part for part in (row.station, row.bin_name) if part)
    more = row.wrong or f"For {row.need}. In {where or 'the store'}, by {row.reserved_by}."
    return Line(row.unit, more, row.act, row.link, is_late=bool(row.wrong))


def _out(row: Issued) -> Line:
    age = "today" if not row.days else f"{row.days} day{'s' if row.days != 1 else ''} ago"
    job = f", job {row.job}" if row.job else ""
    more = f"To {row.to or 'nobody named'}{job}, for {row.need}, {weekday_words(row.on)}, {age}"
    link = reverse("equipment:stores_bring_back", args=[row.reservation_id])
    return Line(row.unit, more, "Bring it back", link, is_late=row.days > LONG_OUT)


def _sets_aside(row: ToSetAside) -> Line:
    return Line(row.unit or "No unit yet", f"For {row.need}", row.act, row.link)


def _owes(row: Owed) -> Line:
    left = row.days_left
    when = f"{-left} day{'s' if left != -1 else ''} late" if left < 0 else f"in {left} days"
    when = {0: "today", 1: "tomorrow"}.get(left, when)
    way = "from" if row.sort == "lent" else "to"
    cost = f", {row.so_far} until today" if row.so_far else ""
    more = f"{row.what[0].upper()}{row.what[1:]}, {way} {row.owner} by {weekday_words(row.by_on)}, {when}{cost}"
    return Line(row.unit, more, row.act, row.link, is_late=row.is_late)


def _comes(row: Incoming) -> Line:
    more = f"From {row.origin}, promised {weekday_words(row.expected_on)}"
    return Line(row.unit, more, "Record its return", row.link, is_late=row.is_late)


def stations() -> list[tuple[str, str]]:
    rows = Station.objects.order_by("code").values_list("code", "name")
    return [(code, f"{code}, {name}") for code, name in rows]


def known_station(text: str) -> str:
    """The station asked for if there is one, else nothing: everywhere."""
    return text if text in {code for code, _ in stations()} else ""


def first_of(sections_shown: Iterable[Section], *codes: str) -> Iterator[Section]:
    return (each for each in sections_shown if each.code in codes)
