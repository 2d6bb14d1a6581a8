"""The page that says how far a long paper is, and the paper."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.listed import sent
from equipment.common.pages.person import person
from fleet.house.pages import reader
from scheduling.models import PaperAsked


def _own(request: HttpRequest, paper_id: int) -> PaperAsked:
    rows = PaperAsked.objects.filter(asked_by=person(request))
    return get_object_or_404(rows.defer("content"), pk=paper_id)


@require_safe
@never_cache
@reader
def paper(request: HttpRequest, paper_id: int) -> HttpResponse:
    """How far a paper is; asked again by itself until it is made."""
    return render(request, "scheduling/papers/paper.html", {"paper": _own(request, paper_id)})


@require_safe
@never_cache
@reader
def paper_file(request: HttpRequest, paper_id: int) -> HttpResponse:
    """The paper itself, for whoever asked for it."""
    found = _own(request, paper_id)
    if found.content is None:
        raise Http404("This paper is not made.")
    return sent(bytes(found.content), "pdf", f"{found.what}-{found.as_of:%Y-%m-%d}.pdf")
