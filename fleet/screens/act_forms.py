"""The form of an act: it carries the act's id, its fields come from what is said to the act."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any
from uuid import UUID, uuid4

from django import forms

from fleet.acts import fields
from fleet.acts.act import filled
from fleet.acts.fields import Field, choices_of, fields_of
from fleet.acts.repeats import USED
from fleet.acts.same_again import SameAgain
from fleet.intake.dates import Stamp

from .fields import Day, Moment, Offered, Stamped, text

SEND_AGAIN = (
    "This form was sent before with other content. It has a new number now: if this is another act, send"
    " it again."
)


class ActForm(forms.Form):
    """Any form of one act: it carries the act's id, so that a double tap is one act."""

    act_id = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self._lost: set[str] = set()
        self._made: UUID | None = None
        self._another: UUID | None = None

    @property
    def act(self) -> UUID:
        """The id that was sent; one made here, once, where none was."""
        self._made = self._made or uuid4()
        return self.cleaned_data.get("act_id") or self._made

    def ask_for_another(self, again: SameAgain) -> None:
        """This will let the form, sent once more, say that another one is meant."""
        self._another = again.another

    @property
    def act_shown(self) -> str:
        """The id that the page carries: the one sent, or a new one."""
        sent = self.data.get("act_id") if "act_id" not in self._lost else None
        if self._another is not None:
            return str(self._another)
        return str(sent or self.initial.get("act_id") or uuid4())

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if "act_id" in self.errors:
            # It is hidden: its fault is told above the form, which carries a new one.
            del self.errors["act_id"]
            self._lost.add("act_id")
            self.add_error(None, "This form has lost its number. Nothing was kept: send it again.")
        return given

    def add_error(self, field: str | None, error: Any) -> None:
        """An id that was used for something else is told above the form too, which carries a new one."""
        if getattr(error, "code", None) != USED.code:
            super().add_error(field, error)
            return
        self._lost.add("act_id")
        super().add_error(None, [error, SEND_AGAIN])


class ProofForm(ActForm):
    """Who signs, by name and password, on whichever device."""

    username = forms.CharField(
        label="Username",
        max_length=150,
        error_messages={"required": "Enter the username of whoever signs."},
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "off", "spellcheck": "false"}
        ),
    )
    password = forms.CharField(
        label="Password",
        max_length=200,
        strip=False,
        error_messages={"required": "Enter the password again: it makes the signature."},
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )


class SaidForm(ActForm):
    """The form of what is said to an act, as its dataclass declares it: see :func:`form_of`."""

    said_type: type
    said_names: tuple[Field, ...] = ()

    @property
    def shown(self) -> list[forms.BoundField]:
        """The fields in the order in which the page lays them out."""
        return list(self.visible_fields())

    def said(self, **given: Any) -> Any:
        """What was said, with what the page's own address says. Only of a valid form."""
        values: dict[str, Any] = {
            "act_id": self.act
        }  # kept where what is said has an id of its own
        for each in self.said_names:
            if each.name in self.cleaned_data:
                values |= _kept(each, self.cleaned_data[each.name])
        return filled(self.said_type, values | given)


def _kept(field: Field, value: Any) -> dict[str, Any]:
    """A field's value as the dataclass has it."""
    said = field.said
    if said.sort == fields.STAMP:
        stamp: Stamp | None = value
        if stamp is None:
            return {field.attribute: None}
        return {field.attribute: stamp.on, said.precision: stamp.precision}
    if said.sort == fields.CODES:
        return {field.attribute: tuple(value)}
    if said.sort == fields.CODED:
        return {field.attribute: value.pk if value is not None else None}
    return {field.attribute: value}


def form_of(
    said: type,
    *,
    without: Iterable[str] = (),
    first: Iterable[str] = (),
    base: type[SaidForm] = SaidForm,
) -> type[SaidForm]:
    """The form of a dataclass that is said: shape only, what may be done is the act's to say.

    ``without`` names the fields that the page itself knows, ``first`` those that stand first. ``base``
    has the controls that the field does not tell: a part's, a quantity's, a choice of this page only.
    Parts and files without one there: TypeError.
    """
    left_out = set(without)
    named = {each.name: each for each in fields_of(said) if each.name not in left_out}
    in_order = [*first, *(name for name in named if name not in set(first))]
    own: Mapping[str, Any] = getattr(base, "base_fields", {})
    controls: dict[str, Any] = {name: _control(named[name]) for name in in_order if name not in own}
    more = {
        "said_type": said,
        "said_names": tuple(named.values()),
        "field_order": in_order,
        "__doc__": said.__doc__,
    }
    return type(f"{said.__name__}Form", (base,), {**controls, **more})


