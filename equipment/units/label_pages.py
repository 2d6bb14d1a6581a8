"""Labels and tags to print, as PDF of their own size."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from equipment.common.pages.desk import unit_or_404
from equipment.models import PrintedTag, Reservation
from equipment.segregation.shop_first import counting_tag
from fleet.house.pages import reader, today

from .drawn import Sheet, pdf_of
from .labels import printed_tag, set_aside_label, unit_label, unit_tag


@require_safe
@never_cache
@reader
def label_of_unit(request: HttpRequest, unit_id: int) -> HttpResponse:
    """A label for the shelf or the box, with the unit's code."""
    unit = unit_or_404(unit_id)
    return _pdf(unit_label(unit.pk, **_now()), f"label-{unit.pk}")


@require_safe
@never_cache
@reader
def tag_of_unit(request: HttpRequest, unit_id: int) -> HttpResponse:
    """The tag that hangs on a unit: the one that counts."""
    tag = counting_tag(unit_or_404(unit_id).pk, timezone.now())
    if tag is None:
        raise Http404("This unit has no tag yet.")
    return _pdf(unit_tag(tag, **_now()), f"tag-{tag.pk}")


@require_safe
@never_cache
@reader
def tag_printed(request: HttpRequest, printed_id: int) -> HttpResponse:
    """A tag as it was printed to hang on its unit, with the number of the print."""
    printed = get_object_or_404(
        PrintedTag.objects.select_related("tag__recorded_by"), pk=printed_id
    )
    return _pdf(printed_tag(printed, **_now()), f"tag-{printed.unit_id}-{printed.number}")


@require_safe
@never_cache
@reader
def label_of_reservation(request: HttpRequest, reservation_id: int) -> HttpResponse:
    """A label for a unit that is set aside: for which position, when, by whom."""
    held = get_object_or_404(Reservation, pk=reservation_id)
    sheet = set_aside_label(held.pk, **_now())
    return _pdf(sheet, f"set-aside-{held.pk}")


def _now() -> dict[str, Any]:
    """As of when a label is printed, and whether it is the demonstration's."""
    is_demonstration = bool(getattr(settings, "SHOWS_DEMONSTRATION", True))
    return {"on": today(), "at": timezone.now(), "is_demonstration": is_demonstration}


def _pdf(sheet: Sheet, name: str) -> HttpResponse:
    answer = HttpResponse(pdf_of(sheet), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
