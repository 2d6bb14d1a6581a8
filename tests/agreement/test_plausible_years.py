"""A day too far off is a typing mistake through whichever door it comes; the last that is none is one."""

from __future__ import annotations

from datetime import date

import pytest
from django import forms
from rest_framework import serializers

from equipment.findings.pages.settling_forms import StoryForm
from equipment.swaps.pages.forms import Moment
from fleet.doors import fields as api_fields
from fleet.house.pages import day_read
from fleet.intake.dates import stamp_of
from fleet.intake.problems import CellProblem
from fleet.people.pages.tokens import TokenForm
from fleet.screens.fields import Day
from scheduling.due.pages.forms import DueFilterForm


def in_a_cell(text):
    found = stamp_of(text)
    if isinstance(found, CellProblem):
        raise ValueError(found.sentence)
    return found.on


DOORS = {
    "a page's query": day_read,
    "a command": day_read,
    "a sheet": in_a_cell,
    "a field of a form": Day().clean,
    "an instant of a form": lambda text: Moment().clean(f"{text} 12:00").date(),
    "a story": StoryForm.base_fields["happened_on"].clean,
    "a token's last day": TokenForm.base_fields["expires_on"].clean,
    "the list's filter": DueFilterForm.base_fields["until_on"].clean,
    "the API": api_fields.Day().run_validation,
    "an instant of the API": lambda text: (
        api_fields.Instant().run_validation(f"{text}T12:00:00Z").date()
    ),
}
REFUSED = (ValueError, forms.ValidationError, serializers.ValidationError)


@pytest.mark.parametrize("door", DOORS.values(), ids=DOORS)
@pytest.mark.parametrize("day", ["1950-01-01", "2150-12-31"])
def test_the_first_and_last_days_are_taken(door, day):
    assert door(day) == date.fromisoformat(day)


@pytest.mark.parametrize("door", DOORS.values(), ids=DOORS)
@pytest.mark.parametrize("day", ["1949-12-31", "2151-01-01"])
def test_those_beyond_are_refused(door, day):
    with pytest.raises(REFUSED):
        door(day)
