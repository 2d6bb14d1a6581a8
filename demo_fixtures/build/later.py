"""What the operator brings later: corrections, a merge, a new identity, what a directive came to."""

from __future__ import annotations

from datetime import date, timedelta

from .aircraft import Aircraft
from .book import Key, Move, Stamp, UnitFact, day
from .cases import ENDED, LISTED_AT, NOT_OURS, REPEATED
from .fleet_sheets import BACKWARDS, LATE, reading
from .movement_sheets import extinguisher, in_store, movement, on_aircraft
from .operator import PROGRAMME
from .unit_sheets import identification, named, unit_lines

Row = dict[str, object]
SORTS = {"not_applicable": "not applicable", "alternative": "alternative means"}
LOT, SPLIT = Key("TWV-C18", "LOT-2602"), Key("TWV-C18", "LOT-2602/N1")


def readings(crafts: dict[str, Aircraft]) -> list[Row]:
    """One that comes late, and one that runs backwards: the hours of the day before, mistyped."""
    late, wrong = crafts[LATE[0]], crafts[BACKWARDS[0]]
    minutes, cycles = wrong.total_at(BACKWARDS[1])
    return [
        reading(LATE[0], day(LATE[1]), *late.total_at(LATE[1]), "Log 8951, found in the aircraft"),
        reading(
            BACKWARDS[0],
            f"{day(BACKWARDS[1] + 1)} 14:30",
            minutes - 9000 * 60,
            cycles - 4,
            "Log 8981",
        ),
    ]


def units() -> list[Row]:
    """Two cartridges of the lot of 24, split off for an outstation."""
    return unit_lines([UnitFact(SPLIT, Stamp(2026, 2), quantity=2)])


def movements() -> list[Row]:
    """An extinguisher was written down at the wrong place; then its neighbour's page is found."""
    fitted, split_on = date(2026, 9, 8), day(-12)
    right = Move(
        extinguisher("E0503"),
        "installed",
        on_aircraft("Q7-VAE", "EXT-2"),
        fitted,
        2,
        page="VL-88120",
    )
    found = Move(
        extinguisher("E0504"),
        "installed",
        on_aircraft("Q7-VAE", "EXT-1"),
        fitted,
        2,
        page="VL-88120",
    )
    moves = [
        Move(LOT, "split", in_store("QVMR"), split_on, 1, document="VAR-LS-88", quantity=22),
        Move(SPLIT, "split", in_store("QVMR"), split_on, 2, document="VAR-LS-88", quantity=2),
        Move(
            SPLIT,
            "sent",
            in_store("QNRB"),
            split_on + timedelta(days=1),
            document="VAR-DG-310",
            quantity=2,
        ),
    ]
    return [
        movement(right, fitted, "installed"),
        movement(found),
        *(movement(move) for move in moves),
    ]


def position_states() -> list[Row]:
    """A door that may not be used, by a deferred item; its slide stays where it is."""
    return [
        {
            "Aircraft": "Q7-VAE",
            "Position": code,
            "From": day(-9),
            "State": "deactivated",
            "Document": "VAR-MEL 52-22-01 rev 4",
        }
        for code in ("D2R-SLIDE", "D2R-CYL")
    ]


# aircraft, position, what, document, found and last day, category, repeated, effect
OPEN = [
    (
        "Q7-VAE",
        "D2R-SLIDE",
        "Door 2 right deactivated, its slide may not be used",
        "VAR-MEL 52-22-01 rev 4",
        -9,
        1,
        "C",
        "Placard and barrier looked at before each flight",
        "26 passengers fewer",
    ),
    (
        "Q7-VBB",
        "LPK-2",
        "Floor path lights out in rows 9 to 12",
        "VAR-MEL 33-50-03 rev 4",
        -2,
        6,
        "C",
        "",
        "By day only, or rows 9 to 12 not used",
    ),
    ("Q7-VAC", "", "Exit sign dim at row 12", "VAR-MEL 33-51-02 rev 4", -4, 116, "D", "", ""),
]


