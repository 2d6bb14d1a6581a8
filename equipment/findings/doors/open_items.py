"""Doors of positions left open and defects deferred."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.requests import PlaceSent
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.open_items import CLOSE_ITEM, OPEN_ITEM
from equipment.models import OpenItem
from fleet.doors.acts import act_door, act_path
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.fields import StrictBoolean
from fleet.doors.requests import act_request_of
from fleet.doors.schema import described, page_of

from . import examples


class OpenItemShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    aircraft = serializers.CharField(source="aircraft.registration")
    place = PlaceShown(allow_null=True)
    swap = serializers.IntegerField(source="swap_id", allow_null=True)
    document = serializers.CharField()
    words = serializers.CharField()
    category = serializers.CharField()
    found_on = serializers.DateField()
    expires_on = serializers.DateField(help_text="The last day on which it may stay open.")
    repeat_actions = serializers.CharField()
    effect = serializers.CharField()
    closed_on = serializers.DateField(source="closed.closed_on", default=None, allow_null=True)
    closed_words = serializers.CharField(source="closed.words", default=None, allow_null=True)


class OpenItemsAsked(Paged):
    is_open = StrictBoolean(required=False, help_text="true: those that nothing has closed.")


def items_shown() -> Any:
    return OpenItem.objects.select_related("aircraft", "closed", *with_place("place"))


class OpenItems(Door):
    @described(
        tag="Open items",
        name="list_open_items",
        summary="Open items",
        description="Positions left open and defects deferred, the first to expire on top.",
        query=OpenItemsAsked,
        answer=page_of(OpenItemShown),
        example={"next": None, "results": [examples.ITEM]},
    )
    def get(self, request: Request) -> Response:
        asked, rows = self.asked(OpenItemsAsked), items_shown()
        if "is_open" in asked:
            rows = rows.filter(closed__isnull=asked["is_open"])
        return self.page(rows, ("expires_on", "pk"), OpenItemShown, asked)


def shown(key: int) -> OpenItem:
    """An open item read again, with all that it names."""
    found: OpenItem = items_shown().get(pk=key)
    return found


def look_up(open_item_id: int) -> None:
    sentence = f"No open item has the id {open_item_id}. See /api/v1/open-items."
    found_or_missing(items_shown(), "unknown_open_item", sentence, pk=open_item_id)


CLOSED = {**examples.ITEM, "closed_on": "2024-03-09", "closed_words": "Fitted again."}
OpenItemSent = act_request_of(
    OPEN_ITEM,
    "OpenItemSent",
    place=PlaceSent(required=False, allow_null=True, default=None),
)
ClosingSent = act_request_of(CLOSE_ITEM, "ClosingSent")
OpenItemDoor = act_door(
    OPEN_ITEM,
    OpenItemSent,
    OpenItemShown,
    examples.ITEM,
    shown=lambda made: shown(made.pk),
    base=OpenItems,
)
ClosingDoor = act_door(
    CLOSE_ITEM,
    ClosingSent,
    OpenItemShown,
    CLOSED,
    shown=lambda made: shown(made.open_item_id),
    look_up=look_up,
)

urlpatterns = [
    act_path(OPEN_ITEM, OpenItemDoor, "api-open-items"),
    act_path(CLOSE_ITEM, ClosingDoor, "api-open-item-closing"),
]
