"""A filter of the due list is declared once: every door has it, and both ways of reading keep the same."""

from __future__ import annotations

import copy
import dataclasses
from argparse import ArgumentParser
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.http import QueryDict
from django.utils import timezone

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.models import PartNumber, Unit
from fleet.acts import fields
from fleet.acts.fields import choices_of, field_named, fields_of, text
from fleet.doors.options import asked_by, options_of
from fleet.screens.filter_forms import options_now
from scheduling.bench.scratch import fill
from scheduling.due import shapes
from scheduling.due.lists import reckoned, stored
from scheduling.due.lists.filters import ORDER, DueFilters
from scheduling.due.lists.scope import Scope, meanings_of, scope_of
from scheduling.due.pages.forms import DueFilterForm
from scheduling.engine.basis.bands import Band
from scheduling.models import DueItem
from scheduling.reckoning.bulk import recompute_all
from tests import builders as build
from tests.conftest import acting_as_owner

DAY = date(2026, 11, 25)
SAID = [each.attribute for each in fields_of(DueFilters) if each.attribute not in ORDER]
FILTERS = [each.name for each in dataclasses.fields(DueFilters) if each.name not in ORDER]
CALLED = {"is_descending": "down"}

pytestmark = [pytest.mark.slow, pytest.mark.django_db]


@pytest.fixture(scope="module", autouse=True)
def fleet_of_today(one_stage):
    """Twenty-five aircraft with what they carry and what lies in the stores, reckoned as of ``DAY``."""
    with acting_as_owner():
        fill(500, DAY)
    recompute_all(as_of=DAY, now=timezone.now())
    for unit in Unit.objects.filter(aircraft__isnull=False).order_by("pk")[:3]:
        a_tag(unit)


def a_tag(unit):
    by = build.a_person("technician")
    tag, at = TagFact("unserviceable", "defect"), build.instant("2026-11-24 12:00")
    tag_unit(by=by, unit_id=unit.pk, tag=tag, tagged_at=at, act_id=uuid4(), at=at)


def some_parts():
    numbers = PartNumber.objects.order_by("number").values_list("number", flat=True)
    return [*numbers[:20], numbers[0].lower(), "NOBODY-HAS-IT"]


def some_items():
    keys = list(DueItem.objects.order_by("pk").values_list("pk", flat=True))
    return [tuple(keys[:1]), tuple(keys[::7])]


# What to try of a filter whose declaration does not tell it.
TRIED = {
    "part_number": some_parts,
    "grounds": lambda: [True],
    "unit_id": lambda: [7, 11, 10**6],
    "ids": some_items,
}


def tried(name):
    """Values of a filter, of which some keep items and some do not."""
    if name in TRIED:
        return TRIED[name]()
    said = field_named(DueFilters, name).said
    if said.sort == fields.DAY:
        return [DAY + timedelta(days=days) for days in (-400, 0, 90, 400, 4000)]
    return [code for code, _ in choices_of(said)][:20]


def kept(scope, source):
    return [item for items in source.everything(scope) for item in items]


@pytest.mark.parametrize("name", FILTERS)
def test_stored_and_reckoned_items_are_narrowed_alike(name):
    everything = kept(Scope(), stored)
    sizes = []
    for value in tried(name):
        scope = scope_of(DueFilters(**{name: value}))
        again = reckoned.listed(scope, DAY)

        of_stored, of_reckoned = kept(scope, stored), kept(scope, again)

        assert of_stored == of_reckoned, value
        assert stored.counts(scope) == again.counts(scope), value
        sizes.append(len(of_stored))

    assert any(0 < size < len(everything) for size in sizes), "No value of these narrows anything."


def test_all_filters_at_once_narrow_alike():
    item = (
        DueItem.objects.exclude(aircraft=None)
        .filter(band__lt=Band.QUIET, unit__isnull=False)
        .first()
    )
    asked = DueFilters(
        station=item.station.code,
        aircraft=item.aircraft.registration.lower(),
        kind=item.kind.code,
        work=item.work.code,
        part_number=item.part_number.number,
        until_on=item.sort_on,
        unit_id=item.unit_id,
        ids=(item.pk,),
    )

    scope = scope_of(asked)

    assert [each.id for each in kept(scope, stored)] == [item.pk]
    assert [each.id for each in kept(scope, reckoned.listed(scope, DAY))] == [item.pk]


def by_page(given):
    query = QueryDict(mutable=True)
    for name, value in given.items():
        query[CALLED.get(name, name)] = str(value)
    form = DueFilterForm(query, options_now(DueFilters))
    assert form.is_valid(), form.errors
    return form.filters()


def by_program(given):
    query = QueryDict(mutable=True)
    for name, value in given.items():
        query[name] = str(value).lower() if value is True else str(value)
    shape = shapes.DueAsked(data=query)
    assert shape.is_valid(), shape.errors
    return shapes.filters_of(shape.validated_data)


def by_command(given):
    parser = ArgumentParser()
    options_of(parser, DueFilters)
    words = []
    for name, value in given.items():
        words += ["--" + name.replace("_", "-"), *([] if value is True else [str(value)])]
    return asked_by(vars(parser.parse_args(words)), DueFilters)


DOORS = [by_page, by_program, by_command]


@pytest.mark.parametrize("door", DOORS)
@pytest.mark.parametrize("name", SAID)
def test_every_door_takes_every_filter(name, door):
    value = tried(name)[0]

    asked = door({name: value})

    assert asked == DueFilters(**{name: value})
    assert asked != DueFilters()


@pytest.mark.parametrize("door", DOORS)
def test_every_door_takes_the_order_and_is_without_filters_otherwise(door):
    assert door({}) == DueFilters()
    assert door({"sort": "due", "is_descending": True}) == DueFilters(
        sort="due", is_descending=True
    )


@pytest.mark.parametrize("door", DOORS)
def test_a_part_number_is_asked_for_however_it_is_typed(door):
    assert door({"part_number": "sk-44"}) == DueFilters(part_number="SK-44")


@dataclass(frozen=True)
class OneMore(DueFilters):
    colour: str = text("Colour", 20, default="")


def test_a_filter_without_a_meaning_is_refused_before_anything_is_read():
    with pytest.raises(TypeError, match="colour"):
        meanings_of(Scope, OneMore)


def test_a_filter_of_two_meanings_is_refused():
    twice = dataclasses.make_dataclass(
        "Twice",
        [("other_id", int, copy.copy(Scope.__dataclass_fields__["kind_id"]))],
        bases=(Scope,),
        frozen=True,
    )

    with pytest.raises(TypeError, match=r"'kind', 'kind'"):
        meanings_of(twice, DueFilters)
