"""The forms by which a discrepancy is settled: shape only."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from equipment.common.scanned import units_of
from equipment.findings.acts.discrepancies import Happened
from equipment.findings.reads.discrepancies import DiscrepancyShown, Named
from equipment.ledger.facts import PlaceAt, When
from equipment.models import PartNumber
from fleet.intake.numbers import count_of, minutes_of
from fleet.models import AircraftPosition, Station
from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day, Figures, clock_time

NOWHERE, POSITION = "", "aircraft"
TO = (
    ("quarantine", "Quarantine of the station"),
    ("store", "Store of the station"),
    ("shop", "A shop"),
    (POSITION, "Another position of this aircraft"),
    (NOWHERE, "Nothing came off"),
)

#: What most changes do not need told: it stands behind a fold.
SELDOM = ("time", "shop", "position", "hours", "cycles", "log_page", "annul_later")


class Listed(forms.TypedChoiceField):
    """One of the rows that the page lists, or none. Whether it is one that will do is the act's to say:
    sent again after it settled, it is not listed any more."""

    def __init__(self, label: str) -> None:
        super().__init__(required=False, coerce=int, empty_value=None, label=label)

    def valid_value(self, value: Any) -> bool:
        return str(value).isascii() and str(value).isdigit() and len(str(value)) < 19


class WordsForm(ActForm):
    """How it was settled, in words."""

    @property
    def first(self) -> list[forms.BoundField]:
        """All that it asks."""
        return list(self.visible_fields())

    words = forms.CharField(
        label="In words",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Say how it was settled."},
    )


class FactForm(WordsForm):
    """The later fact that settles it: a movement or a swap recorded since."""

    movement = Listed("Movement recorded since")
    swap = Listed("Swap")

    def __init__(self, *given: Any, shown: DiscrepancyShown, **more: Any) -> None:
        super().__init__(*given, **more)
        _choose(self, "movement", shown.movements)
        _choose(self, "swap", shown.swaps)


class StoryForm(ActForm):
    """What happened that nobody recorded: when, by which document, where the recorded unit went."""

    happened_on = Day(
        label="Day it happened",
        error_messages={"required": "Give the day of the change."},
    )
    time = clock_time("Time in UTC, if it is known")
    document = forms.CharField(
        max_length=80,
        label="Document that says so: log page, card, statement",
        error_messages={"required": "Give the document that says so."},
    )
    off = Listed("Unit that came off")
    to = forms.ChoiceField(required=False, choices=TO, label="It went to")
    station = forms.ModelChoiceField(
        Station.objects.order_by("code"),
        label="Station",
        error_messages={"required": "Choose the station."},
    )
    shop = forms.CharField(required=False, max_length=80, label="Which shop")
    position = forms.ModelChoiceField(
        AircraftPosition.objects.none(), required=False, label="Which position", empty_label="None"
    )
    hours = Figures(minutes_of, label="Aircraft's hours then, as read")
    cycles = Figures(count_of, label="Aircraft's cycles then, as read")
    log_page = forms.CharField(required=False, max_length=40, label="Log page")
    annul_later = forms.BooleanField(
        required=False, label="What is recorded of the found unit since then never happened"
    )

    def __init__(self, *given: Any, shown: DiscrepancyShown, **more: Any) -> None:
        super().__init__(*given, **more)
        _choose(self, "off", shown.there)
        positions = AircraftPosition.objects.filter(aircraft__registration=shown.registration)
        field = self.fields["position"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = positions.select_related("aircraft", "type_position").order_by(
            "type_position__x_cm", "pk"
        )

    @property
    def first(self) -> list[forms.BoundField]:
        """What is nearly always told, in its order."""
        return [each for each in self.visible_fields() if each.name not in SELDOM]

    @property
    def seldom(self) -> list[forms.BoundField]:
        """What is told where it is known, or where it matters."""
        return [self[name] for name in SELDOM if name != "annul_later"]

    @property
    def is_seldom_open(self) -> bool:
        """Whether something of what is seldom told was told, or is wrong."""
        return any(self.errors.get(name) or self[name].value() for name in SELDOM)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        wanted = {"shop": "Name the shop.", POSITION: "Choose the position."}
        to = given.get("to")
        field = "position" if to == POSITION else "shop"
        if to in wanted and not given.get(field):
            self.add_error(field, ValidationError(wanted[to], code="missing"))
        return given

    @property
    def happened(self) -> Happened:
        """What is said of the change. Only of a valid form."""
        given = self.cleaned_data
        return Happened(
            when=self._when(),
            document=given["document"],
            to=self._to(),
            minutes=given["hours"],
            cycles=given["cycles"],
            log_page=given["log_page"],
            annul_later=given["annul_later"],
        )

    def _when(self) -> When:
        given, zone = self.cleaned_data, self.cleaned_data["station"].time_zone
        if given["time"] is None:
            return When.on(given["happened_on"], zone)
        return When(
            datetime.combine(given["happened_on"], given["time"], UTC),
            "instant",
            str(ZoneInfo(zone)),
        )

    def _to(self) -> PlaceAt | None:
        given = self.cleaned_data
        if given["to"] == NOWHERE:
            return None
        if given["to"] == POSITION:
            return PlaceAt(POSITION, aircraft_position_id=given["position"].pk)
        if given["to"] == "shop":
            return PlaceAt("shop", name=given["shop"])
        return PlaceAt(given["to"], station_id=given["station"].pk)


class ChangeForm(StoryForm):
    """A change that nobody recorded, of a unit that is on record."""

    field_order = ("found", "off")
    found = forms.CharField(
        required=False, max_length=200, label="Unit that is there (blank: none)"
    )

    def found_unit(self, year: int) -> int | None:
        """The unit that is there; its field is told if the text names none, or several."""
        text = self.cleaned_data.get("found", "")
        if not text:
            return None
        units = units_of(text, year)
        if len(units) != 1:
            said = (
                "No unit on record is this."
                if not units
                else "This may be several units: give part and serial number."
            )
            self.add_error("found", ValidationError(said, code="unknown_unit"))
            return None
        return units[0].pk


class UnknownForm(StoryForm):
    """A unit that is on no record: what its plate says, and since when it is there."""

    field_order = ("part_number", "maker", "serial_number", "happened_on", "time", "document")
    part_number = forms.CharField(
        max_length=40, label="Part number", error_messages={"required": "Give the part number."}
    )
    maker = forms.CharField(required=False, max_length=16, label="Maker's code, if several make it")
    serial_number = forms.CharField(
        max_length=40, label="Serial number", error_messages={"required": "Give the serial number."}
    )

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if not given.get("part_number"):
            return given
        parts = PartNumber.objects.filter(number__iexact=given["part_number"])
        if given.get("maker"):
            parts = parts.filter(maker__code__iexact=given["maker"])
        keys = list(parts.values_list("pk", flat=True)[:2])
        given["part"] = keys[0] if len(keys) == 1 else None
        if not keys:
            said = "No such part number is on record: have it entered first, or check how it is written."
            self.add_error("part_number", ValidationError(said, code="unknown_part_number"))
        elif len(keys) > 1:
            said = "Several makers have this number: give the maker's code."
            self.add_error("maker", ValidationError(said, code="maker_needed"))
        return given


def _choose(form: forms.Form, name: str, rows: tuple[Named, ...]) -> None:
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    none = [("", "None of these")] if len(rows) != 1 or name != "off" else []
    field.choices = [*none, *((str(row.id), row.words) for row in rows)]