def open_items() -> list[Row]:
    """What the fleet flies with: a door not used, lights out, a dim sign."""
    return [
        {
            "Registration": craft,
            "Position": position,
            "What is open": words,
            "Document": document,
            "Found on": day(found),
            "Last day": day(until),
            "Category": category,
            "Repeated meanwhile": repeated,
            "Effect": effect,
        }
        for craft, position, words, document, found, until, category, repeated, effect in OPEN
    ]


def identifications() -> list[Row]:
    """A door slide modified to the light fabric becomes another part number."""
    slide = Key("BQ21.110L", "B2110")
    return [identification(slide, date(2026, 5, 4), Key("BQ21.115L", ""), "A", "QBR-SB-21-19")]


def extensions() -> list[Row]:
    raft = Key("BQ44.210L", "R4402")
    return [
        {
            "Programme": PROGRAMME,
            "Limit": "RAFT-OVH",
            **named(raft),
            "Aircraft": "",
            "Position": "",
            "Number": "VAR-EXT-26-003",
            "Granted on": day(-20),
            "Days": 60,
            "Hours": "",
            "Count": "",
            "Document": "VAR-EXT-26-003",
            "Approved by": "Airworthiness office",
        }
    ]


def merges() -> list[Row]:
    """Two serial numbers that were one vest."""
    kept, absorbed = Key("SMB-A1", "V0117"), Key("SMB-A1", "VO117")
    reason = "The plate shows a nought, read as a letter O."
    line = {**named(kept), **named(absorbed, "Absorbed"), "Reason": reason}
    return [{**line, "Document": "VAR-DQ-26-018"}]


def sightings() -> list[Row]:
    """What a walk through two cabins found: as recorded, a gauge near its red, a plate that differs."""
    slide, vest, bottle = Key("BQ21.115L", "B2110"), Key("SMB-A1", "V0117"), extinguisher("E0503")
    twin, stranger = Key("SMB-A1", "VO117"), Key("OLD-MG2", "M0499")
    return [
        _sighting(day(-6), ("Q7-VAF", "D1L-SLIDE"), slide, slide, gauge="green", pin="in"),
        _sighting(day(-6), ("Q7-VAE", "EXT-2"), bottle, bottle, gauge="low in the green"),
        _sighting(day(-3), ("Q7-VAG", "VBIN-1"), vest, twin, note="A nought or a letter O."),
        _sighting(
            day(-3),
            ("Q7-VAG", "MEGA-1"),
            None,
            stranger,
            note="No unit of this number is on record.",
        ),
    ]


def _sighting(on: date, at: tuple[str, str], unit: Key | None, read: Key, **more: str) -> Row:
    return {
        "Seen on": on,
        "Aircraft": at[0],
        "Position": at[1],
        **named(unit),
        "Part number read": read.part,
        "Serial number read": read.serial,
        "Expiry read": "",
        "Gauge read": more.get("gauge", ""),
        "Pin read": more.get("pin", ""),
        "Note": more.get("note", ""),
    }


def dispositions() -> list[Row]:
    """Each listed bottle's case: open, complied and to be repeated, terminated, not applicable."""
    rows: list[Row] = []
    for number in range(4101, 4101 + len(LISTED_AT)):
        serial = f"T{number}"
        on, sort, reason = day(-39), "open", ""
        if REPEATED[0] <= serial <= REPEATED[1]:
            on, sort = day(-34 + (number - 4105) * 4), "complied"
            reason = "Valve checked in place, no finding."
            if serial == REPEATED[1]:
                sort, reason = "alternative", "Valve changed for the later make, QAA-AMOC-26-9."
        elif ENDED[0] <= serial <= ENDED[1]:
            on, sort, reason = (
                day(-25 + number - 4111),
                "terminated",
                "Valve modified, TWV-SB-720-31.",
            )
        elif serial == NOT_OURS[0]:
            sort, reason = "not_applicable", "Valve of the later make fitted at the test house."
        rows.append(_disposition(serial, on, SORTS.get(sort, sort), reason))
    return rows


def _disposition(serial: str, on: date, sort: str, reason: str) -> Row:
    return {
        "Programme": PROGRAMME,
        "Limit": "DIR-26-04",
        "Revision": "3",
        **named(Key("TWV-720", serial)),
        "On": on,
        "Disposition": sort,
        "Reason": reason,
        "Document": "QAA-AD-26-04" if reason else "",
    }
