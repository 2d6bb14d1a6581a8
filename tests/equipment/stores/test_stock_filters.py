"""A filter of the stock list is declared once: the page and the API take it, and the list obeys it."""

from __future__ import annotations

import pytest
from django.http import QueryDict

from equipment.stores.doors.requests import StockAskedFor
from equipment.stores.pages.act_forms import StockForm
from equipment.stores.reads import stock
from equipment.stores.reads.stock import StockAsked
from fleet.acts.act import filled
from fleet.acts.fields import fields_of
from fleet.screens.filter_forms import Options

OPTIONS = Options(station=[("LYD", "LYD")], kind=[("slide", "Slide")])
ASKED = {"station": "LYD", "kind": "slide", "part_number": "SK-44", "bin": "B 2", "state": "held"}


def by_page(query: str) -> StockAsked:
    form = StockForm(QueryDict(query), OPTIONS)
    assert form.is_valid(), form.errors
    return form.asked()


def by_program(query: str) -> StockAsked:
    shape = StockAskedFor(data=QueryDict(query))
    assert shape.is_valid(), shape.errors
    return filled(StockAsked, shape.validated_data)


@pytest.mark.parametrize("door", [by_page, by_program])
@pytest.mark.parametrize("each", fields_of(StockAsked), ids=lambda each: each.name)
def test_both_doors_take_every_filter(each, door):
    asked = door(f"{each.name}={ASKED[each.name]}")

    assert asked == StockAsked(**{each.attribute: ASKED[each.name]})


@pytest.mark.parametrize("door", [by_page, by_program])
def test_what_is_blank_does_not_matter(door):
    assert door("station=&kind=&part_number=&bin=&state=") == door("") == StockAsked()


def test_every_filter_has_its_meaning():
    declared = {each.attribute for each in fields_of(StockAsked)}

    assert declared == {*stock.MEANS, "state"}
