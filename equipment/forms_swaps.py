"""The forms of a swap besides its steps: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

from django import forms
from django.core.exceptions import ValidationError

from equipment.ledger.facts import PlaceAt, When
from equipment.models import UnitTag
from fleet.actions.repeats import USED
from fleet.intake.numbers import count_of, minutes_of
from fleet.intake.problems import CellProblem
from fleet.models import Station
from fleet.pages import EARLIEST, LATEST

REASONS = 200
# Where a unit goes that came off.
STORE, QUARANTINE, SHOP, SCRAP = "store", "quarantine", "shop", "gone"
DESTINATIONS = (
    (QUARANTINE, "Quarantine of the station"),
    (STORE, "Store of the station"),
    (SHOP, "A shop"),
    (SCRAP, "Scrapped"),
)
SEND_AGAIN = (
    "This form was sent before with other content. It has a new number now: if this is another act, send"
    " it again."
)
Choices = Iterable[tuple[str, str]]


class Figures(forms.CharField):
    """A number as a person writes it: comma or point, thousands apart; a sentence for all else."""

    def __init__(self, read: Callable[[object], int | CellProblem | None], **more: Any) -> None:
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(required=False, max_length=40, widget=forms.TextInput(attrs=attrs), **more)
        self.read = read

    def clean(self, value: Any) -> int | None:
        found = self.read(super().clean(value))
        if isinstance(found, CellProblem):
            raise ValidationError(found.sentence, code=found.code)
        return found


class Moment(forms.DateTimeField):
    """A day and a time in UTC; a day too far off is a typing mistake."""

    def __init__(self, **more: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
        wrong = "Give the day and time as 2027-03-03 14:05."
        super().__init__(
            widget=widget,
            input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M:%S"],
            error_messages={"invalid": wrong, "required": wrong},
            **more,
        )

    def clean(self, value: Any) -> datetime | None:
        found: datetime | None = super().clean(value)
        if found and not EARLIEST <= found.date() <= LATEST:
            raise ValidationError("This day is too far off: from 1950 to 2199.", code="too_far")
        return found


class ActForm(forms.Form):
    """Any form of one act: it carries the act's id, so that a double tap is one act."""

    act_id = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self._lost: set[str] = set()

    @property
    def act(self) -> UUID:
        return self.cleaned_data.get("act_id") or uuid4()

    @property
    def act_shown(self) -> str:
        """The id that the page carries: the one sent, or a new one."""
        sent = self.data.get("act_id") if "act_id" not in self._lost else None
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


class ReasonForm(ActForm):
    """Why."""

    reason = forms.CharField(
        label="Why",
        max_length=REASONS,
        error_messages={"required": "Say why, in a few words."},
    )


class SignForm(ProofForm):
    """A signature on some steps; ``reason`` only where one person inspects the own work again."""

    reason = forms.CharField(required=False, max_length=REASONS, label="Unforeseen circumstances")


class HandOverForm(ActForm):
    """Both sign a handover: who gives, who takes."""

    words = forms.CharField(
        label="What the next shift must know",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say how far it is and what must be known."},
    )
    giver = forms.CharField(label="Hands over: username", max_length=150)
    giver_password = forms.CharField(
        label="Password", strip=False, max_length=200, widget=forms.PasswordInput
    )
    taker = forms.CharField(label="Takes over: username", max_length=150)
    taker_password = forms.CharField(
        label="Password", strip=False, max_length=200, widget=forms.PasswordInput
    )


class StartForm(ActForm):
    """Where, at which station, why, and with which unit a swap begins."""

    reason = forms.CharField(
        label="Why", max_length=REASONS, error_messages={"required": "Say why it is changed."}
    )
    station = forms.ModelChoiceField(
        Station.objects.order_by("code"), label="Station", empty_label="Choose the station"
    )
    planned_on = forms.IntegerField(required=False, widget=forms.HiddenInput)


class UnitForm(ActForm):
    """A unit as scanned or typed, or the one expected; with what is known of the moment."""

    code = forms.CharField(
        required=False,
        max_length=200,
        label="Scan or type the unit's code",
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )
    unit = forms.IntegerField(required=False, widget=forms.HiddenInput)
    part_number = forms.CharField(required=False, max_length=40, label="P/N on the plate")
    serial_number = forms.CharField(required=False, max_length=40, label="S/N on the plate")
    happened_at = Moment(label="When, in UTC")
    hours = Figures(minutes_of, label="Aircraft's hours, as read")
    cycles = Figures(count_of, label="Aircraft's cycles, as read")
    log_page = forms.CharField(required=False, max_length=40, label="Log page")

    @property
    def when(self) -> When:
        return When(self.cleaned_data["happened_at"])


class RemovalForm(UnitForm):
    """What came off, where it goes, and how it is tagged."""

    to = forms.ChoiceField(choices=DESTINATIONS, label="It goes to", initial=QUARANTINE)
    shop = forms.CharField(required=False, max_length=80, label="Which shop")
    tag = forms.ChoiceField(choices=UnitTag.SORTS, label="Tag", initial="unserviceable")
    why = forms.ChoiceField(choices=UnitTag.WHY, required=False, label="Because of")
    words = forms.CharField(required=False, max_length=300, label="In words")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("to") == SHOP and not given.get("shop"):
            self.add_error("shop", ValidationError("Name the shop.", code="shop_missing"))
        return given

    def place(self, station_id: int) -> PlaceAt:
        """Where it goes, described. Only of a valid form."""
        to = self.cleaned_data["to"]
        if to == SHOP:
            return PlaceAt(SHOP, name=self.cleaned_data["shop"])
        if to == SCRAP:
            return PlaceAt(SCRAP, name="scrapped")
        return PlaceAt(to, station_id=station_id)


class InstallationForm(UnitForm):
    """What went on."""
