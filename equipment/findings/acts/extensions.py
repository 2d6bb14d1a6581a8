"""An open item stays open longer, once, by an approval."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.texts import derived_act_id
from equipment.judging.deferral import why_not_extend
from equipment.keeping.derive import tell_condition
from equipment.models import OpenItem, OpenItemClosed, Unit
from equipment.swaps.acts.held import lock_openings_at
from fleet.acts.act import Act
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.words.said import day_words

from .openings import ItemExtended

_SAME = (
    "aircraft",
    "place",
    "swap",
    "document",
    "category",
    "words",
    "found_on",
    "repeat_actions",
    "repeat_days",
    "repeat_hours",
    "effect",
)


@transaction.atomic
def extend_item(
    *, by: User, open_item_id: int, expires_on: date, approval: str, act_id: UUID, at: datetime
) -> OpenItem:
    """This will let an open item stay open until a later day: a new item of the same facts, which closes
    the one that it extends and says by which approval.

    Refuses an unknown item, one that is closed or was extended before, one of category A or none, and
    a day beyond one more interval of its category.
    """
    ask(by, "open_item")
    told = {"open_item_id": open_item_id, "expires_on": expires_on, "approval": approval}
    rows = OpenItem.objects.filter(act_id=act_id)
    if done := done_before(act_id, "extend_open_item", told, rows, by=by, at=at):
        return done
    said = refuse_blank(approval, "Say who approved it, with the reference.", "approval", 80)
    item = _open(open_item_id)
    is_extended = item.extends_id is not None
    if wrong := why_not_extend(item.category, item.expires_on, expires_on, is_extended=is_extended):
        raise Refused.all_of(wrong)
    OpenItemClosed.objects.create(
        open_item=item,
        act_id=derived_act_id(act_id, "extended"),
        words=f"Extended until {day_words(expires_on)}: {said}"[:200],
        closed_on=max(at.date(), item.found_on),
        recorded_at=at,
        recorded_by=by,
    )
    made = OpenItem.objects.create(
        **{name: getattr(item, name) for name in _SAME},
        expires_on=expires_on,
        extends=item,
        approval=said,
        act_id=act_id,
        recorded_at=at,
        recorded_by=by,
    )
    if item.place_id is not None:
        tell_condition(Unit.objects.filter(place=item.place_id).values_list("pk", flat=True))
    return made


def _open(open_item_id: int) -> OpenItem:
    """The item, its position held; refuses one that there is not, and one that is closed."""
    item = OpenItem.objects.filter(pk=open_item_id).first()
    if item is None:
        raise Refused("unknown_open_item", "There is no such open item: look it up again.")
    if item.place_id is not None:
        lock_openings_at(item.place_id)
    closed = OpenItemClosed.objects.filter(open_item=item).first()
    if closed is not None:
        words = f"It was closed on {day_words(closed.closed_on)}: {closed.words}"
        raise Refused("closed_already", words, "open_item")
    return item


# --- declared ---------------------------------------------------------------------------------

EXTEND_ITEM = Act(
    name="extend_open_item",
    who="open_item",
    does=extend_item,
    said=ItemExtended,
    tag="Open items",
    summary="Extend an open item",
    description="Lets an open item of category B, C or D stay open longer, once, by an approval: a new "
    "item that closes the one it extends.",
    address="open-items/<int:open_item_id>/extension",
    in_address=("open_item_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c07",
        "expires_on": "2024-03-20",
        "approval": "Continued airworthiness, EXT-24-7",
    },
)
