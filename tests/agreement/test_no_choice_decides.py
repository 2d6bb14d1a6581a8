"""What must be chosen is chosen by the person: no list begins with an answer, and none is chosen beforehand
that was not safe to leave."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django import forms
from django.urls import get_resolver

from fleet.acts.fields import CHOICE, fields_of
from fleet.screens.act_forms import form_of
from fleet.screens.filter_forms import FilterForm

from .test_acts_declared import declared

pytestmark = pytest.mark.django_db

#: Chosen beforehand, and why it misleads nobody.
SAFE = {
    ("RemovalForm", "to"): "quarantine: from there nothing is fitted",
    ("RemovalForm", "tag"): "unserviceable: nothing is used by it",
    ("CardForm", "to"): "the same, from a card of paper",
    ("CardForm", "tag"): "the same, from a card of paper",
}


def forms_there_are(of: type[forms.BaseForm] = forms.BaseForm) -> Iterator[type[forms.BaseForm]]:
    """Every form that the program's pages have, by its class."""
    for each in of.__subclasses__():
        yield each
        yield from forms_there_are(each)


def decides(field: forms.Field) -> bool:
    """Whether a choice that must be made is made already where nobody touches it."""
    if not isinstance(field, forms.ChoiceField) or isinstance(field, forms.MultipleChoiceField):
        return False
    if not field.required:
        return False
    if field.initial not in (None, ""):
        return True
    offered = [value for value, _ in field.choices]
    is_list = isinstance(field.widget, forms.Select) and not isinstance(
        field.widget, forms.RadioSelect
    )
    return is_list and bool(offered) and str(getattr(offered[0], "value", offered[0])) != ""


def test_no_form_that_is_written_out_decides():
    assert get_resolver().url_patterns  # every page's module is there
    ours = [
        each
        for each in {*forms_there_are()}
        if each.__module__.split(".")[0] in {"fleet", "equipment", "scheduling"}
        and not issubclass(each, FilterForm)
    ]

    found = {
        (each.__name__, name)
        for each in ours
        for name, field in getattr(each, "base_fields", {}).items()
        if not isinstance(field, forms.ModelChoiceField) and decides(field)
    }

    assert len(ours) > 40
    assert found == set(SAFE)


def test_no_form_of_an_act_decides_what_the_act_wants_to_be_told():
    asked = {}
    for name, act in declared().items():
        for field in fields_of(act.said) if act.said is not None else ():
            if field.is_needed and field.said.sort == CHOICE:
                others = {each.name for each in fields_of(act.said)} - {field.name}
                form = form_of(act.said, without=others)
                asked[name, field.name] = decides(form().fields[field.name])

    assert len(asked) > 12
    assert {told for told, does in asked.items() if does} == set()
