"""Every act that people may do is declared beside its function, has a page and a door for programs, or stands
in a list here with its reason."""

from __future__ import annotations

import ast
import importlib
import importlib.util
import inspect
import pkgutil
import re
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from types import FunctionType, ModuleType
from typing import Any

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

from fleet.acts.act import Act
from fleet.acts.fields import fields_of
from fleet.house.desks import ACTS
from fleet.intake.registry import kinds
from fleet.offers.offer import Offer
from tests.api.document import api_document

APPS = ("fleet", "equipment", "scheduling")
SHEETS_ONLY = "plain facts that come by the hundred, by sheet"
JOB = "jobs and the command reckon anew; nobody asks for it by hand"
#: Rows of the table whose act no program does through a door of its own.
WITHOUT_DOOR = {
    "enter_part_data": SHEETS_ONLY,
    "enter_programme": SHEETS_ONLY,
    "enter_stores_data": SHEETS_ONLY,
    "manage_tokens": "a program does not make itself a key, nor take one away",
    "recompute": JOB,
}
OTHER_SYSTEMS = "it comes from the operator's other systems: by program, or by sheet"
PAPER_OFFICE = "the records office brings it with its papers: by program, or by sheet"
#: Rows of the table whose act no page asks for.
WITHOUT_PAGE = {
    "enter_stores_data": SHEETS_ONLY,
    "enter_tool": SHEETS_ONLY,
    "record_sighting": "a walk-round and a swap look; a single look comes by program, or by sheet",
    "correct_movement": PAPER_OFFICE,
    "merge_units": PAPER_OFFICE,
    "recompute": JOB,
}
#: Declared acts that only a page does.
PAGE_ONLY = {
    "make_token": "a program does not make itself a key",
    "note_inside": "programs enter the unit, and move it to where it is",
    "make_calendar_address": "a program reads the plan through its own door",
    "withdraw_calendar_address": "a program reads the plan through its own door",
    "ask_for_paper": "a program reads the rows of the list",
    "choose_mail": "what a person is told by mail is chosen by that person",
    "begin_step_list": "programs send whole lists of their own",
    "enter_chart_by_hand": "programs send charts with their points as numbers",
}
SIGNED = "a signature: name and password go with it and are never kept as said"
LINES = "lines within lines: a list is taken whole or not at all"
NOTHING_SAID = "nothing is said to it: its address is all"
#: Acts of programs' doors that are written out instead of being declared.
BY_HAND = {
    "sign_step": SIGNED,
    "inspect_step": SIGNED,
    "reinspect_step": SIGNED,
    "refuse_inspection": SIGNED,
    "release_swap": SIGNED,
    "release_check": SIGNED,
    "hand_over_swap": SIGNED,
    "correct_swap_unit": SIGNED,
    "inspect_incoming": SIGNED,
    "enter_step": "what a step asks is in its procedure",
    "transcribe_swap": "a card: as many steps as were done on paper",
    "record_installation": "one movement out of a swap, with what came off before it",
    "record_removal": "one movement out of a swap, with the state that it came off in",
    "record_movements": LINES,
    "enter_lines": LINES,
    "enter_rule_set": LINES,
    "enter_step_list": LINES,
    "enter_chart": LINES,
    "settle_as_unknown_unit": "it enters a unit and a movement besides",
    "settle_as_unrecorded_swap": "it records movements besides",
    "bring_load": "files by the dozen, read by a job",
    "decide_load": "one word, whose meaning is the state of the load",
    "read_notice": NOTHING_SAID,
    "issue_unit": NOTHING_SAID,
    "free_reservation": NOTHING_SAID,
}
IN_ADDRESS = re.compile(r"<[^>]*>|\{[^}]*\}")


# --- what there is ----------------------------------------------------------------------------


@cache
def modules_of_acts() -> tuple[ModuleType, ...]:
    """Every module of a room's acts, and those of the keeping of units, which is a room of acts."""
    found = []
    for app in APPS:
        package = importlib.import_module(app)
        for each in pkgutil.walk_packages(package.__path__, f"{app}."):
            parts = each.name.split(".")
            is_of_acts = "acts" in parts[2:] or each.name.startswith("equipment.keeping.")
            if is_of_acts and not {"migrations", "models"} & set(parts):
                found.append(importlib.import_module(each.name))
    return tuple(found)


