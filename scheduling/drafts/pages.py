"""The drafts, and one of them beside today's plan."""

from __future__ import annotations

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.person import person
from fleet.house.desks import may
from fleet.house.pages import reader, today
from scheduling.models import Draft

from .reads import compared, ended_drafts, open_drafts


@require_safe
@never_cache
@reader
def drafts(request: HttpRequest) -> HttpResponse:
    """Every open draft, and the last that ended."""
    context = {"open": open_drafts(), "ended": ended_drafts()}
    return render(request, "scheduling/drafts/drafts.html", context)


@require_safe
@never_cache
@reader
def draft(request: HttpRequest, draft_id: int) -> HttpResponse:
    """One draft: its changes, and what they move together if it is taken now."""
    one = get_object_or_404(Draft.objects.select_related("made_by", "ended_by"), pk=draft_id)
    by = person(request)
    may_keep = may(by, "keep_drafts")
    beside = compared(one, by, timezone.now(), today())
    context = {
        "draft": one,
        "changes": [(change, uuid4()) for change in beside.changes],
        "foreseen": beside.moves,
        "refused": beside.refused,
        "may_keep": may_keep and one.ended_at is None,
        "take_id": uuid4(),
        "throw_id": uuid4(),
    }
    return render(request, "scheduling/drafts/draft.html", context)
