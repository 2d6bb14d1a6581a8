"""Doors of labels and tags to print, as PDF; what is wrong is a problem as everywhere else."""

from __future__ import annotations

import json
from typing import Any

from django.conf import settings
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.models import Reservation, Unit
from equipment.segregation.shop_first import counting_tag
from equipment.units.drawn import Sheet, pdf_of
from equipment.units.labels import set_aside_label, unit_label, unit_tag
from fleet.doors.door import Door, Missing, found_or_missing
from fleet.doors.schema import described
from fleet.house.pages import today

TAG = "Stores"
PDF: dict[str, Any] = {
    "answer": OpenApiTypes.BINARY,
    "example": "%PDF-1.4 ...",
    "media": "application/pdf",
}


class PdfRenderer(BaseRenderer):
    """A PDF as it is; a problem, which is no PDF, as JSON."""

    media_type = "application/pdf"
    format = "pdf"
    charset = None
    render_style = "binary"

    def render(self, data: Any, *args: Any, **more: Any) -> bytes:
        return data if isinstance(data, bytes) else json.dumps(data).encode()


class PdfDoor(Door):
    renderer_classes = [PdfRenderer]

    def sheet(self, sheet: Sheet, name: str) -> Response:
        """The sheet, under a name to keep it by."""
        named = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
        return Response(pdf_of(sheet), headers=named)


class UnitLabel(PdfDoor):
    @described(
        tag=TAG,
        name="get_unit_label",
        summary="Label of a unit",
        description="A label for the shelf or the box, with a code that names the unit. A PDF of 90 by 50 mm.",
        **PDF,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        key = _unit(unit_id)
        return self.sheet(unit_label(key, **_now()), f"label-{key}")


class HungTag(PdfDoor):
    @described(
        tag=TAG,
        name="get_hung_tag",
        summary="Tag of a unit",
        description="The tag that hangs on a unit: the one that counts, serviceable or not. A PDF of 105 by 148 mm.",
        **PDF,
    )
    def get(self, request: Request, unit_id: int) -> Response:
        tag = counting_tag(_unit(unit_id), timezone.now())
        if tag is None:
            raise Missing("no_tag", "This unit has no tag yet. See /api/v1/tags.")
        return self.sheet(unit_tag(tag, **_now()), f"tag-{tag.pk}")


class SetAsideLabel(PdfDoor):
    @described(
        tag=TAG,
        name="get_set_aside_label",
        summary="Label of a unit that is set aside",
        description="For which position, when needed, by whom it was set aside. A PDF of 90 by 50 mm.",
        **PDF,
    )
    def get(self, request: Request, reservation_id: int) -> Response:
        sentence = f"No reservation has the id {reservation_id}. See /api/v1/reservations."
        rows = Reservation.objects.all()
        held = found_or_missing(rows, "unknown_reservation", sentence, pk=reservation_id)
        sheet = set_aside_label(held.pk, **_now())
        return self.sheet(sheet, f"set-aside-{held.pk}")


def _unit(unit_id: int) -> int:
    """The unit as kept."""
    sentence = f"No unit has the id {unit_id}. See /api/v1/units."
    found: Unit = found_or_missing(Unit.objects.all(), "unknown_unit", sentence, pk=unit_id)
    return found.merged_into_id or found.pk


def _now() -> dict[str, Any]:
    """As of when a label is printed, and whether it is the demonstration's."""
    is_demonstration = bool(getattr(settings, "SHOWS_DEMONSTRATION", True))
    return {"on": today(), "at": timezone.now(), "is_demonstration": is_demonstration}
