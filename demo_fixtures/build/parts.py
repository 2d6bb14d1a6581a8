"""The invented part numbers: what each is, what it carries, what may stand for it."""

from __future__ import annotations

from dataclasses import dataclass, field

SHOP = "shop"
LINE = "line"


@dataclass(frozen=True, slots=True)
class Part:
    """A part number. ``inside`` lists its inner positions as (code, name, kind, capacity)."""

    number: str
    maker: str
    description: str
    kind: str
    mass: str
    serial: str
    removed: str = LINE
    goods: str = ""
    is_lot: bool = False
    life_months: int | None = None
    inside: list[tuple[str, str, str, int]] = field(default_factory=list)
    standards: list[tuple[str, str]] = field(default_factory=list)


SLIDE_INSIDE = [("BTL", "Inflation bottle", "BOTTLE", 1), ("LIGHT", "Light unit", "SLIGHT", 1)]
RAFT_INSIDE = [*SLIDE_INSIDE, ("KIT", "Survival kit", "SKIT", 1)]
CART_INSIDE = [("CART", "Valve cartridge", "CART", 1)]
SLIDE_STANDARDS = [("A", "QBR-SB-21-04"), ("B", "QBR-SB-21-11")]
GAS = "2.2 UN1066"

PARTS = [
    Part(
        "BQ21.110L",
        "QBRE",
        "Slide pack, door, left hand",
        "SLIDE",
        "62.4",
        "B",
        goods="9 UN2990",
        inside=SLIDE_INSIDE,
        standards=SLIDE_STANDARDS,
    ),
    Part(
        "BQ21.110R",
        "QBRE",
        "Slide pack, door, right hand",
        "SLIDE",
        "62.4",
        "B",
        goods="9 UN2990",
        inside=SLIDE_INSIDE,
        standards=SLIDE_STANDARDS,
    ),
    Part(
        "BQ21.115L",
        "QBRE",
        "Slide pack, door, left hand, light fabric",
        "SLIDE",
        "58.9",
        "B",
        goods="9 UN2990",
        inside=SLIDE_INSIDE,
        standards=SLIDE_STANDARDS[:1],
    ),
    Part(
        "BQ21.310", "QBRE", "Slide pack, overwing", "OWSLIDE", "29.8", "W", inside=SLIDE_INSIDE[1:]
    ),
    Part(
        "BQ21.320",
        "QBRE",
        "Slide pack, overwing, wide lane",
        "OWSLIDE",
        "30.6",
        "W",
        inside=SLIDE_INSIDE[1:],
    ),
    Part(
        "BQ44.210L",
        "QBRE",
        "Slide-raft pack, left hand",
        "RAFT",
        "104.0",
        "R",
        goods="9 UN2990",
        inside=RAFT_INSIDE,
    ),
    Part(
        "BQ44.210R",
        "QBRE",
        "Slide-raft pack, right hand",
        "RAFT",
        "104.0",
        "R",
        goods="9 UN2990",
        inside=RAFT_INSIDE,
    ),
    Part(
        "TWV-720",
        "QTWV",
        "Inflation bottle, steel, 3-year test",
        "BOTTLE",
        "11.2",
        "T",
        removed=SHOP,
        goods=GAS,
        inside=CART_INSIDE,
    ),
    Part(
        "TWV-755",
        "QTWV",
        "Inflation bottle, composite, 5-year test",
        "BOTTLE",
        "8.7",
        "T",
        removed=SHOP,
        goods=GAS,
        inside=CART_INSIDE,
    ),
    Part(
        "TWV-760",
        "QTWV",
        "Inflation bottle, fuselage, 5-year test",
        "BOTTLE",
        "9.5",
        "T",
        goods=GAS,
        inside=CART_INSIDE,
    ),
    Part(
        "TWV-C18",
        "QTWV",
        "Valve cartridge",
        "CART",
        "0.090",
        "LOT",
        removed=SHOP,
        goods="1.4S UN0323",
        is_lot=True,
    ),
    Part("TWV-512", "QTWV", "Door emergency cylinder", "DOORCYL", "4.1", "D", goods=GAS),
    Part(
        "OLD-SL3",
        "QOLL",
        "Slide light unit",
        "SLIGHT",
        "0.620",
        "L",
        removed=SHOP,
        standards=[("L1", "OLD-SB-007"), ("L2", "OLD-SB-009")],
    ),
    Part(
        "OLD-BP6",
        "QOLL",
        "Emergency light battery pack",
        "LPACK",
        "2.3",
        "P",
        standards=[("P1", ""), ("P2", "OLD-SB-012")],
    ),
    Part("OLD-MG2", "QOLL", "Megaphone", "MEGA", "1.4", "M"),
    Part(
        "MWB-O310",
        "QMWB",
        "Portable oxygen bottle, 310 litre",
        "OXY",
        "3.2",
        "X",
        goods="2.2 UN1072",
    ),
    Part(
        "MWB-O312",
        "QMWB",
        "Portable oxygen bottle, 312 litre",
        "OXY",
        "3.0",
        "X",
        goods="2.2 UN1072",
    ),
    Part(
        "MWB-H15",
        "QMWB",
        "Protective breathing hood, 15 minutes",
        "HOOD",
        "1.1",
        "H",
        goods="5.1 UN3356",
    ),
    Part(
        "CCF-A12",
        "QCCF",
        "Portable extinguisher, clean agent",
        "EXT",
        "2.4",
        "E",
        goods="2.2 UN1044",
    ),
    Part("CCF-W05", "QCCF", "Portable extinguisher, water", "EXT", "3.1", "E", goods="2.2 UN1044"),
    Part("SMB-A1", "QSMB", "Life vest, crew", "VEST", "0.650", "V"),
    Part(
        "SMB-A2", "QSMB", "Life vest, passenger, by the batch", "VEST", "0.480", "LOT", is_lot=True
    ),
    Part("SMB-K8", "QSMB", "Survival kit, slide-raft", "SKIT", "6.4", "K", removed=SHOP),
    Part("SMB-AID", "QSMB", "First-aid kit", "AID", "2.9", "A"),
    Part(
        "FNB-7F",
        "QFNB",
        "Locator beacon, fixed",
        "ELT",
        "1.6",
        "F",
        inside=[("BAT", "Battery", "ELTBAT", 1)],
    ),
    Part(
        "FNB-7P",
        "QFNB",
        "Locator beacon, portable",
        "ELT",
        "1.9",
        "F",
        inside=[("BAT", "Battery", "ELTBAT", 1)],
    ),
    Part(
        "FNB-B72",
        "QFNB",
        "Beacon battery",
        "ELTBAT",
        "0.450",
        "C",
        removed=SHOP,
        goods="9 UN3091",
        life_months=72,
    ),
    Part("HVA-FP900", "QHVA", "Floor-path strip, 900 mm", "FPATH", "0.310", "S"),
]

BY_NUMBER = {part.number: part for part in PARTS}

# part, the one that may stand for it, both ways, document
ALTERNATES = [
    ("BQ21.110L", "BQ21.115L", False, "QBR-SB-21-19"),
    ("BQ21.310", "BQ21.320", True, "QBR-SB-21-23"),
    ("MWB-O310", "MWB-O312", True, "VAR-EO-0144"),
    ("TWV-720", "TWV-755", False, "QBR-SB-44-02"),
]
