"""What the rules make a record contain, R1 to R37, and where this program keeps each of it.

The sources are 14 CFR parts 43, 45, 91 and 121 (2015 edition), parts M and 145 with their acceptable
means of compliance (2021 consolidation), and 49 CFR 180.215, as named at each row. A row names
fields of tables (``equipment.Signature.name``), pages (``page:equipment:unit``), or says why the
requirement lies outside this program. The test fails when a field or a page is no longer there, so
that no row is kept by a promise. A row that is ``DONE`` has tests of its own in
``test_record_duties.py``, which do the duty and read its result back; one without fails here.
"""

from __future__ import annotations

import re

import pytest
from django.apps import apps
from django.urls import NoReverseMatch, get_resolver

from tests.published import test_record_duties

OUTSIDE = "outside: "
#: The duty is done by acts and pages, and its result read back, in the module beside.
DONE = "done: test_record_duties"
CHECKLIST: dict[str, tuple[str, ...]] = {
    # 43.9(a)(1); 91.417(a)(1)(i); 121.369(c)(1): description of, or reference to data for, the work
    "R1": (
        "equipment.Swap.step_list",
        "equipment.StepList.document",
        "equipment.StepList.document_revision",
        "equipment.Step.words",
        "equipment.Signature.data_revision",
    ),
    # 43.9(a)(2); 91.417(a)(1)(ii): date of completion
    "R2": ("equipment.SwapEnd.at", "equipment.Signature.signed_at", "scheduling.WorkDone.done_on"),
    # 43.9(a)(3); 121.369(c)(2): the person performing, if other than who approves
    "R3": (DONE,),
    # 43.9(a)(4): signature, certificate number and kind of certificate, only for the work performed
    "R4": (
        "equipment.Signature.statement",
        "equipment.Signature.authorisation",
        "equipment.Signature.authorisation_words",
        "fleet.Authorisation.number",
        "fleet.Authorisation.sort",
    ),
    # 43.11(a)(1)-(7), (b): inspections: type, extent, date, aircraft total time, statement, discrepancies
    "R5": (DONE,),
    # 121.709(b), (d): all required inspections done by an authorised person; the copy is kept
    "R6": (
        "equipment.Step.is_inspected",
        "equipment.SwapEnd.signature",
        "equipment.RuleSet.release_statement",
    ),
    # 91.417(a)(2)(ii); 121.380(a)(2)(iii): current status of life-limited parts
    "R7": ("scheduling.DueItem.left_cycles", "scheduling.DueItem.due_on", "page:equipment:unit"),
    # 91.417(a)(2)(iii); 121.380(a)(2)(iv): time since last overhaul
    "R8": (DONE,),
    # 121.380(a)(2)(v): current inspection status
    "R9": ("scheduling.DueItem.start_on", "scheduling.DueItem.due_on", "page:scheduling:due_list"),
    # 91.417(a)(2)(v); 121.380(a)(2)(vi): directives: method, date, recurring next time or date
    "R10": (DONE,),
    # 121.380(c); 91.417(b): retention
    "R11": (
        "ledger:equipment_signature",
        "ledger:equipment_movement",
        "ledger:scheduling_workdone",
    ),
    # 121.380a: transfer on sale in a form that keeps the information retrievable
    "R12": (DONE,),
    # 43.10(c): life-limited part taken off: part, serial, life status; updated each time
    "R13": (DONE,),
    # 43.10(b): when no disposition is needed: decided at the release, tested with the swaps
    "R14": ("equipment.SwapEnd.dispositions",),
    # 43.10(d): the record goes with the part
    "R15": ("equipment.UnitTag.words", "equipment.LifeStatement.total"),
    # 45.16; 45.15(c): marking by the design holder
    "R16": (
        OUTSIDE + "marking is the maker's; the program keeps the serial number it leads to",
        "equipment.Unit.serial_number",
    ),
    # 121.369(b)(2)-(9): required inspections: list, authorised by title, calibrated tools, shift change
    "R17": (DONE,),
    # 121.371(c), (d): nobody inspects what he performed; current list of authorised persons
    "R18": (DONE,),
    # 8900.1 vol 3 ch 43: which items are required inspections
    "R19": ("equipment.Step.is_inspected", "equipment.Step.document"),
    # M.A.305(a): entered as soon as practicable, no later than 30 days
    "R20": (DONE,),
    # M.A.305(b): date of entry, total in-service life
    "R21": (
        "equipment.Movement.aircraft_minutes",
        "equipment.Movement.aircraft_cycles",
        "equipment.Movement.log_page",
    ),
    # GM M.A.305(d): life limitation, total accumulated, remaining
    "R22": (DONE,),
    # GM M.A.305(d)(2): batteries of slides, cartridges, functional checks as time-controlled
    "R23": ("scheduling.Limit.code", "equipment.PartPosition.kind"),
    # AMC M.A.305(c)3: task identifier and title, component, date done and next due, total at the time
    "R24": (
        "scheduling.Limit.code",
        "scheduling.Limit.title",
        "scheduling.WorkDone.done_on",
        "scheduling.WorkDone.total_cycles",
        "scheduling.DueItem.due_on",
    ),
    # M.A.305(e)(3): in-service history record of a life-limited part
    "R25": (
        "equipment.Movement.happened_at",
        "equipment.FittedPeriod.from_minutes",
        "page:equipment:unit",
    ),
    # AMC M.A.305: digitised records: safeguards against alteration, authenticity of the date
    "R26": (DONE,),
    # the same: lost records: reconstruction and a statement
    "R27": (DONE,),
    # 145.A.48(a): verification that the product is clear of tools and panels are refitted
    "R28": ("equipment.Step.returns", "equipment.Step.phase"),
    # 145.A.48(b), (c); AMC M.A.402(g): error-capturing method; the same mistake twice
    "R29": ("equipment.Step.is_inspected", "equipment.RuleSet.warns_same_mistake"),
    # AMC4 145.A.48(b)(d): reinspection by the same person only in unforeseen circumstances, recorded before the release
    "R30": ("equipment.RuleSet.may_reinspect", "equipment.Signature.reason"),
    # AMC4 145.A.48(b)(a) [from memory]: both identities on the card before the sign-off
    "R31": (DONE,),
    # GM 145.A.48; AMC 145.A.48(c): sign-off of a step is not the release; only after completion
    "R32": ("equipment.Signature.sort", "equipment.Signature.entry"),
    # AMC1 145.A.45(e): cards separate stages, test and error capturing; where work can be interrupted
    "R33": ("equipment.Step.phase", "equipment.Signature.sort"),
    # AMC1 145.A.42(a)(ii): unserviceable tag
    "R34": (DONE,),
    # M.A.504: unserviceable and unsalvageable apart
    "R35": ("equipment.Place.sort", "equipment.UnitTag.sort"),
    # 145.A.55(c) [from memory]: kept three years: nothing is ever purged
    "R36": ("ledger:equipment_swap", "ledger:equipment_stepentry"),
    # 49 CFR 180.215(b)(2): cylinder record: the tester's sheet is attached to its certificate
    "R37": (
        "scheduling.WorkDone.certificate",
        "scheduling.WorkDone.result",
        "equipment.Attachment.certificate",
        OUTSIDE + "expansions and test pressure stand on the tester's own report",
    ),
}


