"""The steps that a list may begin with where an operator has none on record yet: common practice in their order, without a
published source. The operator's approved data governs: its own list takes this one's place as the next revision."""

from __future__ import annotations

from equipment.judging.steps.step_lists import NewStep

_BROUGHT = {"what": "pins, caps and tools"}

#: Nothing in it has a number of its own: what is pulled, pressed or measured is the approved data's to say.
GENERAL: tuple[NewStep, ...] = (
    NewStep(
        1,
        "make_safe",
        "confirm",
        "The approved data for this change is at hand, in its revision in force.",
    ),
    NewStep(
        2,
        "make_safe",
        "confirm",
        "The position is made safe as the approved data requires: disarmed, pinned, isolated.",
        caution="What is charged can discharge or inflate and kill. Do not go on before it is made safe.",
    ),
    NewStep(
        3,
        "make_safe",
        "count",
        "Pins, caps and tools brought to the position, counted:",
        rule=_BROUGHT,
    ),
    NewStep(
        4, "remove", "confirm", "The unit is taken off. Record what came off.", posts="removal"
    ),
    NewStep(
        5,
        "inspect",
        "confirm",
        "The position, its attachments and connections are looked over; damage is written up.",
    ),
    NewStep(
        6, "install", "confirm", "The unit is put on. Record what went on.", posts="installation"
    ),
    NewStep(
        7,
        "install",
        "confirm",
        "Attached, tightened, connected and locked as the approved data requires.",
        is_inspected=True,
    ),
    NewStep(
        8,
        "test",
        "note",
        "What the approved data has measured or tested, each with its value and its limit:",
    ),
    NewStep(
        9,
        "restore",
        "count",
        "Pins, caps and tools taken away again, counted:",
        rule={**_BROUGHT, "is_returned": True},
        returns=3,
        is_inspected=True,
    ),
    NewStep(10, "restore", "photo", "The position as it is left.", is_needed=False),
    NewStep(
        11,
        "restore",
        "confirm",
        "Armed and closed again, or left as the log says.",
        is_inspected=True,
    ),
)
