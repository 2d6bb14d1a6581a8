"""The forms of a package's acts where a choice is this page's own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from fleet.house.refusals import Refused
from fleet.models import User
from fleet.screens.act_forms import SaidForm, form_of
from scheduling.models import Work
from scheduling.programme.acts.works import NewWork

from ..acts.carrying import NotDone
from ..acts.findings import Found
from ..acts.handing import NewHandover


class _Choosing(SaidForm):
    """A form with one choice whose options the page's address tells, under ``offers`` in what it starts with."""

    chosen: str
    offers: str
    blank: str = ""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        field = self.fields[self.chosen]
        assert isinstance(field, forms.ChoiceField)
        first = [("", self.blank)] if self.blank else []
        field.choices = [*first, *self.initial.get(self.offers, [])]


class _Later(_Choosing):
    chosen, offers, blank = "to", "checks", "Before its last day, whenever it fits"
    to = forms.ChoiceField(label="Done at", required=False)


class _Where(_Choosing):
    chosen, offers, blank = "where", "positions", "The aircraft as such"
    where = forms.ChoiceField(label="Position", required=False)


class _Of(_Choosing):
    chosen, offers = "of", "works"
    of = forms.ChoiceField(label="Work")


class _To(_Choosing):
    chosen, offers, blank = "person", "people", "Choose the person"
    person = forms.ChoiceField(
        label="Handed to", error_messages={"required": "Choose whom it is handed to."}
    )


HandOverForm = form_of(NewHandover, without=["check", "person"], first=["person", "note"], base=_To)
CarryForm = form_of(
    NotDone,
    without=["item", "to_check"],
    first=["reason", "approval", "approved_by", "to"],
    base=_Later,
)
FindingForm = form_of(Found, without=["check", "where"], first=["words", "where"], base=_Where)
PaperForm = form_of(
    NewWork,
    without=[
        "work",
        "unit",
        "aircraft",
        "position",
        "limit_code",
        "released_on",
        "shop_released_on",
        "original_due_on",
        "original_due_minutes",
        "original_due_cycles",
        "method",
        "total_minutes",
        "total_cycles",
        "corrects",
        "is_annulment",
    ],
    first=["of", "done_on", "who", "authorisation", "document", "certificate", "result"],
    base=_Of,
)


def person_meant(typed: Mapping[str, Any]) -> dict[str, Any]:
    """Who was chosen, as the act takes it."""
    found = User.objects.filter(username=typed["person"]).first()
    return {"to_id": found.pk if found else 0}


def to_meant(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The check that was chosen, as the act takes it."""
    return {"to_check_id": int(typed["to"]) if typed["to"] else None}


def paper_meant(typed: Mapping[str, Any]) -> dict[str, Any]:
    """The work and its subject, out of the choice: ``WEIGH unit 640 EXT-WGT``."""
    code, sort, key, limit = typed["of"].split(" ", 3)
    work = Work.objects.filter(code=code).first()
    if work is None:
        raise Refused("unknown_work", "This work is not on record any more.", "of")
    return {"work_id": work.pk, f"{sort}_id": int(key), "limit_code": limit}
