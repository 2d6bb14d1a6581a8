"""Doors of what is done under the programme: works, extensions, dispositions."""

from __future__ import annotations

from fleet.acts.repeats import Recorded
from fleet.doors.acts import act_door, act_path
from scheduling.models import Disposition, Extension, WorkDone

from . import examples, requests
from .acts.allowances import GRANT_EXTENSION
from .acts.dispositions import DISPOSITION_DIRECTIVE
from .acts.works import RECORD_WORK


def _work(made: Recorded) -> WorkDone:
    return WorkDone.objects.select_related("work", "aircraft").get(pk=made.id)


def _extension(made: Recorded) -> Extension:
    return Extension.objects.select_related("programme", "aircraft").get(pk=made.id)


def _disposition(made: Recorded) -> Disposition:
    return Disposition.objects.select_related("limit").get(pk=made.id)


WorksDone = act_door(
    RECORD_WORK, requests.WorkSent, requests.WorkDoneShown, examples.WORK, shown=_work
)
Extensions = act_door(
    GRANT_EXTENSION,
    requests.ExtensionSent,
    requests.ExtensionShown,
    examples.EXTENSION,
    shown=_extension,
)
Dispositions = act_door(
    DISPOSITION_DIRECTIVE,
    requests.DispositionSent,
    requests.DispositionShown,
    examples.DISPOSITION,
    shown=_disposition,
)

urlpatterns = [
    act_path(RECORD_WORK, WorksDone, "api-works-done"),
    act_path(GRANT_EXTENSION, Extensions, "api-extensions"),
    act_path(DISPOSITION_DIRECTIVE, Dispositions, "api-dispositions"),
]
