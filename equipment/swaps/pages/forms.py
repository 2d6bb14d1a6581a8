"""The forms of a swap besides its steps: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.ledger.facts import PlaceAt, When
from equipment.models import UnitTag
from equipment.swaps.acts.facts import MOST_REASON, NewSwap, WithReason
from fleet.intake.numbers import count_of, minutes_of
from fleet.screens.act_forms import CHOOSE, ActForm, Groups, ProofForm, form_of, grouped
from fleet.screens.fields import Figures, Moment

# Where a unit goes that came off.
STORE, QUARANTINE, SHOP, SCRAP = "store", "quarantine", "shop", "gone"
DESTINATIONS = (
    (QUARANTINE, "Quarantine of the station"),
    (STORE, "Store of the station"),
    (SHOP, "A shop"),
    (SCRAP, "Scrapped"),
)
Choices = Iterable[tuple[str, str]]


ReasonForm = form_of(WithReason, without=("swap",))


class SignForm(ProofForm):
    """A signature on some steps; ``reason`` only where one has to be given, ``inspector`` only where one
    person inspects the own work again."""

    reason = forms.CharField(required=False, max_length=MOST_REASON)
    inspector = forms.CharField(
        required=False,
        max_length=150,
        label="Inspector who was assigned to this shift (username)",
        help_text="With nobody assigned it was not unforeseen.",
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "off"}),
    )

    def asks_for_reason(self, label: str, *, of_own_work: bool = False) -> None:
        """This will ask for a reason under this label; without one, not at all."""
        if label:
            self.fields["reason"].label = label
        else:
            del self.fields["reason"]
        if not of_own_work:
            del self.fields["inspector"]


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


#: Where, at which station, why, and with which unit a swap begins.
StartForm = form_of(
    NewSwap,
    without=("place", "sort", "due_item", "donor_of", "work", "unit"),
    first=("reason", "station"),
)


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
    is_confirmed = forms.BooleanField(required=False, label="It is really so: record it as it is")

    @property
    def asks(self) -> bool:
        """Whether something was asked about, or has been answered: then the answer is on the page."""
        return self.is_bound and bool(
            self.errors.get("is_confirmed") or self["is_confirmed"].value()
        )

    @property
    def when(self) -> When:
        return When(self.cleaned_data["happened_at"])


class UnitCorrectionForm(ProofForm):
    """Which unit it really was, and who signs that."""

    role = forms.ChoiceField(
        choices=(("", CHOOSE), ("off", "What came off"), ("on", "What went on")),
        label="What was recorded wrongly",
        error_messages={"required": "Say which of the two was recorded wrongly."},
    )
    code = forms.CharField(
        max_length=200,
        label="The unit that it really was: scan it, or P/N and S/N",
        error_messages={"required": "Scan the unit, or type its part and serial number."},
    )
    reason = forms.CharField(
        max_length=MOST_REASON,
        label="What was wrong",
        error_messages={"required": "Say what was wrong, in a few words."},
    )
    is_confirmed = forms.BooleanField(required=False, label="It is really so: record it as it is")
    GROUPS = (("What it really was", ("role", "code", "reason")),)
    ASKED = (("You were asked about the unit", ("is_confirmed",)),)
    SIGNED = (("Who signs the correction", ("username", "password")),)

    @property
    def groups(self) -> Groups:
        """The answer to what was asked about stands there once it was asked."""
        asked = self.is_bound and (self.errors.get("is_confirmed") or self["is_confirmed"].value())
        return grouped(self, (*self.GROUPS, *(self.ASKED if asked else ()), *self.SIGNED))


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
