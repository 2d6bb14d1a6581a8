"""Doors of positions left open and defects deferred."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.open_items import close_item, open_item
from equipment.models import OpenItem
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, Paged, answer, found_or_missing
from fleet.doors.fields import StrictBoolean
from fleet.doors.schema import described, page_of

from . import examples, requests


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
        example={"next": None, "results": [examples.OPEN_ITEM]},
    )
    def get(self, request: Request) -> Response:
        asked, rows = self.asked(OpenItemsAsked), items_shown()
        if "is_open" in asked:
            rows = rows.filter(closed__isnull=asked["is_open"])
        return self.page(rows, ("expires_on", "pk"), OpenItemShown, asked)

    @described(
        tag="Open items",
        name="open_item",
        summary="Leave a position open",
        description="Records a position left open, or a defect deferred: by which document and until "
        "which last day. An item past that day stands in the way of a release.",
        takes=requests.OpenItemSent,
        sent=examples.OPEN_ITEM_SENT,
        answer=OpenItemShown,
        example=examples.OPEN_ITEM,
        act="open_item",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.OpenItemSent), timezone.now()
        made = self._opened(sent, at)
        is_new = done_now(sent["act_id"], "open_item", at)
        return answer(OpenItemShown(items_shown().get(pk=made.pk)).data, is_new=is_new)

    def _opened(self, sent: dict[str, Any], at: datetime) -> OpenItem:
        return open_item(
            by=self.person, act_id=sent["act_id"], at=at, place=sent["place"], **sent["act"]
        )


class OpenItemClosing(Door):
    @described(
        tag="Open items",
        name="close_open_item",
        summary="Close an open item",
        description="Closes an open item that no swap closes by itself, saying by which work.",
        takes=requests.ClosingSent,
        sent=examples.CLOSING_SENT,
        answer=OpenItemShown,
        example={**examples.OPEN_ITEM, "closed_on": "2024-03-09", "closed_words": "Fitted again."},
        act="open_item",
    )
    def post(self, request: Request, open_item_id: int) -> Response:
        sentence = f"No open item has the id {open_item_id}. See /api/v1/open-items."
        item = found_or_missing(items_shown(), "unknown_open_item", sentence, pk=open_item_id)
        sent, at = self.brought(requests.ClosingSent), timezone.now()
        close_item(by=self.person, open_item_id=item.pk, at=at, **sent)
        is_new = done_now(sent["act_id"], "close_item", at)
        return answer(OpenItemShown(items_shown().get(pk=item.pk)).data, is_new=is_new)
