"""How dates, hours and counts are said, the same on every screen, print and export."""

from __future__ import annotations

from datetime import date, datetime

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
# Narrow and unbreakable: 12 345 stays one number at the end of a line.
THIN = "\u202f"
MINUS = "\u2212"


def day_words(day: date | None) -> str:
    """``3 Mar 2027``, in English whatever the server's locale; empty for no date."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}" if day else ""


def weekday_words(day: date | None) -> str:
    """``Wed 3 Mar 2027``, for where a plan is made."""
    return f"{WEEKDAYS[day.weekday()]} {day_words(day)}" if day else ""


def month_words(day: date | None) -> str:
    """``Mar 2027``."""
    return f"{MONTHS[day.month - 1]} {day.year}" if day else ""


def dated_words(day: date | None, precision: str) -> str:
    """A date no more exact than it is known: ``3 Mar 2027``, ``Mar 2027``, ``2027``, or ``on or before
    3 Mar 2027`` where it was so by that day."""
    if day is not None and precision == "by":
        return f"on or before {day_words(day)}"
    if day is None or precision not in {"month", "year"}:
        return day_words(day)
    return month_words(day) if precision == "month" else str(day.year)


def clock_words(at: datetime | None) -> str:
    """The time of day of an instant, in its own zone: ``14:05 UTC``; empty for none."""
    return f"{at:%H:%M} {at:%Z}".rstrip() if at else ""


def moment_words(at: datetime | None) -> str:
    """An instant in its own zone: ``3 Mar 2027 14:05 UTC``; empty for none."""
    return f"{day_words(at.date())} {clock_words(at)}" if at else ""


def count_words(number: int | None) -> str:
    """``12 345`` with a thin space between thousands; a true minus below zero."""
    if number is None:
        return ""
    sign = MINUS if number < 0 else ""
    return sign + f"{abs(number):,}".replace(",", THIN)


def hours_words(minutes: int | None) -> str:
    """Minutes said as hours: ``12 345:30``."""
    if minutes is None:
        return ""
    hours, rest = divmod(abs(minutes), 60)
    return f"{MINUS if minutes < 0 else ''}{count_words(hours)}:{rest:02d}"


def days_words(days: int) -> str:
    """``1 day``, ``98 days``."""
    return f"{count_words(days)} day{'' if abs(days) == 1 else 's'}"


def left_words(days: int | None) -> str:
    """How long until a day: ``98 days remaining``, ``today``, ``12 days over``; empty if not known."""
    if days is None:
        return ""
    if days == 0:
        return "today"
    return f"{days_words(days)} remaining" if days > 0 else f"{days_words(-days)} over"


def remaining_words(days: int | None) -> str:
    """The same under a head that says *remaining*: ``98 days``, ``today``, ``12 days over``."""
    return left_words(days).removesuffix(" remaining")
