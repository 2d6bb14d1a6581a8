"""The pages of an own spreadsheet: brought, its columns, its words, what is missing, what is doubtful."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from fleet.house.desks import may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.loading.tasks import drain_loads
from fleet.models import OwnMapping, OwnWorkbook, User
from fleet.own_sheets.said import said_of
from fleet.own_sheets.words.days import WAYS
from fleet.words.said import day_words

from .acts.workbooks import compare_workbook, drop_workbook, keep_mapping, say_of_workbook
from .answers import say_columns, say_doubts, say_missing, say_words
from .forms import OwnForm
from .readings import forget_reading, is_large
from .reads import Looked, headings_of, limits_asked, looked_at, mapping_for, words_in
from .roles import roles_lacking
from .shown import asked_about, doubts_shown, found_in, groups_shown
from .waiting import waiting

SHOWN = 30
#: The steps in their order: name of the address, and what it is called.
STEPS = (
    ("load_own_columns", "Columns"),
    ("load_own_words", "Words"),
    ("load_own_missing", "What is missing"),
    ("load_own_doubts", "Suspicions"),
    ("load_own_compare", "Compare"),
)
_get_or_post = require_http_methods(["GET", "HEAD", "POST"])


@_get_or_post
@reader
def own(request: HttpRequest) -> HttpResponse:
    """Bring an own spreadsheet, or go on with one; the mappings that are kept."""
    form = OwnForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            workbook = form.bring(_person(request))
        except Refused as refused:
            show_on_form(form, refused)
        else:
            is_soon = not is_large(workbook)
            name = _recognised(request, workbook) if is_soon else "fleet:load_own_begin"
            return redirect(name, key=workbook.key)
    context = {
        "form": form,
        "workbooks": OwnWorkbook.objects.select_related("brought_by").order_by("-changed_at")[
            :SHOWN
        ],
        "mappings": OwnMapping.objects.select_related("kept_by").order_by("name"),
        "may_load": may(_person(request), "load_sheets"),
        "lacking": roles_lacking(_person(request)),
    }
    return render(request, "fleet/moving_in/own.html", context, status=422 if form.errors else 200)


@require_safe
@reader
@never_cache
@waiting
def begin(request: HttpRequest, key: UUID) -> HttpResponse:
    """A spreadsheet just brought, once it is read: to its columns, or of a known one to its comparison."""
    workbook = _workbook(key)
    if workbook.said:
        return redirect("fleet:load_own_columns", key=key)
    return redirect(_recognised(request, workbook), key=key)


def _recognised(request: HttpRequest, workbook: OwnWorkbook) -> str:
    """Where to go on: a copy of a spreadsheet that is known goes to its comparison at once."""
    looked = looked_at(workbook, today(), may_wait=True)
    mapping = mapping_for(looked.whole)
    if mapping is None:
        return "fleet:load_own_columns"
    by, said = _person(request), said_of(mapping.said)
    say_of_workbook(by=by, workbook=workbook, said=said, at=timezone.now(), mapping=mapping.name)
    messages.info(
        request,
        f"Recognised: read by the mapping “{mapping.name}”. Each step can still be corrected.",
    )
    return "fleet:load_own_compare"


@_get_or_post
@reader
@never_cache
@waiting
def columns(request: HttpRequest, key: UUID) -> HttpResponse:
    """Each sheet as its owner sees it, with what each column is taken for."""
    looked = _looked(request, key)
    if request.method == "POST":
        say_columns(looked, request.POST.dict())
        _keep(request, looked)
        if is_large(looked.workbook):
            return _read_again(request)
        looked = _looked(request, key)
    if _was_sent(request) and not looked.whole.faults:
        return redirect("fleet:load_own_words", key=key)
    more = {"groups": groups_shown(looked), "ways": WAYS.items()}
    return _page(
        request,
        looked,
        "fleet/moving_in/columns.html",
        more,
        422 if _was_sent(request) else 200,
    )


@_get_or_post
@reader
@never_cache
@waiting
def words(request: HttpRequest, key: UUID) -> HttpResponse:
    """What the sheet's words for items and places mean."""
    looked = _looked(request, key)
    if request.method == "POST":
        say_words(looked, request.POST.dict())
        _keep(request, looked)
        return redirect("fleet:load_own_missing", key=key)
    more = {"words": words_in(looked), "kinds": looked.house.kinds}
    return _page(request, looked, "fleet/moving_in/words.html", more)


