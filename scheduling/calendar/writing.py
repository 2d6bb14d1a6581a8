"""Events as iCalendar (RFC 5545): folded, escaped, days without a clock. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

#: A line is folded after so many octets.
FOLD = 75
ESCAPES = (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\\n"), ("\n", "\\n"))


@dataclass(frozen=True, slots=True)
class Event:
    """Whole days, the last included. ``uid`` is the same whenever the event is written."""

    uid: str
    starts_on: date
    ends_on: date
    summary: str
    description: str = ""
    location: str = ""
    url: str = ""
    is_cancelled: bool = False


def calendar_of(name: str, events: Iterable[Event], at: datetime) -> str:
    """The calendar, its lines ended and folded as the format asks."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Greenband//Checks and due dates//EN",
        "CALSCALE:GREGORIAN",
        f"X-WR-CALNAME:{escaped(name)}",
        "REFRESH-INTERVAL;VALUE=DURATION:PT1H",
    ]
    stamp = at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    for event in events:
        lines += _lines(event, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in folded(line))


def _lines(event: Event, stamp: str) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{event.uid}"
    yield f"DTSTAMP:{stamp}"
    yield f"DTSTART;VALUE=DATE:{event.starts_on:%Y%m%d}"
    # The format's end is the first day after.
    yield f"DTEND;VALUE=DATE:{event.ends_on + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{escaped(event.summary)}"
    for name, words in (("DESCRIPTION", event.description), ("LOCATION", event.location)):
        if words:
            yield f"{name}:{escaped(words)}"
    if event.url:
        yield f"URL:{event.url}"
    yield f"STATUS:{'CANCELLED' if event.is_cancelled else 'CONFIRMED'}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def escaped(words: str) -> str:
    """Text as the format has it; what no calendar reads is left out."""
    for plain, code in ESCAPES:
        words = words.replace(plain, code)
    return "".join(letter for letter in words if letter == "\t" or ord(letter) >= 32)


def folded(line: str) -> Iterator[str]:
    """A line in pieces of at most 75 octets, never within a letter; each but the first begins with a blank."""
    piece, size = "", 0
    for letter in line:
        octets = len(letter.encode())
        if size + octets > FOLD:
            yield piece
            piece, size = " ", 1
        piece += letter
        size += octets
    yield piece
