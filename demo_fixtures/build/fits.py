"""Which invented part number may go where: hands, positions of their own, positions inside others."""

from __future__ import annotations

from dataclasses import dataclass

from .layouts import NARROW, POSITIONS, WIDE

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
