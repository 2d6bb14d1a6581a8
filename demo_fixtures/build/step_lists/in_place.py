"""The step lists of works done in place: nothing comes off, values are read where the unit hangs."""

from __future__ import annotations

from .steps import BACK, CLEAR, LOOK, REMARKS, SAFE, TEST, S, StepListOf

EXTINGUISHER_WEIGHT = StepListOf(
    "EXTINGUISHER-WEIGHT",
    "Portable extinguisher: weight check in place",
    "EXT",
    "VAR-CM-26-24-10",
    "2",
    (
        S(
            SAFE,
            "count",
            "Safety pin and seal in the trigger. Pins seen:",
            "Never weigh it with the pin out.",
            items="pins",
            key="pins",
        ),
        S(
            TEST,
            "weight",
            "Weigh the extinguisher, against the weight stamped on it.",
            loss="5",
            unit="kg",
            tool=True,
        ),
        S(TEST, "confirm", "The gauge stands in its band."),
        S(
            BACK,
            "count",
            "Back in its bracket, safety pin and seal in the trigger. Pins seen:",
            "Here the pin stays: it is the trigger's own.",
            items="pins",
            returns="pins",
        ),
        CLEAR,
        REMARKS,
    ),
    work="WEIGH",
)
CYLINDER_WEIGHT = StepListOf(
    "DOOR-CYLINDER-WEIGHT",
    "Door emergency cylinder: weight check in place",
    "DOORCYL",
    "VAR-CM-52-23-10",
    "4",
    (
        S(
            SAFE,
            "confirm",
            "Door disarmed: the mode lever is at DISARMED and its window shows it.",
            "An armed door throws the slide out as it opens.",
        ),
        S(
            SAFE,
            "count",
            "Safety pin in the cylinder's valve, its flag hanging free. Pins fitted:",
            "The cylinder drives the door open with force. Pin first, hands clear of the actuator.",
            items="safety pins",
            key="pins",
        ),
        S(
            TEST,
            "weight",
            "Weigh the cylinder on the hook scale, against the weight stamped on it.",
            loss="5",
            unit="kg",
            tool=True,
        ),
        S(
            BACK,
            "count",
            "Take the safety pin out of the valve and put it in its pouch. Pins returned:",
            "A pin left in the valve: the door will not open by itself.",
            inspected=True,
            items="safety pins",
            returns="pins",
        ),
        CLEAR,
        REMARKS,
    ),
    work="WEIGH",
)
VEST_INSPECTION = StepListOf(
    "VEST-INSPECTION",
    "Life vest: inspection and leak test in place",
    "VEST",
    "SMB-CMM-01",
    "3",
    (
        S(LOOK, "confirm", "Part number, serial number and month of manufacture read on the vest."),
        S(
            LOOK,
            "confirm",
            "Fabric, seams, straps and buckle sound; whistle there; light and battery dry.",
            "Do not pull the tabs: each fires a cartridge.",
        ),
        S(TEST, "endurance", "Chambers filled by mouth: still firm after:", low="60", unit="min"),
        S(BACK, "confirm", "Chambers empty and flat, tabs tucked in, vest folded and sealed."),
        CLEAR,
        REMARKS,
    ),
    work="INSPECT",
)
MEGAPHONE_TEST = StepListOf(
    "MEGAPHONE-TEST",
    "Megaphone: function test in place",
    "MEGA",
    "VAR-MP-25-320",
    "7",
    (
        S(
            TEST,
            "function",
            "Key pressed, spoken into: heard clearly at the far end of the cabin.",
            "Keep it away from ears.",
        ),
        S(BACK, "confirm", "Back in its bracket; the latch holds."),
        REMARKS,
    ),
    work="FUNCTION",
)
BEACON_INSPECTION = StepListOf(
    "BEACON-INSPECTION",
    "Locator beacon: inspection in place",
    "ELT",
    "VAR-MP-25-610",
    "7",
    (
        S(
            SAFE,
            "confirm",
            "The beacon's switch stands where the task card asks before anything is touched.",
            "A beacon that transmits by mistake starts a search. Tell the authority at once.",
        ),
        S(LOOK, "confirm", "Mounting, aerial, cable and battery label sound and legible."),
        S(LOOK, "confirm", "No corrosion of the battery; its date of replacement is legible."),
        S(TEST, "function", "Self-test by its own data, in the time window that the data allow."),
        S(BACK, "confirm", "The switch stands at ARMED, guarded.", inspected=True),
        REMARKS,
    ),
    work="INSPECT",
)
GIRT_BAR = StepListOf(
    "GIRT-BAR-FITTINGS",
    "Girt bar fittings at the door: inspection in place",
    "SLIDE",
    "VAR-MP-52-130",
    "7",
    (
        S(
            SAFE,
            "confirm",
            "Door disarmed: the mode lever is at DISARMED and its window shows it.",
            "An armed door throws the slide out as it opens.",
        ),
        S(LOOK, "confirm", "Fittings at the sill free of cracks, wear and dirt; springs return."),
        S(
            TEST,
            "function",
            "Lever to ARMED with the door shut: the bar seats in both fittings; back to DISARMED.",
        ),
        S(BACK, "confirm", "The mode lever is where the task card asks, its window shows it."),
        REMARKS,
    ),
    work="INSPECT",
)
IN_PLACE = (
    EXTINGUISHER_WEIGHT,
    CYLINDER_WEIGHT,
    VEST_INSPECTION,
    MEGAPHONE_TEST,
    BEACON_INSPECTION,
    GIRT_BAR,
)
