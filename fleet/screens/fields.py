"""The fields of forms: a day, a moment, a figure, a line of text, a text with what is usual offered."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any, TypeVar

from django import forms
from django.core.exceptions import ValidationError

from fleet.house.pages import refuse_far
from fleet.intake.dates import Stamp, stamp_of
from fleet.intake.problems import CellProblem

from .days import MOMENT_AS, DayInput, MomentInput, day_typed, moment_typed

Read = TypeVar("Read", bound=date)


class Day(forms.DateField):
    """A day as it was typed; one too far off is a typing mistake."""

    def __init__(self, **more: Any) -> None:
        messages = {"required": "Give the day.", **more.pop("error_messages", {})}
        super().__init__(
            widget=DayInput(), error_messages=messages, validators=[refuse_far], **more
        )

    def to_python(self, value: Any) -> date | None:
        return _typed(value, day_typed)


class Moment(forms.DateTimeField):
    """A day and a time of 24 hours in UTC, as they were typed; a day too far off is a typing mistake."""

    def __init__(self, **more: Any) -> None:
        messages = {"required": f"Give the day and time as {MOMENT_AS}."}
        super().__init__(widget=MomentInput(), error_messages=messages, **more)

    def to_python(self, value: Any) -> datetime | None:
        return _typed(value, moment_typed)


def _typed(value: Any, read: Callable[[str], Read]) -> Read | None:
    if not isinstance(value, str):
        return value or None
    if not value.strip():
        return None
    try:
        return read(value)
    except ValueError as fault:
        raise ValidationError(str(fault), code="invalid") from None


def clock_time(label: str) -> forms.TimeField:
    """A time of 24 hours, typed so in every browser."""
    shown = {"placeholder": "14:05", "autocomplete": "off", "inputmode": "numeric"}
    return forms.TimeField(
        required=False,
        label=label,
        widget=forms.TimeInput(attrs=shown, format="%H:%M"),
        input_formats=["%H:%M"],
        error_messages={"invalid": "Give the time as 14:05, from 00:00 to 23:59."},
    )


class Stamped(forms.CharField):
    """A day, or the month or the year alone, as a plate has it: a :class:`Stamp`, or None."""

    def __init__(self, label: str) -> None:
        attrs = {"autocomplete": "off", "spellcheck": "false"}
        super().__init__(
            label=label,
            required=False,
            max_length=20,
            widget=forms.TextInput(attrs=attrs),
            help_text="As stamped: 14 Feb 2021, or 02/2021, or FEB 21",
        )

    def clean(self, value: Any) -> Stamp | None:
        found = stamp_of(super().clean(value))
        if isinstance(found, CellProblem):
            # What would do is said of a form here, not of a file.
            words = f"{found.message} Write it as 14 Feb 2021, or 2021-02-14; a month as Feb 2021."
            raise ValidationError(words, code=found.code)
        if found is not None and found.precision == "instant":
            raise ValidationError("Give the day without a time.", code="instant")
        return found


class Figures(forms.CharField):
    """A number as a person writes it: comma or point, thousands apart; a sentence for all else."""

    def __init__(self, read: Callable[[object], int | CellProblem | None], **more: Any) -> None:
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(required=False, max_length=40, widget=forms.TextInput(attrs=attrs), **more)
        self.read = read

    def clean(self, value: Any) -> int | None:
        found = self.read(super().clean(value))
        if isinstance(found, CellProblem):
            raise ValidationError(found.sentence, code=found.code)
        return found


class Offered(forms.CharField):
    """A text with what is usual offered below it; anything may be typed."""

    def __init__(self, label: str, most: int, offered: Sequence[str], name: str) -> None:
        self.offered, self.list_id = offered, f"offer_{name}"
        attrs = {"autocomplete": "off", "list": self.list_id}
        super().__init__(
            label=label, max_length=most, required=False, widget=forms.TextInput(attrs=attrs)
        )


def stated_life() -> forms.IntegerField:
    """Months of life as a label states them; a unit without such a label has none."""
    return forms.IntegerField(
        label="Life stated on it, in months", required=False, min_value=1, max_value=600
    )


def text(label: str, most: int, *, is_needed: bool = False, **more: Any) -> forms.CharField:
    """A line of text; no spelling help, as it is copied from paper."""
    plain = forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"})
    more.setdefault("widget", plain)
    more.setdefault("error_messages", {"required": "Fill this in."})
    return forms.CharField(label=label, max_length=most, required=is_needed, **more)
