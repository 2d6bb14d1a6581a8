"""The form by which a tool is reported: shape only."""

from __future__ import annotations

from django import forms

from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day


class ToolReportForm(ActForm):
    """A tool was found out of tolerance, or dropped."""

    sort = forms.ChoiceField(
        choices=(("found_out", "found out of tolerance"), ("dropped", "dropped or abused")),
        label="What happened to it",
    )
    found_on = Day(label="Found on")
    words = forms.CharField(
        label="What was found", max_length=200, error_messages={"required": "Say what was found."}
    )
