"""Where a job is put: the checks of its aircraft that are in time, extra ground time, or the rule again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from fleet.models import Check
from fleet.screens.act_forms import SaidForm, form_of
from fleet.words.said import weekday_words
from scheduling.models import DueItem, Placement

from ..acts.placements import NewPlacement


def places_for(item: DueItem, checks: list[Check]) -> list[tuple[str, str]]:
    """What may be chosen for an item: codes and words."""
    in_time = [
        (
            f"{Placement.AT_CHECK} {check.pk}",
            f"{check.name}, {weekday_words(check.starts_on)} at {check.station.code}",
        )
        for check in checks
        if item.due_on is not None and check.starts_on <= item.due_on
    ]
    own = (Placement.OWN_TIME, f"Extra ground time, by {weekday_words(item.due_on)}")
    return [*in_time, own, (Placement.BY_RULE, "By the rule again")]


class Placed(SaidForm):
    """One of the places that the page's item may have."""

    where = forms.ChoiceField(
        label="Done at",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose where it is done."},
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        places = self.fields["where"]
        assert isinstance(places, forms.ChoiceField)
        places.choices = self.initial.get("places", [])


PlacementForm = form_of(
    NewPlacement, without=["item", "sort", "check"], first=["where", "reason"], base=Placed
)


def place_meant(typed: Mapping[str, Any]) -> dict[str, Any]:
    """What was chosen, as the act takes it."""
    sort, _, check = typed["where"].partition(" ")
    return {"sort": sort, "check_id": int(check) if check else None}
