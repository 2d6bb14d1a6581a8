"""What is repeated while an item is open: that it was done, from when its next interval counts."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.models import OpenItem, OpenItemClosed, RepeatActionDone
from equipment.swaps.acts.held import lock_openings_at
from fleet.acts.act import Act
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept
from fleet.models import User
from fleet.words.said import day_words

from .openings import RepeatDone

_LONGEST = {"who": 80, "authorisation": 40, "document": 80, "words": 200}
_NEEDED = {
    "who": "Say who did it.",
    "authorisation": "Give the authorisation of whoever did it.",
    "document": "Give the log page or work order that shows it.",
}


@transaction.atomic
def record_repeat_action(
    *, by: User, done: RepeatDone, act_id: UUID, at: datetime
) -> RepeatActionDone:
    """This will record that what is repeated while an item is open was done; the next interval counts
    from that day.

    Refuses an unknown item, one that is closed by then or repeats nothing, a day before it was found or
    still to come, and an action without who, authorisation or document.
    """
    ask(by, "record_repeat_action")
    rows = RepeatActionDone.objects.filter(act_id=act_id)
    told = {"done": done}
    if before := done_before(act_id, "record_repeat_action", told, rows, by=by, at=at):
        return before
    reasons = Reasons()
    for name, most in _LONGEST.items():
        text = getattr(done, name).strip()
        reasons.found += why_not_kept(text, name, most, _NEEDED.get(name, ""))
    reasons.found += why_future(done.done_on, at, "done_on", "give the day it was done.")
    item = _item(done, reasons)
    reasons.refuse()
    said = {each.name: getattr(done, each.name) for each in fields(done)} | {
        name: getattr(done, name).strip() for name in _LONGEST
    }
    del said["open_item_id"]
    return RepeatActionDone.objects.create(
        **said, open_item=item, act_id=act_id, recorded_at=at, recorded_by=by
    )


def _item(done: RepeatDone, reasons: Reasons) -> OpenItem:
    """The item, held; adds why its action cannot have been done that day. Refuses one that there is not."""
    item = OpenItem.objects.filter(pk=done.open_item_id).first()
    if item is None:
        raise Refused("unknown_open_item", "There is no such open item: look it up again.")
    if item.place_id is not None:
        lock_openings_at(item.place_id)
    if not item.repeat_actions:
        reasons.add("nothing_repeated", "Nothing is repeated while this item is open.", "open_item")
    closed = OpenItemClosed.objects.filter(open_item=item).first()
    if closed is not None and closed.closed_on < done.done_on:
        words = f"It was closed on {day_words(closed.closed_on)}: {closed.words}"
        reasons.add("closed_already", words, "done_on")
    if done.done_on < item.found_on:
        words = f"It was found on {day_words(item.found_on)}: give that day or a later one."
        reasons.add("wrong_day", words, "done_on")
    return item


# --- declared ---------------------------------------------------------------------------------

RECORD_REPEAT_ACTION = Act(
    name="record_repeat_action",
    does=record_repeat_action,
    said=RepeatDone,
    as_="done",
    tag="Open items",
    summary="Record a repeat action",
    description="Records that what is repeated while an item is open was done, by whom and under which"
    " document. The next interval counts from that day.",
    address="open-items/<int:open_item_id>/repeat-actions",
    in_address=("open_item_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c08",
        "done_on": "2024-03-06",
        "who": "D. Holm",
        "authorisation": "QA-117",
        "document": "Log page 48213",
        "words": "No change.",
    },
)
