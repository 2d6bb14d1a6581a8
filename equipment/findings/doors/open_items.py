"""Doors of positions left open and defects deferred."""

from __future__ import annotations

from typing import Any

from django.db.models import Q
from rest_framework import serializers

from equipment.common.doors.requests import PlaceSent, WhenSent
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.findings.acts.open_items import OPEN_ITEM
from equipment.findings.acts.robbing import ROB_UNIT
from equipment.models import OpenItem, RepeatActionDone, Swap
from fleet.doors.door import Door, Paged, found_or_missing
from fleet.doors.fields import StrictBoolean
from fleet.doors.lists import listed
from fleet.doors.requests import act_request_of
from fleet.doors.rows import RowShown

from . import examples


class OpenItemShown(RowShown):
    of = OpenItem
    shows = """
        id aircraft.registration swap document words category found_on expires_on
        repeat_actions repeat_days repeat_hours effect extends approval
    """
    told = {"expires_on": "The last day on which it may stay open."}
    place = PlaceShown(allow_null=True)
    closed_on = serializers.DateField(source="closed.closed_on", default=None, allow_null=True)
    closed_words = serializers.CharField(source="closed.words", default=None, allow_null=True)


class RepeatActionShown(RowShown):
    of = RepeatActionDone
    shows = "id open_item done_on who authorisation document words"


def actions_shown(open_item_id: int) -> Any:
    """The actions of one item of the address, and of the item that it extends; 404 if there is none."""
    look_up(open_item_id)
    chain = Q(open_item=open_item_id) | Q(open_item__extended_by=open_item_id)
    return RepeatActionDone.objects.filter(chain)


class RepeatActions(Door):
    get = listed(
        "list_repeat_actions",
        tag="Open items",
        summary="Repeat actions done",
        description="What was done again while an item is open, in the order of days.",
        shows=RepeatActionShown,
        example=examples.REPEATED,
        rows=actions_shown,
        order=("done_on", "pk"),
    )


class OpenItemsAsked(Paged):
    is_open = StrictBoolean(required=False, help_text="true: those that nothing has closed.")


def items_shown() -> Any:
    return OpenItem.objects.select_related("aircraft", "closed", *with_place("place"))


class OpenItems(Door):
    get = listed(
        "list_open_items",
        tag="Open items",
        summary="Open items",
        description="Positions left open and defects deferred, the first to expire on top.",
        shows=OpenItemShown,
        example=examples.ITEM,
        rows=items_shown,
        order=("expires_on", "pk"),
        asks=OpenItemsAsked,
        by={"is_open": "closed__isnull"},
    )


def shown(key: int) -> OpenItem:
    """An open item read again, with all that it names."""
    found: OpenItem = items_shown().get(pk=key)
    return found


def look_up(open_item_id: int) -> None:
    sentence = f"No open item has the id {open_item_id}. See /api/v1/open-items."
    found_or_missing(items_shown(), "unknown_open_item", sentence, pk=open_item_id)


CLOSED = {**examples.ITEM, "closed_on": "2024-03-09", "closed_words": "Fitted again."}
EXTENDED = {
    **examples.ITEM,
    "id": 10,
    "expires_on": "2024-03-20",
    "extends": 9,
    "approval": "Continued airworthiness, EXT-24-7",
}
OpenItemSent = act_request_of(
    OPEN_ITEM,
    "OpenItemSent",
    place=PlaceSent(required=False, allow_null=True, default=None),
)


def look_up_swap(for_swap_id: int) -> None:
    sentence = f"No swap has the id {for_swap_id}. See /api/v1/swaps for those on record."
    found_or_missing(Swap.objects.all(), "unknown_swap", sentence, pk=for_swap_id)


class RobbedShown(serializers.Serializer[Any]):
    """What became of a robbery: the donor's own swap, its removal, the item that leaves it open."""

    swap = serializers.IntegerField(source="swap.pk", help_text="The donor's own.")
    movement = serializers.IntegerField(source="moved.movement_id", allow_null=True)
    is_conforming = serializers.BooleanField(source="moved.is_conforming")
    open_item = serializers.IntegerField(source="item.pk", allow_null=True, default=None)


RobberySent = act_request_of(
    ROB_UNIT, "RobberySent", base=WhenSent, place=PlaceSent(help_text="Where it is taken from.")
)