@_get_or_post
@reader
@never_cache
@waiting
def missing(request: HttpRequest, key: UUID) -> HttpResponse:
    """What no line tells: the station, the types, the limits."""
    looked, day_fault = _looked(request, key), ""
    if request.method == "POST":
        day_fault = say_missing(looked, request.POST.dict())
        _keep(request, looked)
        if is_large(looked.workbook) and not day_fault:
            return _read_again(request)
        looked = _looked(request, key)
    if _was_sent(request) and not looked.whole.questions and not day_fault:
        return redirect("fleet:load_own_doubts", key=key)
    more = {
        "limits": limits_asked(looked),
        "fields": {question.field for question in looked.whole.questions},
        "ways": WAYS.items(),
        "about": asked_about(looked),
        "day": request.POST["day"] if day_fault else day_words(looked.day),
        "day_fault": day_fault,
    }
    return _page(
        request,
        looked,
        "fleet/moving_in/missing.html",
        more,
        422 if _was_sent(request) else 200,
    )


@_get_or_post
@reader
@never_cache
@waiting
def doubts(request: HttpRequest, key: UUID) -> HttpResponse:
    """What looks wrong, line by line: taken, mended, or left out."""
    looked = _looked(request, key)
    if request.method == "POST":
        say_doubts(looked, request.POST.dict())
        _keep(request, looked)
        return redirect("fleet:load_own_compare", key=key)
    return _page(request, looked, "fleet/moving_in/doubts.html", {"doubts": doubts_shown(looked)})


@_get_or_post
@reader
@never_cache
@waiting
def compare(request: HttpRequest, key: UUID) -> HttpResponse:
    """What will be compared, and by which mapping it is known; then the load that compares it."""
    looked = _looked(request, key)
    limits = limits_asked(looked)
    error = ""
    if request.method == "POST" and roles_lacking(_person(request)):
        error = "Nothing was compared: first get the role that may take it. What you said is kept."
    elif request.method == "POST" and looked.whole.doubts and "anyway" not in request.POST:
        error = "Some suspicions are open. Look at them, or say below that you go on with them as they are."
    elif request.method == "POST":
        by, name = _person(request), request.POST.get("mapping", "")
        try:
            if name.strip():
                headings = headings_of(looked.whole)
                keep_mapping(
                    by=by, workbook=looked.workbook, name=name, headings=headings, at=timezone.now()
                )
            load = compare_workbook(
                by=by, workbook=looked.workbook, at=timezone.now(), today=today()
            )
        except Refused as refused:
            error = refused.message
        else:
            drain_loads.delay_on_commit()
            return redirect("fleet:load", key=load.key)
    more = {
        "found": found_in(looked),
        "error": error,
        "left": len(looked.said.left),
        "doubts": doubts_shown(looked),
        "has_limits": any(each.is_on_record or each.is_stated for each in limits),
        "without": [each for each in limits if not each.is_on_record and not each.is_stated],
        "no_serial": len(looked.whole.seen) - len(looked.whole.taken),
    }
    return _page(request, looked, "fleet/moving_in/compare.html", more, 422 if error else 200)


@require_POST
@reader
def drop(request: HttpRequest, key: UUID) -> HttpResponse:
    """Forgets a spreadsheet and what was said of it."""
    workbook = _workbook(key)
    try:
        drop_workbook(by=_person(request), workbook=workbook)
        forget_reading(workbook)
    except Refused as refused:
        messages.error(request, refused.message)
    else:
        messages.success(
            request, f"{workbook.name} is put away. What was taken of it stays on record."
        )
    return redirect("fleet:load_own")


def _workbook(key: UUID) -> OwnWorkbook:
    return get_object_or_404(OwnWorkbook.objects.select_related("brought_by", "load"), key=key)


def _looked(request: HttpRequest, key: UUID) -> Looked:
    """What a page shows waits for the job; what was sent is never lost for it."""
    return looked_at(_workbook(key), today(), may_wait=request.method != "POST")


def _read_again(request: HttpRequest) -> HttpResponse:
    """To the same page, which goes on once the job has read by what was said."""
    return redirect(f"{request.path}?sent=1")


def _was_sent(request: HttpRequest) -> bool:
    return request.method == "POST" or "sent" in request.GET


def _person(request: HttpRequest) -> User:
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def _keep(request: HttpRequest, looked: Looked) -> None:
    try:
        say_of_workbook(
            by=_person(request), workbook=looked.workbook, said=looked.said, at=timezone.now()
        )
    except Refused as refused:
        messages.error(request, refused.message)


def _page(
    request: HttpRequest, looked: Looked, template: str, more: dict[str, Any], status: int = 200
) -> HttpResponse:
    context = {
        "looked": looked,
        "workbook": looked.workbook,
        "said": looked.said,
        "questions": looked.whole.questions,
        "faults": looked.whole.faults,
        "steps": [
            {
                "name": f"fleet:{name}",
                "words": words,
                "is_here": template.endswith(f"/{name.removeprefix('load_own_')}.html"),
            }
            for name, words in STEPS
        ],
        "may_load": may(_person(request), "load_sheets"),
        "lacking": roles_lacking(_person(request)),
        **more,
    }
    return render(request, template, context, status=status)
