"""The form that brings an own spreadsheet."""

from __future__ import annotations

from django import forms
from django.utils import timezone

from fleet.models import OwnWorkbook, User

from .acts.workbooks import bring_workbook


class OwnForm(forms.Form):
    """Shape only: what a file may be is the act's to say."""

    sheets = forms.FileField(
        label="Your spreadsheet (XLSX, ODS or CSV), as it is",
        allow_empty_file=True,
        error_messages={"required": "Choose the spreadsheet that you have."},
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.xlsm,.ods,.csv,.txt"}),
    )

    def bring(self, by: User) -> OwnWorkbook:
        """This will keep the file. Only of a valid form."""
        file = self.cleaned_data["sheets"]
        return bring_workbook(
            by=by, name=file.name or "spreadsheet", chunks=file.chunks(), at=timezone.now()
        )
