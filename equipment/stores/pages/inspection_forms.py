"""The forms of the stores besides certificates: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from typing import Any

from django import forms

from equipment.models import IncomingInspection
from equipment.stores.acts.facts import NewInspection
from equipment.stores.acts.inspections import CHECKS
from equipment.stores.acts.late_papers import LatePaper
from fleet.models import Station
from fleet.screens.act_forms import ProofForm
from fleet.screens.fields import text

from .certificate_forms import PaperForm


class CodeField(forms.CharField):
    """A scanned code with its separators, which are blanks to everybody else."""

    def __init__(self, **more: Any) -> None:
        attrs = {"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        widget = more.pop("widget", forms.TextInput(attrs=attrs))
        super().__init__(required=False, max_length=1000, strip=False, widget=widget, **more)


class ScanForm(forms.Form):
    code = CodeField(label="Scan or type a code")


def station_field(label: str = "Station", **more: Any) -> forms.ModelChoiceField:
    return forms.ModelChoiceField(
        Station.objects.order_by("code"), label=label, empty_label="Choose the station", **more
    )


class LatePaperForm(PaperForm):
    """A certificate that comes after its unit."""

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if not any(given.get(name) for name in self.BLOCKS):
            self._say("form", "Copy the certificate as printed.")
        return given

    def late(self) -> LatePaper:
        """The paper, of a valid form: then there is one."""
        paper = self.paper()
        assert paper is not None
        return LatePaper(
            paper,
            self.cleaned_data["printed_serial"],
            self.works(),
            self.totals(),
            self.certifies(),
            self.cleaned_data["is_same_serial"],
        )


class InspectForm(ProofForm):
    """An incoming inspection: every question yes or no, what comes of it, and the signature."""

    result = forms.ChoiceField(
        label="What comes of it",
        choices=IncomingInspection.RESULTS,
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it goes to stock or stays in quarantine."},
    )
    words = text("Why it stays in quarantine", 300)
    bin = text("Bin of the store", 80)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name, sentence in CHECKS.items():
            self.fields[name] = forms.ChoiceField(
                label=sentence,
                choices=(("yes", "Yes"), ("no", "No")),
                widget=forms.RadioSelect,
                error_messages={"required": "Not answered yet: say yes or no."},
            )

    @property
    def questions(self) -> list[forms.BoundField]:
        return [self[name] for name in CHECKS]

    def inspection(self, unit_id: int) -> NewInspection:
        given = self.cleaned_data
        checks = {name: given[name] == "yes" for name in CHECKS}
        return NewInspection(unit_id, given["result"], checks, given["words"], given["bin"])