def acts_in(module: ModuleType) -> Iterator[Act]:
    """The acts that a module declares, by name or in a table of them."""
    for value in list(vars(module).values()):
        if isinstance(value, Act):
            yield value
        elif isinstance(value, Mapping):
            yield from (each for each in value.values() if isinstance(each, Act))


@cache
def declared() -> dict[str, Act]:
    """Every act that is declared, by its name; KeyError of a name that two acts have."""
    found: dict[str, Act] = {}
    for module in modules_of_acts():
        for act in acts_in(module):
            if found.setdefault(act.name, act) is not act:
                raise KeyError(act.name)
    return found


@cache
def lists_of_rooms() -> dict[str, tuple[Offer, ...]]:
    """By room, its list of the acts that it offers: what its module ``declared`` has."""
    found = {}
    for app in APPS:
        package = importlib.import_module(app)
        for each in pkgutil.walk_packages(package.__path__, f"{app}."):
            room, _, name = each.name.rpartition(".")
            if name == "declared":
                found[room] = importlib.import_module(each.name).OFFERS
    return found


@cache
def offered() -> tuple[Offer, ...]:
    """All that the apps make addresses and sheets of: what their modules ``offers`` gather."""
    found: list[Offer] = []
    for app in APPS:
        if importlib.util.find_spec(f"{app}.offers") and app != "fleet":
            found += importlib.import_module(f"{app}.offers").OFFERS
    return tuple(found)


@cache
def operations() -> dict[str, tuple[str, str]]:
    """The API's operations that do something: each with its address and its row of the table."""
    schema = api_document()
    return {
        operation["operationId"]: (address, operation["x-act"])
        for address, methods in schema["paths"].items()
        for operation in methods.values()
        if "x-act" in operation
    }


def page_views(resolver: URLResolver, at: str = "") -> Iterator[Any]:
    """The functions behind the addresses that are pages."""
    for each in resolver.url_patterns:
        address = at + str(each.pattern)
        if isinstance(each, URLResolver):
            yield from page_views(each, address)
        elif isinstance(each, URLPattern) and not address.startswith("api/v1/"):
            yield each.callback


@cache
def modules_of_pages() -> tuple[ModuleType, ...]:
    """The modules of views, and those beside them in a package of pages: their forms and parts."""
    names = {view.__module__ for view in page_views(get_resolver())}
    rooms = {name.rpartition(".")[0] for name in names if name.rpartition(".")[0].endswith("pages")}
    wanted = {name for name in sys.modules if name in names or name.rpartition(".")[0] in rooms}
    return tuple(sys.modules[name] for name in sorted(wanted) if name.split(".")[0] in APPS)


@cache
def rows_asked_in(module: ModuleType) -> dict[str, frozenset[str]]:
    """By function of a module of acts: the rows that it asks for, itself or by others of the module.

    Where the row is not written out at the asking, it is any that the module names.
    """
    tree = ast.parse(inspect.getsource(module))
    bodies = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    constants = (node.value for node in ast.walk(tree) if isinstance(node, ast.Constant))
    named = {value for value in constants if isinstance(value, str) and value in ACTS}

    def asked(name: str, seen: frozenset[str]) -> set[str]:
        found: set[str] = set()
        for node in ast.walk(bodies[name]):
            if isinstance(node, ast.Call) and ast.unparse(node.func).rpartition(".")[2] == "ask":
                row = node.args[1]
                found |= {row.value} if isinstance(row, ast.Constant) else named
            if isinstance(node, ast.Name) and node.id in bodies and node.id not in seen:
                found |= asked(node.id, seen | {node.id})
        return found

    return {name: frozenset(asked(name, frozenset({name}))) for name in bodies}


