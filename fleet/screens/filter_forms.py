"""The form of a list's filters, made from what may be asked of the list: shape only.

What a filter means is the list's to say. A form is built over the query, so that a link reproduces
the view.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from html import escape
from typing import Any, TypeVar, cast

from django import forms
from django.forms.utils import flatatt
from django.utils.html import format_html
from django.utils.safestring import SafeString

from fleet.acts import fields
from fleet.acts.act import filled
from fleet.acts.fields import Field, choices_of, fields_of
from fleet.intake.problems import shown

from .fields import Day, text

Choices = list[tuple[str, str]]


class Options(dict[str, Choices]):
    """What there is to choose from, by the name of the filter."""


SELECTED = " selected"


class Choice(forms.Select):
    """A list to choose from, written in one go: with a template for each option, those of 500
    aircraft take longer than all the rest of the page."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        chosen = "" if value is None else str(value)
        options = SafeString(
            "\n".join(
                f'<option value="{escape(str(code))}"{SELECTED if str(code) == chosen else ""}>'
                f"{escape(str(words))}</option>"
                for code, words in self.choices
            )
        )
        held = self.build_attrs(self.attrs, {**(attrs or {}), "name": name})
        return format_html("<select{}>{}</select>", flatatt(held), options)


def chosen(label: str, what: str, choices: Choices | None = None) -> forms.ChoiceField:
    """One of a list, or every one."""
    wrong = f"There is no {what} %(value)s. Choose one from the list."
    return forms.ChoiceField(
        label=label,
        required=False,
        widget=Choice,
        choices=[("", f"Every {what}"), *(each for each in choices or [] if each[0])],
        error_messages={"invalid_choice": wrong},
    )


def options_now(asked: type) -> Options:
    """What there is to choose from now: one question for each filter whose choices are on record."""
    return Options(
        {
            each.name: choices_of(each.said)
            for each in fields_of(asked)
            if callable(each.said.choices)
        }
    )


class FilterForm(forms.Form):
    """The filters of one list, as its dataclass declares them: see :func:`filters_by`."""

    asked_type: type
    #: What else a query of the page may say, besides its filters: how it is shown.
    also: frozenset[str] = frozenset()

    def clean(self) -> dict[str, Any]:
        """A filter that there is not is refused in words: ignored, a link would show more than it says."""
        unknown = sorted(self.data.keys() - self.fields.keys() - self.also - _CARRIED)
        if unknown:
            names = ", ".join(f"“{shown(name)}”" for name in unknown[:5])
            there = ", ".join(sorted(name for name in self.fields if name not in self.also))
            raise forms.ValidationError(f"There is no filter {names}. There are: {there}.")
        return super().clean() or self.cleaned_data

    def __init__(self, data: Any, options: Options) -> None:
        super().__init__(data)
        for name, choices in options.items():
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            every = cast(Choices, field.choices)
            field.choices = [*every, *choices]

    def asked(self, **given: Any) -> Any:
        """What was asked, with what else the page knows; what is blank is as if it were not there.
        Only of a valid form."""
        values: dict[str, Any] = {}
        for each in fields_of(self.asked_type):
            value = self.cleaned_data.get(each.name)
            if value not in (None, ""):
                values[each.name] = value
        return filled(self.asked_type, values | given)


#: What any form carries that is no filter.
_CARRIED = frozenset({"csrfmiddlewaretoken"})
F = TypeVar("F", bound=FilterForm)


def filters_by(
    asked: type, *, hidden: Collection[str] = (), without: Collection[str] = ()
) -> Callable[[type[F]], type[F]]:
    """Gives a form the filters that the dataclass declares, before its own fields.

    ``hidden`` names those that the page sets by links, ``without`` those under a name of its own.
    What is no filter of a list (a file, a part) is a TypeError.
    """

    def given(form: type[F]) -> type[F]:
        held = {
            each.name: _control(each, each.name in hidden)
            for each in fields_of(asked)
            if each.name not in without
        }
        every = {**held, **form.base_fields}
        form.asked_type = asked
        # Hidden ones last, as the page and the query have them.
        form.base_fields = dict(sorted(every.items(), key=lambda item: item[1].widget.is_hidden))
        return form

    return given


def _control(field: Field, is_hidden: bool) -> forms.Field:
    make = _CONTROLS.get(field.said.sort)
    if make is None:
        raise TypeError(f"{field.attribute}: no list is narrowed by what is {field.said.sort}.")
    control = make(field)
    control.help_text = field.said.hint
    if is_hidden:
        control.widget = forms.HiddenInput()
    return control


def _text(field: Field) -> forms.Field:
    said = field.said
    return chosen(said.label, said.what) if said.choices else text(said.label, said.most)


def _choice(field: Field) -> forms.Field:
    said = field.said
    now = () if callable(said.choices) else said.choices
    return chosen(said.label, said.what or said.label.lower(), list(now))


def _day(field: Field) -> forms.Field:
    return Day(label=field.said.label, required=False)


def _number(field: Field) -> forms.Field:
    said = field.said
    return forms.IntegerField(
        label=said.label, required=False, min_value=said.least, max_value=said.most
    )


def _yes_no(field: Field) -> forms.Field:
    return forms.BooleanField(label=field.said.label, required=False)


_CONTROLS: Mapping[str, Callable[[Field], forms.Field]] = {
    fields.TEXT: _text,
    fields.CHOICE: _choice,
    fields.DAY: _day,
    fields.NUMBER: _number,
    fields.YES_NO: _yes_no,
}
