"""Days and moments as people type them and read them again, whatever the browser's language.

Shown is ``3 Mar 2027`` and ``3 Mar 2027 14:05``; typed may be any form that has one reading only, such as
``2027-03-03`` or ``30.11.26``. What has two is asked about, never guessed. Programs give 2027-03-03 alone.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.http import HttpRequest

from fleet.house.moments import is_plausible
from fleet.house.pages import TOO_FAR
from fleet.intake.dates import Stamp, stamp_of
from fleet.intake.problems import CellProblem
from fleet.intake.stamps import Reading
from fleet.words.said import day_words

DAY_AS = "3 Mar 2027"
MOMENT_AS = "3 Mar 2027 14:05"


def day_typed(text: str) -> dt.date:
    """A day as it was typed. ValueError with a sentence for anything else, or a day too far off."""
    stamp = _stamp(text, DAY_AS)
    if stamp.precision != "day":
        raise ValueError(f"“{text[:40]}” is not one day. Write it as {DAY_AS}.")
    return stamp.on


def moment_typed(text: str) -> dt.datetime:
    """A day and a time of 24 hours, in UTC. ValueError with a sentence for anything else."""
    stamp = _stamp(text, MOMENT_AS)
    if stamp.at is None:
        raise ValueError(f"“{text[:40]}” has no time. Write it as {MOMENT_AS}, in UTC.")
    return dt.datetime.combine(stamp.on, stamp.at, dt.UTC)


def _stamp(text: str, would_do: str) -> Stamp:
    found: Reading = stamp_of(text)
    if isinstance(found, CellProblem):
        if found.code == "date_out_of_range":
            raise ValueError(f"“{text[:40]}” {TOO_FAR}")
        if found.code != "not_a_date":
            raise ValueError(f"{found.message} Write it as {would_do}.")
        found = None
    if not isinstance(found, Stamp) or not is_plausible(found.on):
        raise ValueError(f"“{text[:40]}” is not a date. Write it as {would_do}.")
    return found


def day_asked(request: HttpRequest, name: str) -> tuple[dt.date | None, str]:
    """(the day in the query, a sentence if it is none): ``?at=2027-03-03``."""
    text = request.GET.get(name, "").strip()
    if not text:
        return None, ""
    try:
        return day_typed(text), ""
    except ValueError as fault:
        return None, str(fault)


class DayInput(forms.TextInput):
    """A text that says a day; the script beside it (``face/days.js``) opens the browser's calendar."""

    asked = {"placeholder": DAY_AS, "autocomplete": "off", "spellcheck": "false", "data-day": "day"}

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({**self.asked, **(attrs or {})})

    def format_value(self, value: Any) -> str | None:
        if isinstance(value, dt.datetime):
            value = value.date()
        return day_words(value) if isinstance(value, dt.date) else value


class MomentInput(DayInput):
    """A text that says a day and a time of 24 hours."""

    asked = {**DayInput.asked, "placeholder": MOMENT_AS, "data-day": "datetime-local"}

    def format_value(self, value: Any) -> str | None:
        if isinstance(value, dt.datetime):
            return f"{day_words(value.date())} {value:%H:%M}"
        return super().format_value(value)