def rows_of(value: Any) -> set[str]:
    """The rows of the table that an act, or the function of one, is done under."""
    if isinstance(value, Act):
        return {value.row}
    if isinstance(value, Mapping):
        return {each.row for each in value.values() if isinstance(each, Act)}
    if isinstance(value, FunctionType) and (of := sys.modules[value.__module__]):
        return set(rows_asked_in(of).get(value.__name__, ())) if of in modules_of_acts() else set()
    return set()


def used_in(module: ModuleType) -> Iterator[Any]:
    """What a module has by name, or takes out of a module of acts that it has by name."""
    yield from list(vars(module).values())
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            of = vars(module).get(node.value.id)
            if of in modules_of_acts():
                yield getattr(of, node.attr)


@cache
def rows_with_pages() -> frozenset[str]:
    """The rows of every act that a module of pages brings in."""
    used = (value for module in modules_of_pages() for value in used_in(module))
    by_hand = {row for value in used for row in rows_of(value)}
    return frozenset(by_hand | {each.act.row for each in offered() if each.page is not None})


# --- what holds -------------------------------------------------------------------------------


def test_acts_are_found():
    assert {"hold_units", "record_reading", "accept_pairing"} <= set(declared())
    assert rows_asked_in(sys.modules["scheduling.allocation.acts.decide"])["accept_pairing"] == {
        "reserve_unit"
    }


def test_what_a_room_lists_is_offered():
    rooms = lists_of_rooms()

    assert {"equipment.availability", "equipment.stores"} <= set(rooms)
    assert {id(each) for room in rooms.values() for each in room} == set(map(id, offered()))


def test_an_act_of_a_room_that_keeps_a_list_stands_on_it():
    rooms = lists_of_rooms()
    missing = [
        act.name
        for module in modules_of_acts()
        for act in acts_in(module)
        if (room := module.__name__.partition(".acts")[0]) in rooms
        and act.name not in PAGE_ONLY
        and act not in [each.act for each in rooms[room]]
    ]

    assert not missing, "list it in the room's module declared"


def test_every_way_is_offered_once():
    # A page that tells what an act would change is beside the one that does it.
    ways = [
        (each.act.name, "what if" if way == "page" and each.page.foresee else way)
        for each in offered()
        for way in ("api", "page", "sheet")
        if getattr(each, way) is not None
    ]

    assert not {way for way in ways if ways.count(way) > 1}


@pytest.mark.parametrize("name", sorted(declared()))
def test_what_an_act_says_on_sheets_is_on_one(name):
    act = declared()[name]
    headed = {each.said.heading.name for each in fields_of(act.said) if each.said.heading}

    is_listed = act in [each.act for each in offered()]
    its_kinds = [kind for kind in kinds() if kind.act == act.row or not is_listed]
    of_kinds = [{column.name for column in kind.columns} for kind in its_kinds]
    assert not headed or any(headed <= names for names in of_kinds), headed


def test_every_act_that_is_declared_has_its_row_in_the_table_of_who_may():
    assert not {act.name: act.row for act in declared().values() if act.row not in ACTS}


@pytest.mark.parametrize("name", sorted(declared()))
def test_an_act_that_is_declared_has_its_door_under_its_own_name(name):
    act = declared()[name]

    found = operations().get(name)

    if found is None:
        assert name in PAGE_ONLY and not act.address
    else:
        address, row = found
        assert row == act.row
        assert IN_ADDRESS.sub("", address) == IN_ADDRESS.sub("", f"/api/v1/{act.address}")


def test_every_door_s_act_is_declared_or_written_out_for_a_reason():
    names = set(operations())

    assert not names - set(declared()) - set(BY_HAND), "declare it, or say why not"
    assert not set(BY_HAND) & set(declared()), "these are declared now: take them off the list"
    assert not set(BY_HAND) - names, "there is no such door"


def test_every_act_has_a_door_or_a_reason():
    with_door = {row for _, row in operations().values()}

    assert set(ACTS) - with_door == set(WITHOUT_DOOR)


def test_every_act_has_a_page_or_a_reason():
    assert set(ACTS) - rows_with_pages() == set(WITHOUT_PAGE)