def _control(field: Field) -> forms.Field:
    make = _CONTROLS.get(field.said.sort)
    if make is None:
        raise TypeError(f"{field.attribute}: what is {field.said.sort} has a form of its own.")
    control = make(field)
    control.help_text = field.said.hint
    return control


def _is_needed(field: Field) -> bool:
    return bool(field.is_needed or field.said.needed)


def _missing(field: Field, otherwise: str) -> dict[str, str]:
    return {"required": field.said.needed or otherwise}


def _text(field: Field) -> forms.Field:
    said = field.said
    if said.offers is not None:
        return _OfferedNow(field)
    return text(
        said.label,
        said.most,
        is_needed=_is_needed(field),
        error_messages=_missing(field, "Fill this in."),
    )


class _OfferedNow(Offered):
    """A text with what is usual, asked for when the form is made."""

    def __init__(self, field: Field) -> None:
        super().__init__(field.said.label, field.said.most, (), field.name)
        self._ask = field.said.offers
        self.required = _is_needed(field)
        self.error_messages |= _missing(field, "Fill this in.")

    def __deepcopy__(self, memo: Any) -> Any:
        # A form copies its fields as it is made: the moment to ask.
        copied = super().__deepcopy__(memo)
        copied.offered = self._ask() if self._ask else ()
        return copied


def _number(field: Field) -> forms.Field:
    said = field.said
    return forms.IntegerField(
        label=said.label,
        required=_is_needed(field),
        min_value=said.least,
        max_value=said.most,
        error_messages=_missing(field, "Give a whole number."),
    )


def _yes_no(field: Field) -> forms.Field:
    return forms.BooleanField(label=field.said.label, required=False)


CHOOSE = "Choose"


def _choice(field: Field) -> forms.Field:
    may_be_blank = not field.is_needed and not field.default
    # What must be chosen is chosen by the person, never by standing first in the list.
    nothing = field.said.unchosen or ("–" if may_be_blank else CHOOSE if field.is_needed else "")

    def offered() -> list[tuple[str, str]]:
        found = choices_of(field.said)
        has_own = not nothing or "" in dict(found)
        return found if has_own else [("", nothing), *found]

    return forms.ChoiceField(
        label=field.said.label,
        required=not may_be_blank,
        choices=offered,
        error_messages=_missing(field, "Choose one."),
    )


def _codes(field: Field) -> forms.Field:
    return forms.MultipleChoiceField(
        label=field.said.label,
        required=False,
        choices=lambda: choices_of(field.said),
        widget=forms.CheckboxSelectMultiple,
    )


def _day(field: Field) -> forms.Field:
    messages = _missing(field, "Give the day.")
    return Day(label=field.said.label, required=_is_needed(field), error_messages=messages)


def _stamp(field: Field) -> forms.Field:
    return Stamped(field.said.label)


def _moment(field: Field) -> forms.Field:
    return Moment(label=field.said.label, required=_is_needed(field))


def _row(field: Field) -> forms.Field:
    """What is chosen on the page comes along by its id; whether there is one is the act's to say."""
    return forms.IntegerField(required=_is_needed(field), widget=forms.HiddenInput)


def _coded(field: Field) -> forms.Field:
    said = field.said
    assert said.model is not None
    return forms.ModelChoiceField(
        said.model._default_manager.order_by(said.column),
        label=said.label,
        required=_is_needed(field),
        empty_label=f"Choose the {said.what}",
        error_messages=_missing(field, f"Choose the {said.what}."),
    )


_CONTROLS: Mapping[str, Callable[[Field], forms.Field]] = {
    fields.TEXT: _text,
    fields.NUMBER: _number,
    fields.YES_NO: _yes_no,
    fields.CHOICE: _choice,
    fields.CODES: _codes,
    fields.DAY: _day,
    fields.STAMP: _stamp,
    fields.MOMENT: _moment,
    fields.ROW: _row,
    fields.CODED: _coded,
}


Groups = list[tuple[str, list[forms.BoundField]]]


def grouped(form: forms.Form, groups: Iterable[tuple[str, Iterable[str]]]) -> Groups:
    """The fields of a longer form under the headings that its page gives them."""
    return [(title, [form[name] for name in names]) for title, names in groups]
