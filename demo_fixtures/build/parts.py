"""The invented part numbers: what each is, what it carries, where it may go, what may stand for it."""

from __future__ import annotations

from dataclasses import dataclass, field

from .layouts import NARROW, POSITIONS, WIDE

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

# which part numbers go in the positions of a kind on a type; a hand is told by the part's last letter
ON_TYPE: dict[str, dict[str, list[str]]] = {
    NARROW: {
        "SLIDE": ["BQ21.110L", "BQ21.110R", "BQ21.115L"],
        "OWSLIDE": ["BQ21.310", "BQ21.320"],
        "BOTTLE": ["TWV-760"],
    },
    WIDE: {"RAFT": ["BQ44.210L", "BQ44.210R"]},
}
ON_BOTH = {
    "DOORCYL": ["TWV-512"],
    "EXT": ["CCF-A12", "CCF-W05"],
    "OXY": ["MWB-O310", "MWB-O312"],
    "HOOD": ["MWB-H15"],
    "MEGA": ["OLD-MG2"],
    "LPACK": ["OLD-BP6"],
    "FPATH": ["HVA-FP900"],
    "AID": ["SMB-AID"],
    "VEST": ["SMB-A1", "SMB-A2"],
}
INSIDE_FITS = [
    # carrier, inner position, part that may go there
    *[(slide, "BTL", "TWV-720") for slide in ("BQ21.110L", "BQ21.110R", "BQ21.115L")],
    *[(slide, "BTL", "TWV-755") for slide in ("BQ21.115L", "BQ44.210L", "BQ44.210R")],
    *[
        (slide, "LIGHT", "OLD-SL3")
        for slide in (
            "BQ21.110L",
            "BQ21.110R",
            "BQ21.115L",
            "BQ21.310",
            "BQ21.320",
            "BQ44.210L",
            "BQ44.210R",
        )
    ],
    *[(raft, "KIT", "SMB-K8") for raft in ("BQ44.210L", "BQ44.210R")],
    *[(bottle, "CART", "TWV-C18") for bottle in ("TWV-720", "TWV-755", "TWV-760")],
    *[(beacon, "BAT", "FNB-B72") for beacon in ("FNB-7F", "FNB-7P")],
]


@dataclass(frozen=True, slots=True)
class AircraftFit:
    """A part that may go in one position of a type."""

    part: str
    type_code: str
    position: str
    condition: str = ""
    msn_from: str = ""


def aircraft_fits() -> list[AircraftFit]:
    """Every part in every position it may take: hands, the beacons' places, the bins' sorts."""
    fits = []
    for type_code, spots in POSITIONS.items():
        for spot in spots:
            for number in _parts_for(type_code, spot.code, spot.kind):
                if (
                    number[-1] in "LR"
                    and spot.kind in {"SLIDE", "RAFT"}
                    and number[-1] != spot.code[2]
                ):
                    continue
                condition = "both_sides_same" if spot.kind == "OWSLIDE" else ""
                # The light fabric pack needs the strengthened girt bar of later aircraft.
                msn_from = "1105" if number == "BQ21.115L" else ""
                fits.append(AircraftFit(number, type_code, spot.code, condition, msn_from))
    return fits


def _parts_for(type_code: str, code: str, kind: str) -> list[str]:
    if kind == "ELT":
        return ["FNB-7F"] if code == "ELT-1" else ["FNB-7P"]
    return ON_TYPE[type_code].get(kind) or ON_BOTH[kind]
