"""The pages of loads: bring sheets, see each line's fate, decide, take the refused lines away."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today, wants_part
from fleet.house.refusals import Refused
from fleet.intake.template import template
from fleet.loading.acts.loads import bring_load, decide_load, drop_load, restart_load
from fleet.models import Load, LoadLine, User
from fleet.screens.act_forms import ActForm
from fleet.screens.act_pages import attempt

from .refused import refused_lines_of, refused_lines_workbook
from .tasks import drain_loads

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
WORKED_ON = {Load.WAITING, Load.READING, Load.APPLYING}
SHOWN_LOADS, SHOWN_LINES = 30, 200
NOTHING, AGAIN = "nothing", "again"
WAYS = (
    ("", "Ask me: refuse what can be read two ways"),
    ("day-first", "Day first: 3/4/2027 is 3 April"),
)


class Files(forms.ClearableFileInput):
    allow_multiple_selected = True


class FilesField(forms.FileField):
    """One file or several; none is the act's to refuse."""

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        return [super(FilesField, self).clean(each, initial) for each in data or []]


class LoadForm(ActForm):
    """Shape only: what a file may be is the loader's to say."""

    sheets = FilesField(
        label="Sheets (XLSX or CSV, several at once)",
        required=False,
        allow_empty_file=True,
        widget=Files(attrs={"multiple": True, "accept": ".xlsx,.csv"}),
    )
    dates = forms.ChoiceField(label="Slashed dates", choices=WAYS, required=False)

    def bring(self, by: User) -> Load:
        """This will keep the files as a load that waits to be read. Only of a valid form."""
        given = self.cleaned_data
        files = [(file.name or "", file.chunks()) for file in given["sheets"]]
        ways = given["dates"]
        return bring_load(by=by, files=files, at=timezone.now(), dates=ways, act_id=self.act)


@require_http_methods(["GET", "HEAD", "POST"])
@reader
def loads(request: HttpRequest) -> HttpResponse:
    """What was brought, the latest first, and the form to bring more."""
    form = LoadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        brought = attempt(request, form, lambda: form.bring(_person(request)))
        if brought is not None:
            drain_loads.delay_on_commit()
            return redirect("fleet:load", key=brought.key)
    context = {
        "form": form,
        "loads": Load.objects.select_related("brought_by").order_by("-pk")[:SHOWN_LOADS],
        "may_load": may(_person(request), "load_sheets"),
    }
    return render(request, "fleet/loading/loads.html", context, status=422 if form.errors else 200)


@require_safe
@reader
@never_cache
def load(request: HttpRequest, key: UUID) -> HttpResponse:
    """One load: how far it is, what became of its lines, and the decision it waits for."""
    shown = _load(key)
    name = "fleet/loading/_load.html" if wants_part(request) else "fleet/loading/load.html"
    return render(request, name, _context(request, shown))


@require_POST
@reader
def load_decide(request: HttpRequest, key: UUID) -> HttpResponse:
    """Applies a load that was read, sets it aside, or starts one again that stopped at a fault."""
    shown, mode = _load(key), request.POST.get("mode", "")
    try:
        if mode == NOTHING:
            drop_load(by=_person(request), load=shown)
        elif mode == AGAIN:
            restart_load(by=_person(request), load=shown)
        else:
            decide_load(by=_person(request), load=shown, mode=mode)
    except Refused as refused:
        messages.error(request, refused.message)
    else:
        drain_loads.delay_on_commit()
    return redirect("fleet:load", key=key)


@require_safe
@reader
def load_refused(request: HttpRequest, key: UUID) -> HttpResponse:
    """The refused lines as a workbook, to mend and bring again."""
    book = refused_lines_workbook(_load(key))
    return _workbook(book, f"refused-{today():%Y-%m-%d}.xlsx")


@require_safe
@reader
def load_template(request: HttpRequest) -> HttpResponse:
    """The template: every kind of sheet with its columns' meanings and a worked example."""
    return _workbook(template(), "greenband-template.xlsx")


def _workbook(content: bytes, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=XLSX)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _load(key: UUID) -> Load:
    return get_object_or_404(Load.objects.select_related("brought_by"), key=key)


def _lines(shown: Load) -> Any:
    return LoadLine.objects.filter(load=shown).order_by("sheet", "row", "pk")


def _person(request: HttpRequest) -> User:
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def _context(request: HttpRequest, shown: Load) -> dict[str, Any]:
    total = shown.progress_total
    return {
        "load": shown,
        "files": shown.files.order_by("pk"),
        "is_worked_on": shown.state in WORKED_ON,
        "share": min(100, shown.progress_done * 100 // total) if total else 0,
        "lines": _lines(shown)[:SHOWN_LINES],
        "has_refused_lines": refused_lines_of(shown).exists(),
        "more": max(0, _lines(shown).count() - SHOWN_LINES),
        "waits": shown.state == Load.READ and may(_person(request), "load_sheets"),
        "has_stopped": shown.state == Load.FAILED and may(_person(request), "load_sheets"),
        "is_unreadable": shown.state == Load.UNREADABLE,
    }
