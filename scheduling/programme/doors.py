"""Doors of what is done under the programme: works, extensions, dispositions."""

from __future__ import annotations

from dataclasses import asdict

from django.db import IntegrityError
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.acts.repeats import differs, retry_after_clash
from fleet.doors.door import Door, answer
from fleet.doors.schema import described
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.models import Disposition, Extension, WorkDone
from scheduling.programme.acts.allowances import (
    NewDisposition,
    NewExtension,
    disposition_directives,
    grant_extensions,
)
from scheduling.programme.acts.works import NewWork, record_works

from . import examples, requests


class WorksDone(Door):
    @described(
        tag="Programme",
        name="record_work",
        summary="Record a work done",
        description="Records that a work was done on one unit, aircraft or position. A correction or "
        "a withdrawal names the record that it corrects.",
        takes=requests.WorkSent,
        sent=examples.WORK_SENT,
        answer=requests.WorkDoneShown,
        example=examples.WORK,
        act="record_work",
    )
    def post(self, request: Request) -> Response:
        row, now = NewWork(**self.brought(requests.WorkSent)), timezone.now()
        [record] = retry_after_clash(lambda: record_works(by=self.person, rows=[row], now=now))
        shown = WorkDone.objects.select_related("work", "aircraft").get(pk=record.pk)
        return answer(requests.WorkDoneShown(shown).data, is_new=record.recorded_at == now)


class Extensions(Door):
    @described(
        tag="Programme",
        name="grant_extension",
        summary="Record an extension",
        description="Records an approved, one-time allowance on one limit of one subject. The same "
        "number with the same content again is the same act.",
        takes=requests.ExtensionSent,
        sent=examples.EXTENSION_SENT,
        answer=requests.ExtensionShown,
        example=examples.EXTENSION,
        act="grant_extension",
    )
    def post(self, request: Request) -> Response:
        row = NewExtension(**self.brought(requests.ExtensionSent))
        is_new = _granted_now(self.person, row)
        shown = Extension.objects.select_related("programme", "aircraft").get(number=row.number)
        return answer(requests.ExtensionShown(shown).data, is_new=is_new)


def _granted_now(by: User, row: NewExtension) -> bool:
    """Whether it was granted now; False if the very same had been granted before."""
    try:
        grant_extensions(by=by, rows=[row], now=timezone.now())
    except (Refused, IntegrityError) as error:
        # the same sent twice at once clashes in the database, sent again it is refused
        if isinstance(error, Refused) and error.code != "extension_number_used":
            raise
        record = Extension.objects.filter(number=row.number).first()
        if record is None or differs(asdict(row), vars(record)):
            raise
        return False
    return True


class Dispositions(Door):
    @described(
        tag="Programme",
        name="disposition_directive",
        summary="Record a disposition",
        description="Records what one unit's case is for one paragraph of a directive, from a day on. "
        "One of a unit, paragraph and day: what is on record for that day stays as it is.",
        takes=requests.DispositionSent,
        sent=examples.DISPOSITION_SENT,
        answer=requests.DispositionShown,
        example=examples.DISPOSITION,
        act="disposition_directive",
    )
    def post(self, request: Request) -> Response:
        row, now = NewDisposition(**self.brought(requests.DispositionSent)), timezone.now()
        [record] = retry_after_clash(
            lambda: disposition_directives(by=self.person, rows=[row], now=now)
        )
        shown = Disposition.objects.select_related("limit").get(pk=record.pk)
        return answer(requests.DispositionShown(shown).data, is_new=record.recorded_at == now)
