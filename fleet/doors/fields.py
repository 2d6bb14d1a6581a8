"""What may arrive at the API, read strictly: nothing is turned silently into something else."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, ClassVar

from django.db.models import Model
from django.utils.dateparse import parse_datetime
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers
from rest_framework.fields import empty

from fleet.intake.stamps import FIRST_YEAR, LAST_YEAR, is_plausible

BIGGEST = 2**63 - 1
_WHOLE = re.compile(r"-?[0-9]{1,19}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class StrictInteger(serializers.IntegerField):
    """A whole number as such (in a query: its digits), between the bounds of the database."""

    default_error_messages = {
        "invalid": "This is not a whole number. Give digits only, without separators.",
        "too_large": "This number is too large. Give at most {most}.",
        "too_small": "This number is too small. Give at least {least}.",
    }

    def __init__(self, *, least: int = 0, most: int = BIGGEST, **options: Any) -> None:
        self.least, self.most = least, most
        super().__init__(min_value=least, max_value=most, **options)

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, bool) or not isinstance(data, int | str):
            self.fail("invalid")
        if isinstance(data, str) and not (self._is_in_text and _WHOLE.fullmatch(data)):
            self.fail("invalid")
        number = int(data)
        if number > self.most:
            self.fail("too_large", most=self.most)
        if number < self.least:
            self.fail("too_small", least=self.least)
        return number

    @property
    def _is_in_text(self) -> bool:
        """In a query or a form everything is text; in JSON a number is a number."""
        return (
            hasattr(self.root.initial_data, "getlist")
            if hasattr(self.root, "initial_data")
            else False
        )


class StrictText(serializers.CharField):
    """Text as such: a number or a truth value is not taken for text."""

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        return super().to_internal_value(data)


class KeyOf(StrictText):
    """A code that people know, read as the key of its row; one that nobody entered is refused."""

    def __init__(self, model: type[Model], column: str, what: str, **options: Any) -> None:
        self.model, self.column, self.what = model, column, what
        super().__init__(**options)

    def run_validation(self, data: Any = empty) -> Any:
        code = super().run_validation(data)
        if not code:
            return None
        rows = self.model._default_manager.filter(**{f"{self.column}__iexact": code})
        key = rows.values_list("pk", flat=True).first()
        if key is None:
            raise serializers.ValidationError(
                f"There is no {self.what} “{code[:40]}”. Give one that is on record.",
                f"unknown_{self.what.replace(' ', '_')}",
            )
        return key


class IdOf(StrictInteger):
    """The id of a row on record; ``look_up`` says where a program finds it."""

    def __init__(self, model: type[Model], what: str, look_up: str = "", **options: Any) -> None:
        self.model, self.what, self.look_up = model, what, look_up
        super().__init__(least=1, **options)

    def run_validation(self, data: Any = empty) -> Any:
        key = super().run_validation(data)
        if key is not None and not self.model._default_manager.filter(pk=key).exists():
            raise serializers.ValidationError(
                f"No {self.what} has the id {key}. {self.look_up or 'Give one that is on record.'}",
                f"unknown_{self.what.replace(' ', '_')}",
            )
        return key


class StrictBoolean(serializers.BooleanField):
    """true or false, nothing that looks like it."""

    default_error_messages = {"invalid": "Give true or false."}

    def to_internal_value(self, data: Any) -> bool:
        if isinstance(data, bool):
            return data
        if data in ("true", "false") and hasattr(self.root.initial_data, "getlist"):
            return bool(data == "true")
        self.fail("invalid")
        return False


def _plausible(day: date) -> date:
    if not is_plausible(day):
        raise serializers.ValidationError(
            f"This year is not between {FIRST_YEAR} and {LAST_YEAR}. Correct it.",
            "implausible_year",
        )
    return day


class Day(serializers.DateField):
    """A date as 2027-03-03."""

    default_error_messages = {
        "invalid": "This is not a date. Write year, month and day as 2027-03-03.",
        "datetime": "This is not a date. Write year, month and day as 2027-03-03.",
    }

    def to_internal_value(self, value: Any) -> date:
        if not isinstance(value, str) or not _DAY.fullmatch(value):
            self.fail("invalid", format="YYYY-MM-DD")
        try:
            return _plausible(date.fromisoformat(value))
        except ValueError:
            self.fail("invalid", format="YYYY-MM-DD")


_MONTH = re.compile(r"[0-9]{4}-[0-9]{2}")


@extend_schema_field(
    {"type": "string", "example": "2027-03", "pattern": r"^[0-9]{4}-[0-9]{2}(-[0-9]{2})?$"}
)
class DayOrMonth(serializers.Field):
    """A date as 2027-03-03, or a month alone as 2027-03: read as (first day, precision)."""

    default_error_messages = {
        "invalid": "This is neither a date nor a month. Write 2027-03-03, or 2027-03.",
    }

    def to_internal_value(self, data: Any) -> tuple[date, str]:
        if isinstance(data, str) and _MONTH.fullmatch(data):
            text, precision = f"{data}-01", "month"
        elif isinstance(data, str) and _DAY.fullmatch(data):
            text, precision = data, "day"
        else:
            self.fail("invalid")
        try:
            return _plausible(date.fromisoformat(text)), precision
        except ValueError:
            self.fail("invalid")

    def to_representation(self, value: Any) -> Any:
        return value


@extend_schema_field(OpenApiTypes.DATETIME)
class Instant(serializers.Field):
    """An instant with its offset from UTC, as 2027-03-03T14:05:00Z."""

    default_error_messages = {
        "invalid": "This is not an instant. Write date, time and offset as 2027-03-03T14:05:00Z.",
        "no_offset": "An instant needs its offset from UTC: add Z, or +02:00.",
    }

    def to_internal_value(self, data: Any) -> datetime:
        try:
            found = parse_datetime(data) if isinstance(data, str) else None
        except ValueError:
            found = None
        if found is None:
            self.fail("invalid")
        assert found is not None
        if found.tzinfo is None:
            self.fail("no_offset")
        _plausible(found.date())
        return found

    def to_representation(self, value: datetime) -> str:
        return value.isoformat().replace("+00:00", "Z")


class Shape(serializers.Serializer[Any]):
    """What a door takes. A name that it does not know is refused, for it may be a slip."""

    #: What it reads out of several fields, and puts in their place as it validates.
    gives: ClassVar[tuple[str, ...]] = ()

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            unknown = [str(name) for name in data if name not in self.fields]
            if unknown:
                known = ", ".join(self.fields)
                raise serializers.ValidationError(
                    {
                        name: [
                            serializers.ErrorDetail(
                                f"Nothing here has this name. Known are: {known}.", "unknown_field"
                            )
                        ]
                        for name in unknown
                    }
                )
        return super().to_internal_value(data)
