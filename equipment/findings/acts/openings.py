"""By what a position may stay open, or a defect be deferred: what is said of it, by whichever way."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from equipment.ledger.facts import PlaceAt
from fleet.acts.fields import Heading, coded, day, number, part, text, within
from fleet.models import Aircraft


@dataclass(frozen=True, slots=True)
class Opening:
    """By what a position may stay open: ``document`` with its revision, ``category``, ``found_on`` and
    the last day, what is repeated meanwhile, and what it means for dispatch."""

    document: str = text(
        "Document, item and revision that allow it",
        80,
        needed="Name the document that allows it.",
        help="Item and revision of the list used.",
        heading=Heading("Document", "Document, item and revision that allow it."),
    )
    words: str = text(
        "What is open",
        200,
        needed="Say what is open.",
        heading=Heading("What is open", "In words.", ("words", "defect")),
    )
    found_on: date = day(
        "Found on",
        heading=Heading("Found on", "The day it was found.", ("from", "opened on"), has_come=True),
    )
    expires_on: date = day(
        "Last day on which it may stay open",
        help="The last day on which it may stay open.",
        heading=Heading(
            "Last day", "The last day on which it may stay open.", ("expires on", "until")
        ),
    )
    category: str = text(
        "Category (A, B, C or D)",
        8,
        default="",
        help="A, B, C or D, as the document has it. B is open 3, C 10, D 120 days after the day it was found.",
        heading=Heading("Category", "A, B, C or D, as the document has it."),
    )
    repeat_actions: str = text(
        "What is repeated meanwhile",
        200,
        default="",
        heading=Heading("Repeated meanwhile", "What is repeated while it is open."),
    )
    repeat_days: int | None = number(
        "Repeated within days",
        least=1,
        most=3650,
        default=None,
        help="It falls due so many days after it was last done, the first time after the day found.",
        heading=Heading(
            "Repeated every days", "Within how many days what is repeated is done again."
        ),
    )
    repeat_hours: int | None = number(
        "Repeated within flight hours",
        least=1,
        most=100_000,
        default=None,
        help="Of the aircraft. With days as well, whichever comes first.",
        heading=Heading(
            "Repeated every flight hours",
            "Within how many flight hours what is repeated is done again.",
        ),
    )
    effect: str = text(
        "What it means for dispatch (seats, passengers)",
        200,
        default="",
        help="Seats blocked, passenger limit.",
        heading=Heading("Effect", "What it means for dispatch (seats, passengers)."),
    )


#: The order in which a page asks for it.
ASKED = (
    "document",
    "category",
    "words",
    "found_on",
    "expires_on",
    "repeat_actions",
    "repeat_days",
    "repeat_hours",
    "effect",
)


@dataclass(frozen=True, slots=True)
class ItemOpened:
    """A position left open or a defect deferred: give the position, the swap, or the aircraft."""

    opening: Opening = within(Opening)
    place: int | PlaceAt | None = part("The position", PlaceAt, default=None)
    aircraft_id: int | None = coded(
        "Aircraft", Aircraft, "registration", "aircraft", most=10, default=None
    )
    swap_id: int | None = number("The swap", name="swap", default=None, help="That left it open.")


@dataclass(frozen=True, slots=True)
class ItemClosed:
    """By which work an open item was closed."""

    open_item_id: int = number("The open item", least=1, name="open_item")
    words: str = text("By what it was closed", 200, needed="Say by what it was closed.")
    closed_on: date = day("Closed on")


@dataclass(frozen=True, slots=True)
class ItemExtended:
    """An open item may stay open longer, once: until when, and by which approval."""

    open_item_id: int = number("The open item", least=1, name="open_item")
    expires_on: date = day("Last day after the extension")
    approval: str = text(
        "Approved by, and its reference", 80, needed="Say who approved it, with the reference."
    )


@dataclass(frozen=True, slots=True)
class RepeatDone:
    """What is repeated while an item is open was done."""

    open_item_id: int = number("The open item", least=1, name="open_item")
    done_on: date = day(
        "Done on", heading=Heading("Done on", "The day it was done.", has_come=True)
    )
    who: str = text(
        "Done by", 80, needed="Say who did it.", heading=Heading("Done by", "Who did it.")
    )
    authorisation: str = text(
        "Authorisation number",
        40,
        needed="Give the authorisation of whoever did it.",
        heading=Heading("Authorisation", "Number of whoever did it."),
    )
    document: str = text(
        "Log page or work order",
        80,
        needed="Give the log page or work order that shows it.",
        heading=Heading("Shown by", "Log page or work order that shows it.", ("log page",)),
    )
    words: str = text(
        "What was found", 200, default="", heading=Heading("What was found", "In words.")
    )
