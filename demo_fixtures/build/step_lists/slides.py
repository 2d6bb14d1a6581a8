"""The step lists of slides and slide-rafts, at a door and over a wing."""

from __future__ import annotations

from .steps import (
    BACK,
    CLEAR,
    DOOR_BACK,
    DOOR_SAFE,
    LOOK,
    OFF,
    ON,
    PAPERS,
    PICTURE,
    REMARKS,
    SAFE,
    TEST,
    TOOLS_BACK,
    TOOLS_OUT,
    S,
    StepListOf,
)


def door_pack(mass: str, bolts: tuple[str, str]) -> tuple[S, ...]:
    """A slide or slide-raft pack at a door."""
    return (
        *DOOR_SAFE,
        S(OFF, "confirm", "Girt bar out of its floor fittings and strapped to the pack."),
        S(OFF, "confirm", "Bonding lead and light connector off, connector capped."),
        S(
            OFF,
            "confirm",
            "Actuation cable off the valve, valve cap fitted.",
            "Take no strain on the cable while the valve is on it.",
        ),
        S(
            OFF,
            "confirm",
            "Lift the pack off its mounts. Record what came off.",
            f"The pack weighs about {mass}, as its placard says: two people and the lift. Never drop it,"
            " never stand on the fabric.",
            posts="removal",
        ),
        S(
            LOOK,
            "confirm",
            "Mounts, floor fittings and cable receptacle: clean, undamaged, no corrosion.",
        ),
        PAPERS,
        S(
            LOOK,
            "confirm",
            "Pack cover laced, seal unbroken, expiry legible; inflation hose not twisted.",
        ),
        S(
            LOOK,
            "pressure",
            "Gauge of the bottle and its temperature, against the bottle's own chart.",
            "A charged bottle is never dropped and its relief port never points at a person.",
            unit="psi",
        ),
        S(
            ON,
            "confirm",
            "Lift the pack on to its mounts. Record what went on.",
            posts="installation",
        ),
        S(
            ON,
            "torque",
            "Mount bolts, all four, in a cross.",
            inspected=True,
            low=bolts[0],
            high=bolts[1],
            unit="in-lb",
            drag=True,
        ),
        S(
            ON,
            "confirm",
            "Valve cap off, actuation cable on the valve with the slack that the document gives.",
            "The safety pin stays in until the last phase.",
            inspected=True,
        ),
        S(ON, "confirm", "Light connector and bonding lead on; girt bar in its stowage."),
        S(ON, "resistance", "Bonding lead to structure.", high="3", unit="mΩ"),
        S(TEST, "function", "Slide light: lit when its test switch is held."),
        S(TEST, "confirm", "The gauge can be read through its window and stands in its band."),
        *DOOR_BACK,
    )


DOOR_SLIDE = StepListOf(
    "DOOR-SLIDE",
    "Door slide pack: off and on",
    "SLIDE",
    "VAR-CM-25-66-10",
    "6",
    door_pack("62 kg", ("50", "70")),
    revision="2",
)
SLIDE_RAFT = StepListOf(
    "SLIDE-RAFT",
    "Slide-raft pack: off and on",
    "RAFT",
    "VAR-CM-25-66-40",
    "3",
    door_pack("104 kg", ("100", "140")),
)

OVERWING = StepListOf(
    "OVERWING-SLIDE",
    "Overwing slide, bottle in the fuselage: off and on",
    "OWSLIDE",
    "VAR-CM-25-66-30",
    "5",
    (
        S(
            SAFE,
            "confirm",
            "Flaps set as the document asks, flap lever locked and tagged.",
            "A flap that moves crushes whoever works at the trailing edge.",
        ),
        S(SAFE, "confirm", "Overwing exit closed and guarded; its slide is not armed."),
        S(
            SAFE,
            "count",
            "Safety pin in the valve of the fuselage bottle, its flag hanging free. Pins fitted:",
            "The bottle stays in the fuselage and is charged: without the pin it can discharge into the hose.",
            items="safety pins",
            key="pins",
        ),
        S(
            SAFE,
            "count",
            "Lock the compartment door open. Locks fitted:",
            items="door locks",
            key="locks",
        ),
        TOOLS_OUT,
        S(
            OFF,
            "confirm",
            "Bonding lead and light connector off before the pack moves; both capped.",
        ),
        S(
            OFF,
            "confirm",
            "Inflation hose off at the fuselage coupling and kept with the slide; coupling capped.",
            "The hose goes with the slide. A hose left on the coupling tears it.",
        ),
        S(
            OFF,
            "confirm",
            "With a helper, lift the pack out of its compartment. Record what came off.",
            "The pack weighs about 30 kg and the wing is narrow: a helper, harnesses on, nothing thrown.",
            posts="removal",
        ),
        S(
            LOOK,
            "confirm",
            "Receptacles, coupling and compartment: clean, dry, undamaged, drain clear.",
        ),
        PAPERS,
        S(
            LOOK,
            "confirm",
            "Pack laced, seal unbroken; hose of the new slide sound and not twisted.",
        ),
        S(
            LOOK,
            "pressure",
            "Gauge of the fuselage bottle and its temperature, against its own chart.",
            unit="psi",
        ),
        S(
            ON,
            "confirm",
            "Inflation hose on first, not twisted: the line along it is straight.",
            "A twisted hose holds the gas back and the slide stays half filled.",
            inspected=True,
        ),
        S(
            ON,
            "torque",
            "Hose coupling nut.",
            inspected=True,
            low="220",
            high="260",
            unit="in-lb",
            drag=True,
        ),
        S(
            ON,
            "confirm",
            "With a helper, lay the pack in its compartment. Record what went on.",
            posts="installation",
        ),
        S(
            ON,
            "torque",
            "Pack strap bolts, both.",
            inspected=True,
            low="30",
            high="40",
            unit="in-lb",
        ),
        S(ON, "confirm", "Light connector and bonding lead on."),
        S(ON, "resistance", "Bonding lead to structure.", high="2.5", unit="mΩ", strict=True),
        S(TEST, "function", "Slide light: lit when its test switch is held."),
        S(TEST, "confirm", "The bottle's gauge can be read and stands in its band."),
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
        S(
            BACK,
            "count",
            "Unlock and close the compartment door. Locks returned:",
            items="door locks",
            returns="locks",
        ),
        TOOLS_BACK,
        S(BACK, "confirm", "Flap lever unlocked, its tag off, flaps as found."),
        CLEAR,
        PICTURE,
        REMARKS,
    ),
    revision="3",
)
