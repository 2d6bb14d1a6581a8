"""A release certificate as a clerk copies it: its blocks, its file, the works and totals that it states. Shape only."""

from __future__ import annotations

import binascii
from base64 import b64decode, b64encode
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.common.attached import FileFact, refuse_size
from equipment.stores.acts.facts import (
    MOST_PRINTED,
    MOST_QUANTITY,
    Paper,
    TotalFact,
    WorkFact,
)
from equipment.stores.ports import known_works
from fleet.house.refusals import Refused
from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.problems import CellProblem
from fleet.models import Measure
from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day, Figures, Offered, text

# A form, its terms of block 11: what is offered; any other may be typed as printed.
FORMS = ("Form 1", "8130-3", "Certificate of conformity")
TERMS = ("New", "Overhauled", "Repaired", "Inspected/Tested", "Modified")
WORK_ROWS, TOTAL_ROWS = range(3), range(2)
# A browser forgets a chosen file; up to this size the page keeps it through a refusal.
MOST_KEPT = 3 * 2**20
SCAN_INPUT = forms.ClearableFileInput(
    attrs={"accept": "application/pdf,image/png,image/jpeg,image/tiff"}
)
SINCE = (("new", "since new"), ("overhaul", "since overhaul"))


class PaperForm(ActForm):
    """The blocks of a certificate. What is missing is the act's to say: a receipt may have none."""

    form = Offered("Form", 40, FORMS, "form")
    tracking_number = text("Tracking number (block 3)", 40)
    issuer = text("Issued by (block 4)", 80)
    work_order = text("Work order (block 5)", 40)
    printed_serial = text("Serial number on it (block 10)", MOST_PRINTED)
    is_same_serial = forms.BooleanField(
        label="I have looked at plate and paper again: it is the same number.", required=False
    )
    status = Offered("Status/work (block 11)", 40, TERMS, "status")
    remarks = text("Remarks (block 12)", 200)
    issued_on = Day(label="Date (block 14)", required=False)
    is_dual_release = forms.BooleanField(label="Dual release", required=False)
    supplier = text("Supplier", 80)
    covers = forms.IntegerField(
        label="Quantity on it (block 9)", required=False, min_value=1, max_value=MOST_QUANTITY
    )
    approval_number = text("Approval number of the issuer", 60)
    signatory = text("Signed by", 80)
    file = forms.FileField(
        label="Its scan: PDF or picture", required=False, max_length=200, widget=SCAN_INPUT
    )
    kept_name = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)
    kept_content = forms.CharField(required=False, widget=forms.HiddenInput)
    leaves_file_out = forms.BooleanField(label="Take this file away", required=False)

    MAIN = (
        "form",
        "tracking_number",
        "issuer",
        "printed_serial",
        "status",
        "issued_on",
        "file",
    )
    OTHERS = (
        "approval_number",
        "signatory",
        "covers",
        "supplier",
        "work_order",
        "remarks",
        "is_dual_release",
    )
    BLOCKS = (*MAIN, *OTHERS)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        known = known_works()
        works = [("", "–"), *((each.code, each.name) for each in known)]
        methods = sorted({method for each in known for method in each.methods})
        measures = list(Measure.objects.order_by("name", "pk"))
        self.units = {each.code: each.unit for each in measures}
        for row in WORK_ROWS:
            self.fields[f"work_{row}"] = forms.ChoiceField(
                label="Work", required=False, choices=works
            )
            self.fields[f"work_{row}_on"] = Day(label="Done on", required=False)
            self.fields[f"work_{row}_method"] = Offered(
                "By which method", 24, methods, f"method_{row}"
            )
            self.fields[f"work_{row}_hours"] = Figures(minutes_of, label="At hours")
            self.fields[f"work_{row}_cycles"] = Figures(count_of, label="At cycles")
        choices = [("", "–"), *((each.code, each.name) for each in measures)]
        for row in TOTAL_ROWS:
            self.fields[f"measure_{row}"] = forms.ChoiceField(
                label="Total of", required=False, choices=choices
            )
            self.fields[f"total_{row}"] = text("As stated", 40)
            self.fields[f"since_{row}"] = forms.ChoiceField(
                label="Counted", required=False, choices=SINCE
            )

    def add_error(self, field: str | None, error: Any) -> None:
        """A method that is missing is told where it is typed."""
        if getattr(error, "code", None) == "method_missing":
            given = self.cleaned_data
            rows = [row for row in WORK_ROWS if given.get(f"work_{row}")]
            bare = [row for row in rows if not str(given.get(f"work_{row}_method") or "").strip()]
            field = f"work_{(bare or rows)[0]}_method"
        super().add_error(field, error)

    def clean_file(self) -> FileFact | None:
        """The file sent now, or the one that the page kept through a refusal."""
        sent = self.cleaned_data.get("file")
        if self.data.get("leaves_file_out"):
            return None
        if sent is None:
            return self._kept()
        try:
            refuse_size(sent.size)
        except Refused as refused:
            raise ValidationError(refused.message, code=refused.code) from refused
        return FileFact(sent.name, sent.read())

    def _kept(self) -> FileFact | None:
        name, content = (str(self.data.get(f"kept_{part}") or "") for part in ("name", "content"))
        if not content:
            return None
        try:
            return FileFact(name[:200], b64decode(content, validate=True))
        except (binascii.Error, ValueError):
            raise ValidationError("Choose the file again.", code="file_lost") from None

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if any(given.get(name) for name in self.BLOCKS) and not given.get("issued_on"):
            self._say("issued_on", "Give the certificate's date, as printed in block 14.")
        for row in WORK_ROWS:
            if given.get(f"work_{row}") and not given.get(f"work_{row}_on"):
                self._say(f"work_{row}_on", "Say when this work was done.")
            elif given.get(f"work_{row}_on") and not given.get(f"work_{row}"):
                self._say(f"work_{row}", "Choose the work that was done then.")
        for row in TOTAL_ROWS:
            self._read_total(row, given)
        return given

    def _read_total(self, row: int, given: dict[str, Any]) -> None:
        measure, said = given.get(f"measure_{row}"), given.get(f"total_{row}")
        if bool(measure) != bool(said):
            field = f"total_{row}" if measure else f"measure_{row}"
            self._say(field, "Give both: what was counted, and the figure.")
        if not measure or not said:
            return
        read = minutes_of if self.units[measure] == Measure.MINUTES else count_of
        found = read(said)
        if isinstance(found, CellProblem):
            self._say(f"total_{row}", found.sentence)
        else:
            given[f"total_{row}"] = found

    def _say(self, field: str, words: str) -> None:
        if field not in self.errors:
            self.add_error(field, ValidationError(words, code="missing"))

    # --- what the acts take, of a valid form ---------------------------------------------------

    def paper(self) -> Paper | None:
        """The certificate; None where nothing of it was given."""
        given = self.cleaned_data
        if not any(given.get(name) for name in self.BLOCKS):
            return None
        names = ("form", "tracking_number", "issuer", "status", "supplier", "work_order", "remarks")
        later = ("covers", "approval_number", "signatory")
        return Paper(
            issued_on=given["issued_on"],
            is_dual_release=given["is_dual_release"],
            file=given["file"],
            **{name: given[name] for name in (*names, *later)},
        )

    def works(self) -> tuple[WorkFact, ...]:
        given = self.cleaned_data
        return tuple(
            WorkFact(
                given[f"work_{row}"],
                given[f"work_{row}_on"],
                method=given[f"work_{row}_method"].strip(),
                total_minutes=given[f"work_{row}_hours"],
                total_cycles=given[f"work_{row}_cycles"],
            )
            for row in WORK_ROWS
            if given[f"work_{row}"]
        )

    def totals(self) -> tuple[TotalFact, ...]:
        given = self.cleaned_data
        return tuple(
            TotalFact(
                given[f"measure_{row}"], given[f"total_{row}"], given[f"since_{row}"] or "new"
            )
            for row in TOTAL_ROWS
            if given[f"measure_{row}"]
        )

    def certifies(self) -> dict[str, tuple[str, ...]]:
        """What its term stands for: as whoever copied it read block 11 and 12, and ticked."""
        return {self.cleaned_data["status"]: tuple(work.code for work in self.works())}

    # --- what the page shows -------------------------------------------------------------------

    @property
    def kept(self) -> tuple[str, str] | None:
        """The file's name and contents for the page to keep, if it is not too large for that."""
        file = getattr(self, "cleaned_data", {}).get("file")
        if not isinstance(file, FileFact) or len(file.content) > MOST_KEPT:
            return None
        return file.name, b64encode(file.content).decode()

    @property
    def is_file_lost(self) -> bool:
        return bool(self.files.get("file")) and self.kept is None

    def is_begun(self, names: Sequence[str]) -> bool:
        """Whether anything was typed, or is wrong, in one of these fields: then the page shows them open."""
        changed = self.changed_data if self.is_bound else []
        return any(name in changed or self.errors.get(name) for name in names)

    @property
    def has_works(self) -> bool:
        return self.is_begun([field.name for row in self.work_rows for field in row])

    @property
    def has_totals(self) -> bool:
        names = [field.name for row in self.total_rows for field in row]
        return self.is_begun([name for name in names if not name.startswith("since_")])

    @property
    def asks_same_serial(self) -> bool:
        """Whether plate and paper differ in what looks alike only, or that was confirmed already."""
        found = self.errors.get("printed_serial")
        is_asked = found and any(e.code == "printed_near_match" for e in found.as_data())
        return bool(self["is_same_serial"].value()) or bool(is_asked)

    @property
    def blocks(self) -> list[forms.BoundField]:
        return [self[name] for name in self.MAIN]

    @property
    def other_blocks(self) -> list[forms.BoundField]:
        return [self[name] for name in self.OTHERS]

    @property
    def has_other_blocks(self) -> bool:
        return self.is_begun(self.OTHERS)

    @property
    def work_rows(self) -> list[list[forms.BoundField]]:
        parts = ("", "_on", "_method", "_hours", "_cycles")
        return [[self[f"work_{row}{part}"] for part in parts] for row in WORK_ROWS]

    @property
    def total_rows(self) -> list[list[forms.BoundField]]:
        return [
            [self[f"{part}_{row}"] for part in ("measure", "total", "since")] for row in TOTAL_ROWS
        ]
