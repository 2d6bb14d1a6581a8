"""What is printed, and the files that belong to a record."""

from __future__ import annotations

from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.listing import Listing
from equipment.common.pages.listed import is_demonstration, listed, printed_by
from equipment.common.paper import pdf_of
from equipment.models import Attachment, Swap
from equipment.swaps.printed.paper import swap_paper
from equipment.swaps.printed.parts import STEP_COLUMNS, step_rows
from equipment.swaps.reads.rows import rows_of
from fleet.house.pages import reader


@require_safe
@never_cache
@reader
def swap_print(request: HttpRequest, swap_id: int) -> HttpResponse:
    """A swap on paper (PDF), with a code that opens it."""
    swap = get_object_or_404(Swap, pk=swap_id)
    address = request.build_absolute_uri(reverse("equipment:swap", args=[swap.pk]))
    paper = swap_paper(swap.pk, address=address, is_demonstration=is_demonstration())
    paper = replace(paper, printed=printed_by(request))
    return _file(pdf_of(paper), "application/pdf", f"swap-{swap.pk}.pdf")


@require_safe
@never_cache
@reader
def swap_file(request: HttpRequest, swap_id: int, form: str) -> HttpResponse:
    """A swap's steps as a workbook or CSV, the record's facts beside them; on paper the whole record."""
    if form == "pdf":
        return swap_print(request, swap_id)
    swap = get_object_or_404(Swap, pk=swap_id)
    address = request.build_absolute_uri(reverse("equipment:swap", args=[swap.pk]))
    paper = swap_paper(swap.pk, address=address, is_demonstration=is_demonstration())

    def listing() -> Listing:
        return Listing(
            title=paper.title,
            as_of=paper.state,
            columns=STEP_COLUMNS,
            rows=step_rows(swap, rows_of(swap)),
            address=address,
            name=f"swap-{swap.pk}",
            facts=paper.facts,
            notes=paper.notes,
        )

    return listed(request, form, listing)


@require_safe
@reader
def attachment(request: HttpRequest, attachment_id: int) -> HttpResponse:
    """A photo or a page, as it was brought."""
    found = get_object_or_404(Attachment, pk=attachment_id)
    return _file(bytes(found.content), found.media_type, found.name)


def _file(content: bytes, media_type: str, name: str) -> HttpResponse:
    """A file that a browser shows by its kind alone, whatever its name says."""
    answer = HttpResponse(content, content_type=media_type)
    plain = name.encode("ascii", "replace").decode().replace('"', "'").replace("?", "_")
    answer["Content-Disposition"] = f'inline; filename="{plain}"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
