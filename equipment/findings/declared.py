"""What people do about what is found, and what stays open: each act once, with the ways to it."""

from __future__ import annotations

from equipment.common.pages.about import about_unit
from equipment.findings.acts.by_fact import SETTLE
from equipment.findings.acts.extensions import EXTEND_ITEM
from equipment.findings.acts.lost import STATE_LOST_RECORDS
from equipment.findings.acts.open_items import CLOSE_ITEM, OPEN_ITEM
from equipment.findings.acts.repeated import RECORD_REPEAT_ACTION
from equipment.findings.acts.robbing import ROB_UNIT
from equipment.findings.acts.walk_rounds import SEE_POSITION, START_WALK_ROUND
from equipment.findings.doors import examples, open_items, walks
from equipment.findings.named_items import ITEM_NAMED
from equipment.findings.pages.open_items import about_item, about_new, about_repeated, where_open
from equipment.findings.pages.opening_forms import DeferralForm
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page
from fleet.offers.sheet import Sheet
from fleet.words.said import day_words

NEW_ITEM = Page(
    address="open-items/new/",
    name="open_item_new",
    heading="Record an open item",
    lead="A defect that is deferred, or a position that stays open, by a document and until a day. It falls"
    " due like anything else.",
    button="Record it",
    done=lambda done: f"Open until {day_words(done.made.expires_on)}: {done.made.words}",
    about=about_new,
    begins_today=("found_on",),
    form=DeferralForm,
    find=where_open,
)
CLOSED_ITEM = Page(
    address="open-items/<int:open_item_id>/close/",
    name="open_item_close",
    heading="Close an open item",
    button="Close it",
    done=lambda done: f"Closed: {done.made.open_item.words}",
    about=about_item,
    known=("open_item",),
    begins_today=("closed_on",),
)

EXTENDED_ITEM = Page(
    address="open-items/<int:open_item_id>/extend/",
    name="open_item_extend",
    heading="Extend an open item",
    button="Extend it",
    done=lambda done: f"Open until {day_words(done.made.expires_on)}, by {done.made.approval}.",
    about=about_item,
    known=("open_item",),
)

REPEATED_ACTION = Page(
    address="open-items/<int:open_item_id>/repeat-action/",
    name="open_item_repeat",
    heading="Record a repeat action",
    button="Record it",
    done=lambda done: (
        f"Done on {day_words(done.made.done_on)}: {done.made.open_item.repeat_actions}"
    ),
    about=about_repeated,
    known=("open_item",),
    begins_today=("done_on",),
)

RECORDS_LOST = Page(
    address="units/<int:unit_id>/records-lost/",
    name="unit_records_lost",
    heading="State lost records",
    lead="Which records are lost, and the best estimate that stands in for them. No total changes by it: state the "
    "estimate as a life of its own.",
    button="Save the statement",
    done="The statement is on record, in the unit's history.",
    about=about_unit,
    known=("unit",),
    stands_on="unit",
    suits=lambda unit: False,  # rarely meant: it stands under More
)
REPEATED_LINES = Sheet(
    name="Repeat actions",
    purpose="What is repeated while an item is open, each time that it was done.",
    order=93,
    first=("open_item",),
    named={"open_item": ITEM_NAMED},
    example=[
        [
            "Q-EXA",
            "EX-MEL 25-60 revision 3",
            "2026-11-20",
            "",
            "2026-11-22",
            "D. Holm",
            "EX-117",
            "Log 4442",
            "Placard in place.",
        ]
    ],
)

OFFERS = (
    Offer(STATE_LOST_RECORDS, Api(sent="LostRecordsSent"), RECORDS_LOST),
    Offer(
        OPEN_ITEM,
        Api(
            takes=open_items.OpenItemSent,
            shows=open_items.OpenItemShown,
            example=examples.ITEM,
            base=open_items.OpenItems,
            ways={"shown": lambda made: open_items.shown(made.pk)},
        ),
        NEW_ITEM,
    ),
    Offer(
        CLOSE_ITEM,
        Api(
            name="api-open-item-closing",
            sent="ClosingSent",
            shows=open_items.OpenItemShown,
            example=open_items.CLOSED,
            ways={
                "shown": lambda made: open_items.shown(made.open_item_id),
                "look_up": open_items.look_up,
            },
        ),
        CLOSED_ITEM,
    ),
    Offer(
        ROB_UNIT,
        Api(
            name="api-swap-robbery",
            takes=open_items.RobberySent,
            shows=open_items.RobbedShown,
            example=examples.ROBBED,
            ways={"look_up": open_items.look_up_swap},
        ),
    ),
    Offer(
        EXTEND_ITEM,
        Api(
            name="api-open-item-extension",
            sent="ExtensionOfItemSent",
            shows=open_items.OpenItemShown,
            example=open_items.EXTENDED,
            ways={
                "shown": lambda made: open_items.shown(made.pk),
                "look_up": open_items.look_up,
            },
        ),
        EXTENDED_ITEM,
    ),
    Offer(
        RECORD_REPEAT_ACTION,
        Api(
            name="api-open-item-repeat-actions",
            sent="RepeatActionSent",
            shows=open_items.RepeatActionShown,
            example=examples.REPEATED,
            base=open_items.RepeatActions,
            ways={"look_up": open_items.look_up},
        ),
        REPEATED_ACTION,
        REPEATED_LINES,
    ),
    Offer(
        START_WALK_ROUND,
        Api(
            sent="WalkRoundSent",
            shows=walks.WalkRoundShown,
            example=examples.WALK_ROUND,
            base=walks.WalkRounds,
            ways={"shown": lambda made: walks.rounds_shown().get(pk=made.pk)},
        ),
    ),
    Offer(
        SEE_POSITION,
        Api(
            name="api-walk-round-sightings",
            takes=walks.LookSent,
            shows=walks.LookShown,
            example=examples.LOOK,
            ways={"shown": walks.look_shown, "look_up": walks.look_up_walk},
        ),
    ),
    Offer(
        SETTLE,
        Api(
            name="api-discrepancy-settlement",
            sent="SettlementSent",
            shows=walks.DifferenceShown,
            example=walks.SETTLED,
            ways={
                "shown": lambda settled: walks.differences_shown().get(
                    pk=settled.settlement.discrepancy_id
                ),
                "look_up": walks.look_up_difference,
            },
        ),
    ),
)
