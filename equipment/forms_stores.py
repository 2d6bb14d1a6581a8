"""The forms of the stores besides certificates: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from typing import Any

from django import forms

from equipment.actions.stores.facts import (
    NewInspection,
    Receipt,
    ReceiptLine,
    TitleSaid,
)
from equipment.actions.stores.inspections import CHECKS
from equipment.actions.stores.late_papers import LatePaper
from fleet.models import Station

from .forms_fields import Day, text
from .forms_papers import PaperForm
from .forms_swaps import ProofForm
from .models import IncomingInspection, Title

MOST_QUANTITY = 2**31 - 1


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


class ReceiveForm(PaperForm):
    """What came in: one unit or lot, its paper, and whose it is."""

    scanned = CodeField(widget=forms.HiddenInput)
    part_number = text("Part number on the plate", 40)
    serial_number = text("Serial number on the plate", 40)
    is_confirmed = forms.BooleanField(
        label="I have looked at the plate again: it is another unit.", required=False
    )
    maker = text("Maker, if two make this part number", 80)
    quantity = forms.IntegerField(
        label="How many (of a lot)", min_value=1, max_value=MOST_QUANTITY, initial=1
    )
    manufactured_on = Day(label="Manufactured on", required=False)
    station = station_field()
    received_on = Day(label="It came on")
    bin = text("Bin of the quarantine", 80)
    document = text("Delivery note", 80)
    has_no_paper = forms.BooleanField(label="No certificate came with it", required=False)
    title = forms.ChoiceField(
        label="Whose it is", choices=[("", "as on record"), *Title.SORTS], required=False
    )
    owner = text("Owner", 80)
    return_by = Day(label="Goes back by", required=False)
    core_due_on = Day(label="Core due back on", required=False)
    charge = text("What it costs, per what", 80)
    restriction = text("Owner's restriction", 120)
    customs = text("Customs", 80)

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        has_paper = any(given.get(name) for name in self.BLOCKS)
        if given.get("has_no_paper") and has_paper:
            self._say("has_no_paper", "Parts of a certificate are given below: clear either.")
        elif not given.get("has_no_paper") and not has_paper and not self.errors:
            words = "Copy its certificate, or tick that none came: it then waits in quarantine."
            self._say("has_no_paper", words)
        if given.get("title") and not given.get("owner"):
            self._say("owner", "Say whose it is.")
        return given

    def receipt(self) -> Receipt:
        given = self.cleaned_data
        names = ("part_number", "serial_number", "maker", "scanned", "printed_serial", "quantity")
        line = ReceiptLine(
            bin_name=given["bin"], is_confirmed=given["is_confirmed"], works=self.works(),
            totals=self.totals(), manufactured_on=given["manufactured_on"],
            **{name: given[name] for name in names},
        )  # fmt: skip
        return Receipt(
            given["station"].pk, given["received_on"], (line,), self.paper(), self.certifies(),
            self._title(), given["document"],
        )  # fmt: skip

    def _title(self) -> TitleSaid | None:
        given = self.cleaned_data
        names = ("return_by", "core_due_on", "customs", "restriction", "charge", "document")
        if not given["title"]:
            return None
        return TitleSaid(given["title"], given["owner"], **{name: given[name] for name in names})

    @property
    def plate(self) -> list[forms.BoundField]:
        return [self[name] for name in ("part_number", "serial_number")]

    @property
    def arrival(self) -> list[forms.BoundField]:
        return [self[name] for name in ("station", "received_on", "bin", "document")]

    @property
    def more_of_unit(self) -> list[forms.BoundField]:
        return [self[name] for name in ("quantity", "manufactured_on", "maker")]

    @property
    def ownership(self) -> list[forms.BoundField]:
        names = ("title", "owner", "return_by", "core_due_on", "charge", "restriction", "customs")
        return [self[name] for name in names]

    @property
    def has_more_of_unit(self) -> bool:
        return self.is_begun([field.name for field in self.more_of_unit])

    @property
    def has_ownership(self) -> bool:
        return self.is_begun([field.name for field in self.ownership])

    @property
    def asks_to_confirm(self) -> bool:
        """Whether the number looks like another one's, or was confirmed already."""
        found = self.errors.get("serial_number")
        data = found.as_data() if found else []
        return bool(self["is_confirmed"].value()) or any(e.code == "near_match" for e in data)


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
        )


class InspectForm(ProofForm):
    """An incoming inspection: every question yes or no, what comes of it, and the signature."""

    result = forms.ChoiceField(
        label="What comes of it", choices=IncomingInspection.RESULTS, widget=forms.RadioSelect,
        error_messages={"required": "Say whether it goes to stock or stays in quarantine."},
    )  # fmt: skip
    words = text("Why it stays in quarantine", 300)
    bin = text("Bin of the store", 80)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name, sentence in CHECKS.items():
            self.fields[name] = forms.ChoiceField(
                label=sentence, choices=(("yes", "Yes"), ("no", "No")), widget=forms.RadioSelect,
                error_messages={"required": "Not answered yet: say yes or no."},
            )  # fmt: skip

    @property
    def questions(self) -> list[forms.BoundField]:
        return [self[name] for name in CHECKS]

    def inspection(self, unit_id: int) -> NewInspection:
        given = self.cleaned_data
        checks = {name: given[name] == "yes" for name in CHECKS}
        return NewInspection(unit_id, given["result"], checks, given["words"], given["bin"])
