"""The invented step lists: what is done at a door, a wing or a stowage, in the order of the work.

The practice is that of the trade; every number, document and tool is invented.
"""

from __future__ import annotations

from dataclasses import dataclass

SAFE, OFF, LOOK, ON, TEST, BACK = "make_safe", "remove", "inspect", "install", "test", "restore"


@dataclass(frozen=True, slots=True)
class S:
    """One step. ``key`` names it for the step that ``returns`` what it fitted."""

    phase: str
    sort: str
    words: str
    caution: str = ""
    inspected: bool = False
    needed: bool = True
    posts: str = ""
    key: str = ""
    returns: str = ""
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
    """A step list for a kind of position, or for one part number there."""

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


# --- what several lists share -----------------------------------------------------------------

TOOLS_OUT = S(SAFE, "count", "Count the tools that go to the job.", items="tools", key="tools")
TOOLS_BACK = S(
    BACK, "count", "Count the tools again: each one is back in its box.",
    "A tool left in a slide's compartment jams the pack or cuts it.", items="tools", returns="tools",
)  # fmt: skip
PAPERS = S(
    LOOK, "confirm",
    "Part number, serial number and release certificate of the unit to be fitted agree with this record.",
)  # fmt: skip
CLEAR = S(
    BACK, "confirm",
    "The area is clear of tools and loose parts, every panel opened is refitted.",
)  # fmt: skip
REMARKS = S(BACK, "note", "Anything the next shift should know.", needed=False)
PICTURE = S(
    BACK, "photo", "A photo of the unit as fitted, gauge and pin's place in view.", needed=False
)

DOOR_SAFE = (
    S(
        SAFE, "confirm", "Door disarmed: the mode lever is at DISARMED and its window shows it.",
        "An armed door throws the slide out as it opens. Point at the lever, say what it shows, then"
        " touch the door.",
    ),
    S(
        SAFE, "confirm", "The ground outside the door is barred off and the people there know.",
        "A slide that inflates strikes whoever stands below or in the doorway.",
    ),
    S(
        SAFE, "count", "Fit the safety pin in the bottle's valve, its flag hanging free. Pins fitted:",
        "Without the pin a pull on the cable discharges the bottle.", items="safety pins", key="pins",
    ),
    S(SAFE, "count", "Lock the open door in its gust lock. Lock pins fitted:", items="lock pins", key="locks"),
    TOOLS_OUT,
)  # fmt: skip
DOOR_BACK = (
    S(
        BACK, "count", "Take the safety pin out of the valve and put it in its pouch. Pins returned:",
        "A pin left in the valve: the slide will not inflate. Show the empty valve and the full pouch"
        " to the inspector.",
        inspected=True, items="safety pins", returns="pins",
    ),
    S(BACK, "count", "Take the lock pins out of the gust lock. Lock pins returned:", items="lock pins", returns="locks"),
    TOOLS_BACK,
    S(
        BACK, "confirm", "Door closed; the mode lever is where the task card asks, its window shows it.",
        inspected=True,
    ),
    CLEAR, PICTURE, REMARKS,
)  # fmt: skip


def door_pack(mass: str, bolts: tuple[str, str]) -> tuple[S, ...]:
    """A slide or slide-raft pack at a door."""
    return (
        *DOOR_SAFE,
        S(OFF, "confirm", "Girt bar out of its floor fittings and strapped to the pack."),
        S(OFF, "confirm", "Bonding lead and light connector off, connector capped."),
        S(
            OFF, "confirm", "Actuation cable off the valve, valve cap fitted.",
            "Take no strain on the cable while the valve is on it.",
        ),
        S(
            OFF, "confirm", "Lift the pack off its mounts. Record what came off.",
            f"The pack weighs about {mass}, as its placard says: two people and the lift. Never drop it,"
            " never stand on the fabric.",
            posts="removal",
        ),
        S(LOOK, "confirm", "Mounts, floor fittings and cable receptacle: clean, undamaged, no corrosion."),
        PAPERS,
        S(LOOK, "confirm", "Pack cover laced, seal unbroken, expiry legible; inflation hose not twisted."),
        S(
            LOOK, "pressure", "Gauge of the bottle and its temperature, against the bottle's own chart.",
            "A charged bottle is never dropped and its relief port never points at a person.",
            unit="psi",
        ),
        S(ON, "confirm", "Lift the pack on to its mounts. Record what went on.", posts="installation"),
        S(
            ON, "torque", "Mount bolts, all four, in a cross.",
            inspected=True, low=bolts[0], high=bolts[1], unit="in-lb", drag=True,
        ),
        S(
            ON, "confirm", "Valve cap off, actuation cable on the valve with the slack that the document gives.",
            "The safety pin stays in until the last phase.", inspected=True,
        ),
        S(ON, "confirm", "Light connector and bonding lead on; girt bar in its stowage."),
        S(ON, "resistance", "Bonding lead to structure.", high="3", unit="mΩ"),
        S(TEST, "function", "Slide light: lit when its test switch is held."),
        S(TEST, "confirm", "The gauge can be read through its window and stands in its band."),
        *DOOR_BACK,
    )  # fmt: skip


DOOR_SLIDE = StepListOf(
    "DOOR-SLIDE", "Door slide pack: off and on", "SLIDE", "VAR-CM-25-66-10", "6",
    door_pack("62 kg", ("50", "70")), revision="2",
)  # fmt: skip
SLIDE_RAFT = StepListOf(
    "SLIDE-RAFT", "Slide-raft pack: off and on", "RAFT", "VAR-CM-25-66-40", "3",
    door_pack("104 kg", ("100", "140")),
)  # fmt: skip