def test_the_list_is_whole():
    assert list(CHECKLIST) == [f"R{number}" for number in range(1, 38)]


def is_done(row: str) -> bool:
    """Whether a test does the duty of this row: its name begins with it."""
    return any(re.match(rf"test_(r\d+_)*{row.lower()}_", name) for name in vars(test_record_duties))


def is_there(place: str) -> bool:
    if place.startswith(OUTSIDE):
        return len(place) > len(OUTSIDE) + 20
    if place.startswith("ledger:"):
        tables = {t for app in apps.get_app_configs() for t in getattr(app, "ledger_tables", ())}
        return place.removeprefix("ledger:") in tables
    if place.startswith("page:"):
        return _has_page(place.removeprefix("page:"))
    app, model, field = place.split(".")
    return any(f.name == field for f in apps.get_model(app, model)._meta.get_fields())


def _has_page(name: str) -> bool:
    try:
        resolver = get_resolver()
        *spaces, last = name.split(":")
        for space in spaces:
            resolver = resolver.namespace_dict[space][1]
    except (KeyError, NoReverseMatch):
        return False
    return bool(resolver.reverse_dict.getlist(last))


@pytest.mark.parametrize("row", CHECKLIST)
def test_each_requirement_has_its_place(row):
    missing = [
        place
        for place in CHECKLIST[row]
        if not (is_done(row) if place == DONE else is_there(place))
    ]

    assert CHECKLIST[row]
    assert not missing


def test_a_place_that_is_gone_is_noticed():
    gone = ("equipment.Signature.seal", "page:equipment:nowhere", "ledger:equipment_note", OUTSIDE)

    assert not any(is_there(place) for place in gone)
    assert not is_done("R99")
