"""The step lists of bottles, lights and what hangs in a stowage."""

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
    TOOLS_BACK,
    TOOLS_OUT,
    S,
    StepListOf,
)

BOTTLE = StepListOf(
    "INFLATION-BOTTLE", "Inflation bottle: off and on", "BOTTLE", "VAR-CM-25-66-50", "4",
    (
        S(
            SAFE, "count", "Safety pin in the valve, its flag hanging free. Pins fitted:",
            "A charged bottle whose valve opens flies like a shell.", items="safety pins", key="pins",
        ),
        S(SAFE, "confirm", "Cartridge connector off and shorted; static strap on the wrist.",
          "A spark fires the cartridge."),
        TOOLS_OUT,
        S(OFF, "confirm", "Hose and cable off the valve, outlet plug fitted.",
          "Relief port away from people; the valve is never struck."),
        S(OFF, "confirm", "Clamps open, bottle out. Record what came off.",
          "Hold the bottle by its body, never by the valve. Never drop it.", posts="removal"),
        S(LOOK, "confirm", "Clamps and liners sound; hose end clean, not twisted."),
        PAPERS,
        S(LOOK, "confirm", "Month and year of the last test stamped on the bottle are legible and in date."),
        S(LOOK, "pressure", "Gauge and temperature of the new bottle, against its own chart.", unit="psi"),
        S(ON, "confirm", "Bottle in its clamps, gauge to the window. Record what went on.", posts="installation"),
        S(ON, "torque", "Clamp bolts.", low="35", high="45", unit="in-lb", inspected=True),
        S(ON, "torque", "Hose nut at the valve.", low="220", high="260", unit="in-lb", drag=True, inspected=True),
        S(ON, "confirm", "Outlet plug out and in its pouch, cable and cartridge connector on.", inspected=True),
        S(TEST, "confirm", "No leak at the hose nut with leak fluid; wiped dry."),
        S(TEST, "confirm", "The gauge can be read and stands in its band."),
        S(
            BACK, "count", "Take the safety pin out of the valve and put it in its pouch. Pins returned:",
            "A pin left in the valve: nothing inflates.", inspected=True, items="safety pins", returns="pins",
        ),
        TOOLS_BACK, CLEAR, PICTURE, REMARKS,
    ),
)  # fmt: skip

LIGHT = StepListOf(
    "LIGHT-UNIT", "Slide light unit: off and on", "SLIGHT", "VAR-CM-33-50-10", "2",
    (
        S(SAFE, "confirm", "The slide is on the bench, its bottle pinned, the lacing opened at the light only."),
        TOOLS_OUT,
        S(OFF, "confirm", "Connector off and capped."),
        S(OFF, "confirm", "Light unit out of its pocket. Record what came off.", posts="removal"),
        S(LOOK, "confirm", "Pocket, lead and connector pins: clean, straight, dry."),
        PAPERS,
        S(ON, "confirm", "Light unit in its pocket, lens outward. Record what went on.", posts="installation"),
        S(ON, "confirm", "Connector on, locked, lead not under the fold."),
        S(TEST, "function", "Light: lit when its test switch is held."),
        S(TEST, "endurance", "Light burns from its battery without dimming.", low="10", unit="min"),
        S(BACK, "confirm", "Pocket laced, pack closed and sealed by the shop's document.", inspected=True),
        TOOLS_BACK, REMARKS,
    ),
)  # fmt: skip

LIGHT_PACK = StepListOf(
    "LIGHT-PACK", "Emergency light battery pack: off and on", "LPACK", "VAR-CM-33-51-10", "4",
    (
        S(SAFE, "confirm", "Emergency light switch at OFF and tagged, breaker pulled and collared."),
        S(SAFE, "count", "Breaker collars fitted:", items="collars", key="collars"),
        TOOLS_OUT,
        S(OFF, "confirm", "Connector off and capped.", "The pack stays live: cap the connector before it touches metal."),
        S(OFF, "confirm", "Pack out of its tray. Record what came off.", posts="removal"),
        S(LOOK, "confirm", "Tray and connector: no corrosion, no trace of a leaking cell."),
        PAPERS,
        S(ON, "confirm", "Pack in its tray. Record what went on.", posts="installation"),
        S(ON, "torque", "Tray screws.", low="12", high="15", unit="in-lb"),
        S(ON, "resistance", "Case to structure.", high="2.5", unit="mΩ", strict=True),
        S(TEST, "count", "Breakers in again. Breaker collars returned:", items="collars", returns="collars"),
        S(TEST, "function", "Each lamp of the pack lit at ON and at ARMED with power off."),
        S(TEST, "endurance", "Lamps burn from the pack alone.", low="10", unit="min", inspected=True),
        S(BACK, "confirm", "Switch at ARMED, tag off."),
        TOOLS_BACK, CLEAR, REMARKS,
    ),
)  # fmt: skip

PORTABLE_OXYGEN = StepListOf(
    "PORTABLE-OXYGEN", "Portable oxygen bottle: off and on", "OXY", "VAR-CM-35-30-10", "5",
    (
        S(SAFE, "confirm", "Hands, gloves and tools free of oil and grease.",
          "Oil in oxygen burns without a flame to light it."),
        S(OFF, "confirm", "Valve shut, mask stowed, bottle out of its bracket. Record what came off.",
          "Never drop it, never strike the valve.", posts="removal"),
        S(LOOK, "confirm", "Bracket and quick release sound; placard legible."),
        PAPERS,
        S(LOOK, "confirm", "Month and year of the last test stamped on the bottle are legible and in date."),
        S(LOOK, "pressure", "Gauge and temperature, against the bottle's own chart.",
          "An empty oxygen bottle is not refilled: it goes back to the shop.", unit="psi"),
        S(ON, "confirm", "Bottle in its bracket, gauge to the front, mask in its bag. Record what went on.",
          posts="installation"),
        S(TEST, "function", "Valve opened slowly: flow at the mask; valve shut."),
        S(BACK, "confirm", "Quick release locked; the bottle does not turn by hand."),
        CLEAR, PICTURE, REMARKS,
    ),
)  # fmt: skip

PORTABLE_EXTINGUISHER = StepListOf(
    "PORTABLE-EXTINGUISHER", "Portable extinguisher: off and on", "EXT", "VAR-CM-26-24-10", "2",
    (
        S(SAFE, "count", "Safety pin and seal in the trigger. Pins seen:", items="pins", key="pins"),
        S(OFF, "confirm", "Extinguisher out of its bracket. Record what came off.", posts="removal"),
        S(LOOK, "confirm", "Bracket and strap sound; placard legible."),
        PAPERS,
        S(LOOK, "weight", "Weigh the extinguisher to be fitted, against the weight stamped on it.",
          loss="5", unit="kg", tool=True, earns="WEIGH"),
        S(ON, "confirm", "Extinguisher in its bracket, gauge to the front. Record what went on.", posts="installation"),
        S(TEST, "confirm", "The gauge stands in its band."),
        S(BACK, "count", "Safety pin and seal in the trigger of the one fitted. Pins seen:",
          "Here the pin stays: it is the trigger's own.", items="pins", returns="pins"),
        CLEAR, REMARKS,
    ),
)  # fmt: skip
