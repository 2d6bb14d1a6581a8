"""The line's own data: step lists, rules of signing, charts, tools, authorisations."""

from __future__ import annotations

from datetime import date, timedelta

from .operator import REFERENCE
from .step_lists import STEP_LISTS
from .step_lists.steps import S, StepListOf

Row = dict[str, object]

YES = "yes"


def _ago(days: int) -> date:
    return REFERENCE - timedelta(days=days)


def _ahead(days: int) -> date:
    return REFERENCE + timedelta(days=days)


def rule_sets() -> list[Row]:
    return [
        {
            "Code": "VAR-145-SIGN",
            "Revision": "3",
            "Document": "VAR-MOE-2.23",
            "From": _ago(400),
            "Reinspection": YES,
            "Same mistake warning": YES,
            "Step statement": "I have done this step as the data of this record require.",
            "Inspection statement": "I have inspected this step independently of whoever did it: it is"
            " complete and I found no deficiency.",
            "Reinspection statement": "I have inspected my own work again, in circumstances that could not"
            " be foreseen, for the reason given.",
            "Release statement": "I certify that the work of this record, except as otherwise noted, was"
            " carried out as the data named require, that every required inspection was done by an"
            " authorised person, and that in respect of this work the equipment is ready for release.",
        }
    ]


def step_lists() -> list[Row]:
    return [
        {
            "List": each.code,
            "Revision": each.revision,
            "Title": each.title,
            "Kind": each.kind,
            "Maker": each.maker,
            "Part number": each.part,
            "Document": each.document,
            "Document revision": each.document_revision,
            "From": _ago(each.from_months_ago * 30),
            "For work": each.work,
        }
        for each in STEP_LISTS
    ]


def steps() -> list[Row]:
    return [row for each in STEP_LISTS for row in _steps_of(each)]


def _steps_of(each: StepListOf) -> list[Row]:
    numbers = {step.key: number for number, step in enumerate(each.steps, 1) if step.key}
    return [_step(each, number, step, numbers) for number, step in enumerate(each.steps, 1)]


def _step(each: StepListOf, number: int, step: S, numbers: dict[str, int]) -> Row:
    return {
        "List": each.code,
        "Revision": each.revision,
        "Step": number,
        "Phase": step.phase,
        "Kind of step": step.sort,
        "Words": step.words,
        "Caution": step.caution,
        "Needed": "" if step.needed else "no",
        "Inspected": YES if step.inspected else "",
        "Records": step.posts,
        "Returns step": numbers[step.returns] if step.returns else "",
        "Covers steps": ", ".join(str(numbers[key]) for key in step.covers),
        "Earns": step.earns,
        "Low": step.low,
        "High": step.high,
        "Unit": step.unit,
        "Less than": YES if step.strict else "",
        "Drag added": YES if step.drag else "",
        "Loss (%)": step.loss,
        "Counted": step.items,
        "Tool needed": YES if step.tool or step.sort in {"torque", "resistance"} else "",
    }


# (temperature °F, least, most psig): the maker's chart of an invented bottle.
NITROGEN_3000 = [
    (-40, 2000, 2200),
    (0, 2330, 2530),
    (32, 2590, 2790),
    (70, 2900, 3100),
    (100, 3140, 3340),
    (140, 3460, 3660),
]
OXYGEN_1850 = [
    (-40, 1260, 1380),
    (0, 1450, 1580),
    (32, 1600, 1730),
    (70, 1780, 1920),
    (100, 1920, 2060),
    (140, 2110, 2250),
]
CHARTS = [
    ("QTWV", "TWV-720", "nitrogen", 3000, "TWV-CMM-720", "8", NITROGEN_3000),
    ("QTWV", "TWV-755", "nitrogen", 3000, "TWV-CMM-755", "3", NITROGEN_3000),
    ("QTWV", "TWV-760", "nitrogen", 3000, "TWV-CMM-760", "2", NITROGEN_3000),
    ("QTWV", "TWV-512", "nitrogen", 3000, "TWV-CMM-512", "4", NITROGEN_3000),
    ("QMWB", "MWB-O310", "oxygen", 1850, "MWB-CMM-310", "5", OXYGEN_1850),
    ("QMWB", "MWB-O312", "oxygen", 1850, "MWB-CMM-312", "5", OXYGEN_1850),
]