OVERWING = StepListOf(
    "OVERWING-SLIDE", "Overwing slide, bottle in the fuselage: off and on", "OWSLIDE", "VAR-CM-25-66-30", "5",
    (
        S(
            SAFE, "confirm", "Flaps set as the document asks, flap lever locked and tagged.",
            "A flap that moves crushes whoever works at the trailing edge.",
        ),
        S(SAFE, "confirm", "Overwing exit closed and guarded; its slide is not armed."),
        S(
            SAFE, "count", "Safety pin in the valve of the fuselage bottle, its flag hanging free. Pins fitted:",
            "The bottle stays in the fuselage and is charged: without the pin it can discharge into the hose.",
            items="safety pins", key="pins",
        ),
        S(SAFE, "count", "Lock the compartment door open. Locks fitted:", items="door locks", key="locks"),
        TOOLS_OUT,
        S(OFF, "confirm", "Bonding lead and light connector off before the pack moves; both capped."),
        S(
            OFF, "confirm", "Inflation hose off at the fuselage coupling and kept with the slide; coupling capped.",
            "The hose goes with the slide. A hose left on the coupling tears it.",
        ),
        S(
            OFF, "confirm", "With a helper, lift the pack out of its compartment. Record what came off.",
            "The pack weighs about 30 kg and the wing is narrow: a helper, harnesses on, nothing thrown.",
            posts="removal",
        ),
        S(LOOK, "confirm", "Receptacles, coupling and compartment: clean, dry, undamaged, drain clear."),
        PAPERS,
        S(LOOK, "confirm", "Pack laced, seal unbroken; hose of the new slide sound and not twisted."),
        S(
            LOOK, "pressure", "Gauge of the fuselage bottle and its temperature, against its own chart.", unit="psi",
        ),
        S(
            ON, "confirm", "Inflation hose on first, not twisted: the line along it is straight.",
            "A twisted hose holds the gas back and the slide stays half filled.", inspected=True,
        ),
        S(ON, "torque", "Hose coupling nut.", inspected=True, low="220", high="260", unit="in-lb", drag=True),
        S(ON, "confirm", "With a helper, lay the pack in its compartment. Record what went on.", posts="installation"),
        S(ON, "torque", "Pack strap bolts, both.", inspected=True, low="30", high="40", unit="in-lb"),
        S(ON, "confirm", "Light connector and bonding lead on."),
        S(ON, "resistance", "Bonding lead to structure.", high="2.5", unit="mΩ", strict=True),
        S(TEST, "function", "Slide light: lit when its test switch is held."),
        S(TEST, "confirm", "The bottle's gauge can be read and stands in its band."),
        S(
            BACK, "count", "Take the safety pin out of the valve and put it in its pouch. Pins returned:",
            "A pin left in the valve: the slide will not inflate. Show the empty valve and the full pouch"
            " to the inspector.",
            inspected=True, items="safety pins", returns="pins",
        ),
        S(BACK, "count", "Unlock and close the compartment door. Locks returned:", items="door locks", returns="locks"),
        TOOLS_BACK,
        S(BACK, "confirm", "Flap lever unlocked, its tag off, flaps as found."),
        CLEAR, PICTURE, REMARKS,
    ),
    revision="3",
)  # fmt: skip

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

DOOR_CYLINDER = StepListOf(
    "DOOR-CYLINDER", "Door emergency cylinder: off and on", "DOORCYL", "VAR-CM-52-10-20", "3",
    (
        S(SAFE, "confirm", "Door disarmed: the mode lever is at DISARMED and its window shows it.",
          "An armed door is thrown open by this cylinder when its handle moves."),
        S(SAFE, "count", "Safety pin in the cylinder's head, its flag seen. Pins fitted:",
          "Without the pin the door is driven open with the force that breaks bones.",
          items="safety pins", key="pins"),
        S(SAFE, "count", "Lock the open door in its gust lock. Lock pins fitted:", items="lock pins", key="locks"),
        TOOLS_OUT,
        S(OFF, "confirm", "Gas line off at the head, both ends capped."),
        S(OFF, "confirm", "Cylinder out of its brackets. Record what came off.",
          "Charged: hold by the body, relief port away from people.", posts="removal"),
        S(LOOK, "confirm", "Brackets, trigger linkage and line ends: clean and undamaged."),
        PAPERS,
        S(LOOK, "weight", "Weigh the cylinder to be fitted, against the weight stamped on it.",
          loss="5", unit="kg", tool=True, earns="WEIGH"),
        S(LOOK, "pressure", "Gauge and temperature, against the cylinder's own chart.", unit="psi"),
        S(ON, "confirm", "Cylinder in its brackets, gauge to the window. Record what went on.", posts="installation"),
        S(ON, "torque", "Bracket bolts.", low="50", high="70", unit="in-lb", inspected=True),
        S(ON, "torque", "Gas line nut.", low="120", high="140", unit="in-lb", drag=True, inspected=True),
        S(ON, "confirm", "Trigger linkage on, its gap as the document gives.", inspected=True),
        S(TEST, "confirm", "No leak at the gas line with leak fluid; wiped dry."),
        *DOOR_BACK,
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

STEP_LISTS = (
    DOOR_SLIDE, SLIDE_RAFT, OVERWING, BOTTLE, DOOR_CYLINDER, LIGHT, LIGHT_PACK, PORTABLE_OXYGEN,
    PORTABLE_EXTINGUISHER,
)  # fmt: skip
