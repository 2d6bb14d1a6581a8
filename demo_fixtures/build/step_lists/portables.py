"""The step lists of what hangs in a stowage."""

from __future__ import annotations

from .steps import (
    BACK,
    CLEAR,
    LOOK,
    OFF,
    ON,
    PAPERS,
    PICTURE,
    REMARKS,
    SAFE,
    TEST,
    S,
    StepListOf,
)

PORTABLE_OXYGEN = StepListOf(
    "PORTABLE-OXYGEN",
    "Portable oxygen bottle: off and on",
    "OXY",
    "VAR-CM-35-30-10",
    "5",
    (
        S(
            SAFE,
            "confirm",
            "Hands, gloves and tools free of oil and grease.",
            "Oil in oxygen burns without a flame to light it.",
        ),
        S(
            OFF,
            "confirm",
            "Valve shut, mask stowed, bottle out of its bracket. Record what came off.",
            "Never drop it, never strike the valve.",
            posts="removal",
        ),
        S(LOOK, "confirm", "Bracket and quick release sound; placard legible."),
        PAPERS,
        S(
            LOOK,
            "confirm",
            "Month and year of the last test stamped on the bottle are legible and in date.",
        ),
        S(
            LOOK,
            "pressure",
            "Gauge and temperature, against the bottle's own chart.",
            "An empty oxygen bottle is not refilled: it goes back to the shop.",
            unit="psi",
        ),
        S(
            ON,
            "confirm",
            "Bottle in its bracket, gauge to the front, mask in its bag. Record what went on.",
            posts="installation",
        ),
        S(TEST, "function", "Valve opened slowly: flow at the mask; valve shut."),
        S(BACK, "confirm", "Quick release locked; the bottle does not turn by hand."),
        PICTURE,
        CLEAR,
        REMARKS,
    ),
)

PORTABLE_EXTINGUISHER = StepListOf(
    "PORTABLE-EXTINGUISHER",
    "Portable extinguisher: off and on",
    "EXT",
    "VAR-CM-26-24-10",
    "2",
    (
        S(
            SAFE,
            "count",
            "Safety pin and seal in the trigger. Pins seen:",
            items="pins",
            key="pins",
        ),
        S(
            OFF,
            "confirm",
            "Extinguisher out of its bracket. Record what came off.",
            posts="removal",
        ),
        S(LOOK, "confirm", "Bracket and strap sound; placard legible."),
        PAPERS,
        S(
            LOOK,
            "weight",
            "Weigh the extinguisher to be fitted, against the weight stamped on it.",
            loss="5",
            unit="kg",
            tool=True,
            earns="WEIGH",
        ),
        S(
            ON,
            "confirm",
            "Extinguisher in its bracket, gauge to the front. Record what went on.",
            posts="installation",
        ),
        S(TEST, "confirm", "The gauge stands in its band."),
        S(
            BACK,
            "count",
            "Safety pin and seal in the trigger of the one fitted. Pins seen:",
            "Here the pin stays: it is the trigger's own.",
            items="pins",
            returns="pins",
        ),
        CLEAR,
        REMARKS,
    ),
)
