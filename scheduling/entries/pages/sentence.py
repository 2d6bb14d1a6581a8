"""A new limit, or a new revision of one: built as a sentence, shown with all that it moves, then saved."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from fleet.house.desks import ACTS, ROLES, may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import User
from fleet.offers.ports import Kept, keep_in_draft, open_drafts_for
from scheduling.entries import rule_form
from scheduling.entries.by_specification import Begun, begun_of
from scheduling.entries.foretold.moves import Moves, Reach, foresee
from scheduling.entries.limit_lines import LIMIT_LINES, lines_said
from scheduling.models import Limit, Programme
from scheduling.programme.published import BY_SLUG, StartingPoint


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def limit_new(request: HttpRequest) -> HttpResponse:
    """A limit that is not on record yet; it may begin from a published rule (``?start=``)."""
    point = BY_SLUG.get(request.GET.get("start", ""))
    of_unit = begun_of(request.GET.get("unit", ""))
    if of_unit is not None and point is None:
        point = of_unit.point
    rule = {
        "programme": request.GET.get("programme", "")[:24],
        "subject": Limit.UNIT,
        "when": "first",
    }
    clock = {"measure": "months", "counts_from": "last_done", "first_from": "manufacture"}
    starts: dict[str, dict[str, Any]] = {"rule": rule, "clock1": clock}
    if point is not None:
        starts = point.starts | {"rule": rule | point.starts["rule"]}
    if of_unit is not None:
        starts["rule"] |= of_unit.rule
    return _built(request, starts, None, point, of_unit)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def limit_revise(request: HttpRequest, limit_id: int) -> HttpResponse:
    """A new revision, which begins as the latest stands; the older ones stay as they are."""
    one = get_object_or_404(Limit, pk=limit_id)
    rows = Limit.objects.filter(programme=one.programme_id, code__iexact=one.code)
    latest = max(
        rows.select_related("programme", "work", "kind"),
        key=lambda row: (row.from_on or date.min, row.pk),
    )
    return _built(request, rule_form.starts_of(latest), latest)


def _built(
    request: HttpRequest,
    starts: Mapping[str, Mapping[str, Any]],
    latest: Limit | None,
    point: StartingPoint | None = None,
    of_unit: Begun | None = None,
) -> HttpResponse:
    form = rule_form.RuleForm(request.POST if request.method == "POST" else None, starts)
    moves: list[Moves] | None = None
    if request.method == "POST" and form.is_valid():
        several = form.lines()
        lines = [line for _, line in several]
        try:
            if "keep" in request.POST:
                return redirect(_keep(request, form, lines))
            if "save" in request.POST and request.POST.get("shown") == _mark(lines):
                _enter(request, lines)
                messages.success(request, "The limit is on record, and the due list follows it.")
                return redirect("scheduling:limit", _latest_of(form))
            moves = foresee(lambda: _enter(request, lines), _reach(form), _days(form))
        except Refused as refused:
            form.refuse([one for one, _ in several], refused.refusals)
    context = _context(request, form, latest, moves) | {"point": point, "of_unit": of_unit}
    status = 422 if form.is_bound and form.has_errors else 200
    return render(request, "scheduling/entries/sentence.html", context, status=status)


def _enter(request: HttpRequest, lines: Sequence[SheetLine]) -> None:
    assert isinstance(request.user, User)
    enter_lines(by=request.user, lines=lines, at=timezone.now(), today=today())


def _keep(request: HttpRequest, form: rule_form.RuleForm, lines: Sequence[SheetLine]) -> str:
    """The draft's address in which the limit is kept. The same lines in the same draft are kept once."""
    assert isinstance(request.user, User)
    draft, said = request.POST.get("draft", ""), form.rule.cleaned_data
    moves = foresee(lambda: _enter(request, lines), _reach(form), _days(form))
    kept = Kept(
        draft=draft,
        act=LIMIT_LINES.name,
        said=lines_said(lines),
        words=f"Limit {said['limit']} of {said['programme']}, revision {said['revision']}",
        foretold=[replace(one, reach=Reach()) for one in moves],
        act_id=uuid5(NAMESPACE_URL, f"{draft} {request.user.pk} {today()} {_mark(lines)}"),
        by=request.user,
        at=timezone.now(),
        today=today(),
    )
    address = keep_in_draft(kept)
    messages.success(request, "It is kept in the draft, and not done.")
    return address


