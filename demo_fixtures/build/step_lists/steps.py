"""What an invented step list is made of, and the steps that many lists share."""

from __future__ import annotations

from dataclasses import dataclass, replace

SAFE, OFF, LOOK, ON, TEST, BACK = "make_safe", "remove", "inspect", "install", "test", "restore"


@dataclass(frozen=True, slots=True)
class S:
    """One step. ``key`` names it for the step that ``returns`` what it fitted or ``covers`` it."""

    phase: str
    sort: str
    words: str
    caution: str = ""
    inspected: bool = False
    needed: bool = True
    posts: str = ""
    key: str = ""
    returns: str = ""
    covers: tuple[str, ...] = ()
    earns: str = ""
    low: str = ""
    high: str = ""
    unit: str = ""
    strict: bool = False
    drag: bool = False
    items: str = ""
    loss: str = ""
    tool: bool = False


@dataclass(frozen=True, slots=True)
class StepListOf:
    """A step list for a kind of position, or for one part number there; of a change, or of a ``work`` in place."""

    code: str
    title: str
    kind: str
    document: str
    document_revision: str
    steps: tuple[S, ...]
    revision: str = "1"
    maker: str = ""
    part: str = ""
    from_months_ago: int = 14
    work: str = ""


# --- what several lists share -----------------------------------------------------------------

TOOLS_OUT = S(SAFE, "count", "Count the tools that go to the job.", items="tools", key="tools")
TOOLS_BACK = S(
    BACK,
    "count",
    "Count the tools again: each one is back in its box.",
    "A tool left in a slide's compartment jams the pack or cuts it.",
    items="tools",
    returns="tools",
)
PAPERS = S(
    LOOK,
    "confirm",
    "Part number, serial number and release certificate of the unit to be fitted agree with this record.",
)
CLEAR = S(
    BACK,
    "confirm",
    "The area is clear of tools and loose parts, every panel opened is refitted.",
)
HELPER = S(SAFE, "note", "Who helps with the lift:")


def each_bolt(bolt: S, *names: str) -> tuple[S, ...]:
    """One value for each bolt, in the order of tightening: ``Mount bolt, forward.``"""
    return tuple(replace(bolt, words=f"{bolt.words}, {name}.") for name in names)


def gauge_once_more(what: str) -> S:
    """The last reading, once all is connected."""
    return S(
        TEST,
        "pressure",
        f"Gauge of {what} and its temperature once more, all connected.",
        unit="psi",
    )


COVER_OFF = S(
    OFF,
    "count",
    "Cover off, its fasteners kept in their bag. Fasteners opened:",
    items="fasteners",
    key="cover",
)
REMARKS = S(BACK, "note", "Anything the next shift should know.", needed=False)
PICTURE = S(
    BACK, "photo", "A photo of the unit as fitted, gauge and pin's place in view.", needed=False
)

DOOR_SAFE = (
    S(
        SAFE,
        "confirm",
        "Door disarmed: the mode lever is at DISARMED and its window shows it.",
        "An armed door throws the slide out as it opens. Point at the lever, say what it shows, then"
        " touch the door.",
    ),
    S(
        SAFE,
        "confirm",
        "The ground outside the door is barred off and the people there know.",
        "A slide that inflates strikes whoever stands below or in the doorway.",
    ),
    S(
        SAFE,
        "count",
        "Fit the safety pin in the bottle's valve, its flag hanging free. Pins fitted:",
        "Without the pin a pull on the cable discharges the bottle.",
        items="safety pins",
        key="pins",
    ),
    S(
        SAFE,
        "count",
        "Lock the open door in its gust lock. Lock pins fitted:",
        items="lock pins",
        key="locks",
    ),
    TOOLS_OUT,
)
DOOR_BACK = (
    S(
        BACK,
        "count",
        "Take the safety pin out of the valve and put it in its pouch. Pins returned:",
        "A pin left in the valve: the slide will not inflate. Show the empty valve and the full pouch"
        " to the inspector.",
        inspected=True,
        items="safety pins",
        returns="pins",
    ),
    TOOLS_BACK,
    PICTURE,
    S(
        BACK,
        "count",
        "Cover on, each fastener locked. Fasteners closed:",
        "Behind the cover nobody looks again: pin, tools and gauge come first.",
        inspected=True,
        items="fasteners",
        returns="cover",
    ),
    CLEAR,
    S(
        BACK,
        "count",
        "Take the lock pins out of the gust lock. Lock pins returned:",
        items="lock pins",
        returns="locks",
    ),
    S(
        BACK,
        "confirm",
        "Door closed; the mode lever is where the task card asks, its window shows it.",
        inspected=True,
    ),
    REMARKS,
)