def charts() -> list[Row]:
    return [
        {
            "Maker": maker,
            "Part number": part,
            "Revision": revision,
            "Gas": gas,
            "Pressure unit": "psi",
            "Temperature unit": "°F",
            "Charge": charge,
            "Charge at": 70,
            "Temperature": temperature,
            "Least": least,
            "Most": most,
            "Document": document,
            "From": _ago(700),
        }
        for maker, part, gas, charge, document, revision, points in CHARTS
        for temperature, least, most in points
    ]


# code, sort, description, serial, station, length in mm, last calibrated days ago, good for days
TOOLS = [
    ("VT-1041", "wrench", "Torque wrench, 10 to 100 in-lb", "88213", "QVMR", 230, 120, 365),
    ("VT-1042", "wrench", "Torque wrench, 50 to 250 in-lb", "88377", "QVMR", 305, 200, 365),
    ("VT-1043", "wrench", "Torque wrench, 100 to 600 in-lb", "90118", "QTLH", 380, 40, 365),
    ("VT-1051", "wrench", "Torque wrench, 50 to 250 in-lb", "90377", "QESP", 305, 372, 365),
    ("VT-2007", "ohmmeter", "Bonding meter, four-wire", "M-5512", "QVMR", None, 80, 365),
    ("VT-2008", "ohmmeter", "Bonding meter, four-wire", "M-5519", "QTLH", None, 300, 365),
    ("VT-3003", "gauge", "Pressure gauge, 0 to 5,000 psi", "G-0733", "QVMR", None, 60, 180),
    ("VT-4001", "thermometer", "Contact thermometer", "T-1108", "QVMR", None, 60, 365),
    ("VT-4002", "thermometer", "Contact thermometer", "T-1109", "QTLH", None, 150, 365),
    ("VT-5001", "scale", "Platform scale, 150 kg", "S-4410", "QVMR", None, 30, 365),
]


MEASURES = {
    "VT-1041": "10 to 100 in-lb",
    "VT-1042": "50 to 250 in-lb",
    "VT-1043": "100 to 600 in-lb",
    "VT-1051": "50 to 250 in-lb",
    "VT-2007": "0 to 200 mΩ",
    "VT-2008": "0 to 200 mΩ",
    "VT-3003": "0 to 5000 psi",
    "VT-5001": "0 to 150 kg",
}


def tools() -> list[Row]:
    return [
        {
            "Tool": code,
            "Kind of tool": sort,
            "Description": description,
            "Serial number": serial,
            "Station": station,
            "Measures": MEASURES.get(code, ""),
            "Calibrated at least yearly": YES if sort == "wrench" else "",
            "Length (mm)": "" if length is None else length,
        }
        for code, sort, description, serial, station, length, _, _ in TOOLS
    ]


def calibrations() -> list[Row]:
    return [
        {
            "Tool": code,
            "What": "calibrated",
            "Done on": _ago(ago),
            "Good until": _ahead(good - ago),
            "Certificate": f"QCAL-{code[3:]}-{_ago(ago):%y%m}",
        }
        for code, *_, ago, good in TOOLS
    ]


# person, number, sort, title, acts, aircraft types, stamp, from days ago, until days ahead
AUTHORISATIONS = [
    (
        "technician",
        "VAR-A-207",
        "approval",
        "Aircraft mechanic",
        "sign_step",
        "",
        "VAR 207",
        500,
        560,
    ),
    (
        "nightshift",
        "VAR-A-219",
        "approval",
        "Aircraft mechanic",
        "sign_step",
        "",
        "VAR 219",
        300,
        420,
    ),
    (
        "inspector",
        "VAR-A-031",
        "approval",
        "Inspector",
        "sign_step, inspect",
        "",
        "VAR 031",
        700,
        300,
    ),
    (
        "certifying",
        "QAA-66-4418",
        "licence",
        "Licensed engineer",
        "sign_step, inspect, release",
        "HL-210, HL-440",
        "VAR 118",
        900,
        800,
    ),
]


def authorisations() -> list[Row]:
    return [
        {
            "Person": person,
            "Number": number,
            "Kind": sort,
            "Title": title,
            "Acts": acts,
            "Aircraft types": types,
            "Kinds of equipment": "",
            "Stamp": stamp,
            "From": _ago(ago),
            "Until": _ahead(ahead),
        }
        for person, number, sort, title, acts, types, stamp, ago, ahead in AUTHORISATIONS
    ]