def _reach(form: rule_form.RuleForm) -> Reach:
    """Under this limit only; nobody is there yet under a programme that is not on record."""
    said = form.rule.cleaned_data
    key = Programme.objects.filter(code=said["programme"]).values_list("pk", flat=True).first()
    return Reach(limits=frozenset([(key or 0, said["limit"].strip().upper())]))


def _latest_of(form: rule_form.RuleForm) -> int:
    """The key of the revision that was just saved."""
    said = form.rule.cleaned_data
    rows = Limit.objects.filter(
        programme__code=said["programme"], code__iexact=said["limit"].strip()
    )
    return rows.order_by("-pk").values_list("pk", flat=True)[0]


def _days(form: rule_form.RuleForm) -> list[date]:
    first = form.rule.cleaned_data.get("from_on")
    return sorted({today(), max(today(), first or today())})


def _mark(lines: Sequence[SheetLine]) -> str:
    said = [(line.kind.name, sorted((k, str(v)) for k, v in line.cells.items())) for line in lines]
    return hashlib.sha256(repr(said).encode()).hexdigest()[:32]


def _context(
    request: HttpRequest,
    form: rule_form.RuleForm,
    latest: Limit | None,
    moves: list[Moves] | None,
) -> dict[str, Any]:
    roles = dict(ROLES)
    return {
        "form": form,
        "latest": latest,
        "identity": [form.rule[name] for name in rule_form.IDENTITY],
        "sentence": [form.rule[name] for name in rule_form.SENTENCE],
        "source": [form.rule[name] for name in rule_form.SOURCE],
        "clocks": [_clock(number, one) for number, one in enumerate(form.clocks, start=1)],
        "amounts": form.amounts,
        "amounts_open": any(_is_open(one) for one in form.amounts),
        "on_request": [
            (
                title,
                fields := [form.rule[name] for name in names],
                any(_said(one) for one in fields),
            )
            for title, names in rule_form.ON_REQUEST.items()
        ],
        "foreseen": moves,
        "shown_mark": _mark([line for _, line in form.lines()]) if moves else "",
        "shows_first": True,
        "drafts": open_drafts_for(request.user) if isinstance(request.user, User) else None,
        "button": "Save the limit" if latest is None else "Save the revision",
        "may_act": may(request.user, "enter_programme"),  # type: ignore[arg-type]
        "who_may": ", ".join(sorted(roles[one].lower() for one in ACTS["enter_programme"])),
    }


def _clock(number: int, form: Any) -> dict[str, Any]:
    return {
        "number": number,
        "form": form,
        "first": [form[name] for name in rule_form.CLOCK_SENTENCE],
        "further": [
            field for field in form.visible_fields() if field.name not in rule_form.CLOCK_SENTENCE
        ],
        "is_open": number == 1 or _is_open(form),
        "further_open": any(
            _said(field)
            for field in form.visible_fields()
            if field.name not in rule_form.CLOCK_SENTENCE
        ),
    }


def _is_open(form: Form) -> bool:
    """Whether a part on request says something, or has something wrong."""
    return any(_said(field) for field in form.visible_fields()) or bool(
        form.is_bound and form.errors
    )


#: What goes without saying: it opens no part.
_USUAL = {"release", "always", "day", "end", "after", "may_not_fly", "any", "at_work", "first", ""}


def _said(field: Any) -> bool:
    value = field.value()
    return bool(field.errors) or (bool(value) and str(value) not in _USUAL)
