"""The invented operator: its stations, its makers, its people's names. Nothing here is real."""

from __future__ import annotations

from datetime import date

REFERENCE = date(2026, 11, 15)
OPERATOR = "Varrowmoor Airways"
PROGRAMME = "VAR-MP"
LESSOR_PROGRAMME = "ILM-MP44"

# code, name, zone, is it a maintenance base, abilities (works; empty: all)
STATIONS = [
    ("QVMR", "Varrowmoor", "Europe/London", True, []),
    ("QTLH", "Tolleshaven", "Atlantic/Azores", False, ["EXCHANGE", "WEIGH", "INSPECT"]),
    ("QESP", "Port Esperel", "Asia/Singapore", True, []),
    ("QNRB", "Norrabay", "America/Halifax", False, ["INSPECT", "FUNCTION"]),
]

# code, name, other names on plates and papers
MAKERS = [
    ("QBRE", "Brightquay Evacuation", ["Brightquay", "BRIGHTQUAY EVAC. LTD", "Q0B71"]),
    ("QTWV", "Tarnwick Vessels", ["Tarnwick", "TARNWICK PRESSURE VESSELS", "Q0T14"]),
    ("QOLL", "Ollerdyne Lamps", ["Ollerdyne", "Q0L33"]),
    ("QFNB", "Fennholt Beacons", ["Fennholt", "Q0F52"]),
    ("QCCF", "Cindercope Fire", ["Cindercope", "CINDERCOPE FIRE PROT.", "Q0C08"]),
    ("QSMB", "Saltmere Buoyant", ["Saltmere", "Q0S90"]),
    ("QMWB", "Marrowgate Breathing", ["Marrowgate", "Q0M27"]),
    ("QHVA", "Halvane Aircraft", ["Halvane", "Q0H01"]),
]

SHOPS = [
    "Brightquay Evacuation, Dunmarrow shop",
    "Tarnwick Vessels, test house",
    "Varrowmoor workshop",
]
BORROWER = "Petrelle Regional"
LESSOR = "Ilmarsh Leasing"

# code, name, unit of the total, what it is counted on, what adds one to it
MEASURES = [
    ("FH", "flight hours", "minutes", "aircraft", ""),
    ("FC", "flight cycles", "count", "aircraft", ""),
    ("FILL", "fillings", "count", "unit", "filling"),
    ("INFL", "inflations", "count", "unit", "inflation"),
    ("USE", "hours of use", "minutes", "unit", ""),
]

# code, name, chapter
KINDS = [
    ("SLIDE", "Door slide", "25-66"),
    ("RAFT", "Slide-raft", "25-66"),
    ("OWSLIDE", "Overwing slide", "25-66"),
    ("BOTTLE", "Inflation bottle", "25-66"),
    ("CART", "Cartridge", "25-66"),
    ("SLIGHT", "Slide light unit", "33-50"),
    ("SKIT", "Survival kit", "25-65"),
    ("DOORCYL", "Door emergency cylinder", "52-10"),
    ("OXY", "Portable oxygen bottle", "35-30"),
    ("HOOD", "Protective breathing hood", "35-30"),
    ("EXT", "Portable extinguisher", "26-24"),
    ("VEST", "Life vest", "25-65"),
    ("ELT", "Locator beacon", "25-62"),
    ("ELTBAT", "Beacon battery", "25-62"),
    ("LPACK", "Emergency light battery pack", "33-51"),
    ("FPATH", "Floor-path strip", "33-51"),
    ("MEGA", "Megaphone", "25-64"),
    ("AID", "First-aid kit", "25-64"),
]

#: Code, name, whether the unit stays where it is while it is done.
# Which terms of a certificate's status block certify a work; any other is as its copyist reads it.
CERTIFIED_BY = {"OVERHAUL": "Overhauled", "HYDRO": "Overhauled, Inspected/Tested, Repaired"}
WORKS = [
    ("OVERHAUL", "Overhaul", False),
    ("HYDRO", "Hydrostatic test", False),
    ("RETIRE", "Retirement at life limit", False),
    ("EXCHANGE", "Replacement", False),
    ("BATTERY", "Battery replacement", False),
    ("WEIGH", "Weight check", True),
    ("SIXYEAR", "Six-year maintenance", False),
    ("RECHARGE", "Recharge", False),
    ("INSPECT", "Inspection", True),
    ("FUNCTION", "Function test", True),
    ("DEPLOY", "Deployment trial", False),
    ("VALVECHK", "Valve check by directive", False),
    ("MODIFY", "Modification", False),
]
