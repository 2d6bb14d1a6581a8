"""What people do about what may be used: each act once, with the ways to it."""

from __future__ import annotations

from equipment.availability import doors, examples, requests
from equipment.availability.acts.condemned import TAKE_BACK_CONDEMNATION
from equipment.availability.acts.fillings import RECORD_DISCHARGE, RECORD_FILLING
from equipment.availability.acts.holds import END_HOLD, HOLD_UNITS
from equipment.availability.acts.markings import RECORD_MARKINGS
from equipment.availability.acts.requalifications import RECORD_REQUALIFICATION
from equipment.availability.acts.reservations import RESERVE_UNIT
from equipment.availability.acts.tags import TAG_UNIT
from equipment.availability.bottles import is_bottle, is_inflated
from equipment.availability.forms import DischargeForm, FillingForm
from equipment.availability.pages import (
    about_hold,
    about_holds,
    about_stamped,
    held_words,
    hold_id_of,
    unit_held,
)
from equipment.common.pages.about import about_unit
from equipment.common.sheets import UNIT_NAMED
from fleet.doors.requests import PLAIN
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page
from fleet.offers.sheet import Sheet

FILLING = Page(
    address="units/<int:unit_id>/filling/",
    name="unit_filling",
    heading="Record a filling",
    lead="Each filling is counted. Past its test month a bottle may stay until emptied, but is not filled.",
    button="Record the filling",
    done=lambda done: f"Filling {done.made.number} is recorded.",
    about=about_unit,
    begins_today=("done_on",),
    form=FillingForm,
    stands_on="unit",
    suits=is_bottle,
)
DISCHARGE = Page(
    address="units/<int:unit_id>/discharge/",
    name="unit_discharge",
    heading="Record an inflation or discharge",
    lead="It is tagged unserviceable until the shop has had it, and what it was set aside for is freed.",
    button="Record it",
    done="It is recorded, and the unit is tagged unserviceable.",
    about=about_unit,
    begins_today=("done_on",),
    form=DischargeForm,
    find=lambda typed: {"sort": typed["what"]},
    stands_on="unit",
    suits=is_inflated,
)
REQUALIFICATION = Page(
    address="units/<int:unit_id>/requalification/",
    name="unit_requalification",
    heading="Record a requalification",
    lead="Passed, it may be filled until its next test. A permanent expansion over its specification's "
    "condemns it, and it is never filled again.",
    button="Record it",
    done=lambda done: done.made.sentence,
    about=about_unit,
    known=("unit",),
)
MARKINGS = Page(
    address="units/<int:unit_id>/markings/",
    name="unit_markings",
    heading="What is stamped on it",
    lead="Copied from the cylinder itself. It counts before what its part number says, and tells which published "
    "period a limit may begin from.",
    button="Record it",
    done=lambda done: f"It is on record as a {done.made.specification} cylinder.",
    about=about_stamped,
    known=("unit",),
    stands_on="unit",
    suits=is_bottle,
)
CONDEMNED_BY_MISTAKE = Page(
    address="units/<int:unit_id>/condemned-by-mistake/",
    name="unit_condemned_by_mistake",
    heading="Take back a condemnation",
    lead="It was tagged unsalvageable by mistake. It is unserviceable from now on, until somebody who looked at "
    "it tags it serviceable. Another person than who condemned it does this.",
    button="Take it back",
    done="The condemnation is taken back. The unit is unserviceable until it is tagged otherwise.",
    about=about_unit,
    known=("unit",),
)
HOLDS = Page(
    address="stores/holds/",
    name="stores_holds",
    heading="Holds",
    button="Hold them",
    done=held_words,
    about=about_holds,
    known=("unit",),
    first=("scope", "value"),
    find=unit_held,
    template="equipment/stores/holds.html",
)
HOLD_END = Page(
    address="stores/holds/<int:hold_id>/end/",
    name="stores_hold_end",
    heading="End a hold",
    button="End the hold",
    done="The hold has ended.",
    about=about_hold,
    known=("hold",),
    template="equipment/stores/act.html",
)
HOLD_LINES = Sheet(
    name="Holds",
    purpose="Doubts about a unit, or about all of a certificate, a supplier or a lot.",
    order=91,
    first=("scope", "value", "unit"),
    named={"unit": UNIT_NAMED},
    act_id=hold_id_of,
    example=[
        [
            "every unit of a supplier",
            "Example Supplier",
            "",
            "",
            "",
            "suspected unapproved part",
            "Stamps that nobody knows.",
            "EX-SUP-1",
        ]
    ],
)

MARKING_LINES = Sheet(
    name="Cylinder markings",
    purpose="What is stamped on single cylinders: specification, pressures, marks, requalifier.",
    order=93,
    first=("unit",),
    named={"unit": UNIT_NAMED},
    example=[
        [
            "EXMKR",
            "EX-20",
            "B0001",
            "DOT-3HT1850",
            "2024-03-03",
            "",
            "3083 psi",
            "",
            "A123",
            "",
        ]
    ],
    aliases=("Markings",),
)

OFFERS = (
    Offer(TAG_UNIT, Api(sent="TagDoorSent")),
    Offer(TAKE_BACK_CONDEMNATION, Api(sent="CondemnedByMistakeSent"), CONDEMNED_BY_MISTAKE),
    Offer(RECORD_FILLING, Api(takes=requests.FillingSent), FILLING),
    Offer(RECORD_DISCHARGE, Api(takes=requests.DischargeSent), DISCHARGE),
    Offer(
        RECORD_REQUALIFICATION,
        Api(
            sent="RequalificationSent",
            shows=doors.RequalificationShown,
            example=examples.REQUALIFICATION,
        ),
        REQUALIFICATION,
    ),
    Offer(
        RECORD_MARKINGS,
        Api(sent="MarkingsSent", shows=doors.MarkingShown, example=examples.MARKING),
        MARKINGS,
        MARKING_LINES,
    ),
    Offer(
        RESERVE_UNIT,
        Api(
            takes=requests.ReservationSent,
            shows=doors.ReservationMadeShown,
            example={**examples.RESERVATION, "asks_decision": []},
            base=doors.ReservationList,
            ways={"shown": doors.reservation_shown},
        ),
    ),
    Offer(HOLD_UNITS, Api(sent="HoldSent"), HOLDS, HOLD_LINES),
    Offer(END_HOLD, Api(sent="HoldEndSent", about=PLAIN), HOLD_END),
)
