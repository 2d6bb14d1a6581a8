"""The step lists of lights and their battery packs."""

from __future__ import annotations

from .steps import (
    BACK,
    CLEAR,
    LOOK,
    OFF,
    ON,
    PAPERS,
    REMARKS,
    SAFE,
    TEST,
    TOOLS_BACK,
    TOOLS_OUT,
    S,
    StepListOf,
    each_bolt,
)

LIGHT = StepListOf(
    "LIGHT-UNIT",
    "Slide light unit: off and on",
    "SLIGHT",
    "VAR-CM-33-50-10",
    "2",
    (
        S(
            SAFE,
            "confirm",
            "The slide is on the bench, its bottle pinned, the lacing opened at the light only.",
        ),
        TOOLS_OUT,
        S(OFF, "confirm", "Connector off and capped."),
        S(OFF, "confirm", "Light unit out of its pocket. Record what came off.", posts="removal"),
        S(LOOK, "confirm", "Pocket, lead and connector pins: clean, straight, dry."),
        PAPERS,
        S(
            ON,
            "confirm",
            "Light unit in its pocket, lens outward. Record what went on.",
            posts="installation",
        ),
        S(ON, "confirm", "Connector on, locked, lead not under the fold."),
        S(TEST, "function", "Light: lit when its test switch is held."),
        S(TEST, "endurance", "Light burns from its battery without dimming.", low="10", unit="min"),
        S(
            BACK,
            "confirm",
            "Pocket laced, pack closed and sealed by the shop's document.",
            inspected=True,
        ),
        TOOLS_BACK,
        REMARKS,
    ),
)

LIGHT_PACK = StepListOf(
    "LIGHT-PACK",
    "Emergency light battery pack: off and on",
    "LPACK",
    "VAR-CM-33-51-10",
    "4",
    (
        S(
            SAFE,
            "confirm",
            "Emergency light switch at OFF and tagged, breaker pulled and collared.",
        ),
        S(SAFE, "count", "Breaker collars fitted:", items="collars", key="collars"),
        TOOLS_OUT,
        S(
            OFF,
            "confirm",
            "Connector off and capped.",
            "The pack stays live: cap the connector before it touches metal.",
        ),
        S(OFF, "confirm", "Pack out of its tray. Record what came off.", posts="removal"),
        S(LOOK, "confirm", "Tray and connector: no corrosion, no trace of a leaking cell."),
        PAPERS,
        S(ON, "confirm", "Pack in its tray. Record what went on.", posts="installation"),
        *each_bolt(
            S(ON, "torque", "Tray screw", low="12", high="15", unit="in-lb"), "left", "right"
        ),
        S(ON, "resistance", "Case to structure.", high="2.5", unit="mΩ", strict=True),
        S(
            TEST,
            "count",
            "Breakers in again. Breaker collars returned:",
            items="collars",
            returns="collars",
        ),
        S(TEST, "function", "Each lamp of the pack lit at ON and at ARMED with power off."),
        S(
            TEST,
            "endurance",
            "Lamps burn from the pack alone.",
            low="10",
            unit="min",
            inspected=True,
        ),
        S(BACK, "confirm", "Switch at ARMED, tag off."),
        TOOLS_BACK,
        CLEAR,
        REMARKS,
    ),
)
