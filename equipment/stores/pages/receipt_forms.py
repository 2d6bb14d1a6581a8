"""The form of what comes in: a unit, further ones under the same certificate, and whose they are. Shape only."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from equipment.models import Title
from equipment.models.owing import PER
from equipment.stores.acts.facts import CameInside, Receipt, ReceiptLine, TitleSaid
from equipment.stores.acts.papers import NOT_APPLICABLE, printed_numbers
from equipment.stores.acts.receiving import MOST_LINES
from fleet.house.refusals import Refusal, Refused
from fleet.screens.fields import Day, Stamped, stated_life, text

from .certificate_forms import TOTAL_ROWS, PaperForm
from .inspection_forms import CodeField, station_field

MOST_QUANTITY = 2**31 - 1
COSTS = ("charge_amount", "charge_per", "currency", "charge")


class ReceiveForm(PaperForm):
    """What came in: one unit or lot, its paper, and whose it is."""

    ABOUT = ("manufactured_on", "standard", "stated_life_months", "quantity", "maker")

    scanned = CodeField(widget=forms.HiddenInput)
    part_number = text("Part number on the plate", 40)
    serial_number = text("Serial number on the plate", 40)
    is_confirmed = forms.BooleanField(
        label="I have looked at the plate again: it is another unit.", required=False
    )
    maker = text("Maker, if two make this part number", 80)
    quantity = forms.IntegerField(
        label="How many (of a lot)", min_value=1, max_value=MOST_QUANTITY, initial=1
    )
    manufactured_on = Stamped("Manufactured on")
    stated_life_months = stated_life()
    standard = text("Modification standard on it", 24)
    station = station_field()
    received_on = Day(label="Received on")
    bin = text("Bin of the quarantine", 80)
    document = text("Delivery note", 80)
    has_no_paper = forms.BooleanField(label="No certificate came with it", required=False)
    more_units = forms.CharField(
        label="More serial numbers on the same certificate, one a line",
        required=False,
        max_length=MOST_LINES * 60,
        strip=False,
        widget=forms.Textarea(
            attrs={
                "rows": 4,
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
            }
        ),
    )
    is_of_another = forms.BooleanField(
        label="The certificate names another unit: keep it with this one, in quarantine.",
        required=False,
    )
    inside = forms.CharField(
        label="What came inside it: position, part and serial number, one unit a line",
        required=False,
        max_length=2000,
        strip=False,
        widget=forms.Textarea(
            attrs={
                "rows": 3,
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
            }
        ),
    )
    price = text("Price of each", 16)
    price_currency = text("Currency of the price", 3)
    title = forms.ChoiceField(
        label="Whose it is", choices=[("", "as on record"), *Title.SORTS], required=False
    )
    owner = text("Owner", 80)
    return_by = Day(label="Goes back by", required=False)
    core_due_on = Day(label="Core due back on", required=False)
    charge_amount = text("Charge", 16)
    charge_per = forms.ChoiceField(
        label="Charged", choices=[("", "not charged"), *PER], required=False
    )
    currency = text("Currency", 3)
    charge = text("What else it costs, in words", 80)
    restriction = text("Owner's restriction", 120)
    customs = text("Customs", 80)

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        has_paper = any(given.get(name) for name in self.BLOCKS)
        if given.get("has_no_paper") and has_paper:
            self._say("has_no_paper", "Parts of a certificate are given below: clear either.")
        elif not given.get("has_no_paper") and not has_paper:
            words = "Copy its certificate, or tick that none came: it then waits in quarantine."
            self._say("has_no_paper", words)
        for name in ("part_number", "serial_number"):
            if not given.get("scanned") and not given.get(name) and name not in self.errors:
                self._say(name, "Read it off the plate, or scan the plate.")
        if given.get("title") and not given.get("owner"):
            self._say("owner", "Say whose it is.")
        if given.get("more_units", "").strip() and any(given.get(f"total_{n}") for n in TOTAL_ROWS):
            words = "The totals below are of one unit: receive it by itself, then the others."
            self._say("more_units", words)
        return given

    def clean_more_units(self) -> str:
        """Each line is one unit, or a lot and how many; what else stands there is told by its line."""
        for number, words in self._lines(self.cleaned_data["more_units"]):
            count = words[1] if len(words) > 1 else "1"
            if len(words) > 2 or not (count.isascii() and count.isdigit() and len(count) < 10):
                told = f"Line {number}: give one serial number, or a lot's number and how many."
                raise ValidationError(told, code="line_not_read")
        return str(self.cleaned_data["more_units"])

    def clean_inside(self) -> str:
        """Three words a line: the position inside, then what the plate says."""
        for number, words in self._lines(self.cleaned_data["inside"]):
            if len(words) != 3:
                told = f"Line {number}: give the position, the part number and the serial number."
                raise ValidationError(told, code="line_not_read")
        return str(self.cleaned_data["inside"])

    def receipt(self) -> Receipt:
        """What came, of a valid form: the unit of the plate first, then the further lines.

        A further unit has the part, certificate, works, bin and date of manufacture of the first;
        its number on the plate is also the one that the certificate prints, unless block 10 was copied with several.
        """
        given = self.cleaned_data
        made = given["manufactured_on"]
        names = ("part_number", "serial_number", "maker", "scanned", "printed_serial", "quantity")
        ticked = ("is_same_serial", "is_of_another")
        first = ReceiptLine(
            bin_name=given["bin"],
            is_confirmed=given["is_confirmed"],
            works=self.works(),
            totals=self.totals(),
            manufactured_on=made and made.on,
            manufactured_precision=made.precision if made else "day",
            stated_life_months=given["stated_life_months"],
            standard=given["standard"],
            inside=tuple(CameInside(*words) for _, words in self._lines(given["inside"])),
            **{name: given[name] for name in (*names, *ticked)},
        )
        lines = [first, *(self._further(first, words) for _, words in self._further_lines())]
        return Receipt(
            given["station"].pk,
            given["received_on"],
            tuple(lines),
            self.paper(),
            self.certifies(),
            self._title(),
            given["document"],
            given["price"],
            given["price_currency"],
        )

    def at_fields(self, refused: Refused) -> Refused:
        """The refusals of the act at this page's fields: a further line's by its number there."""
        further = [number for number, _ in self._further_lines()]
        return Refused.all_of([self._at_field(each, further) for each in refused.refusals])

    def _at_field(self, each: Refusal, further: list[int]) -> Refusal:
        found = re.fullmatch(r"lines\.(\d+)\.?(\w*)", each.field or "")
        if not found:
            return each
        line, field = int(found[1]), found[2]
        if line == 0:
            return replace(each, field=field)
        words = f"Line {further[line - 1]}: {each.message}"
        return replace(each, message=words, field="more_units")

    def _further_lines(self) -> list[tuple[int, list[str]]]:
        return self._lines(self.cleaned_data["more_units"])

    @staticmethod
    def _lines(text: str) -> list[tuple[int, list[str]]]:
        """(number of the line as a person counts it, its words), blank ones left out."""
        numbered = enumerate(text.splitlines(), 1)
        return [(number, line.split()) for number, line in numbered if line.strip()]

    @staticmethod
    def _further(first: ReceiptLine, words: list[str]) -> ReceiptLine:
        serial, quantity = words[0], int(words[1]) if len(words) > 1 else 1
        is_one = len(printed_numbers(first.printed_serial)) == 1
        is_one = is_one and first.printed_serial.strip().upper() not in NOT_APPLICABLE
        return replace(
            first,
            serial_number=serial,
            printed_serial=serial if is_one else first.printed_serial,
            quantity=quantity,
            scanned="",
            inside=(),
        )

    def _title(self) -> TitleSaid | None:
        given = self.cleaned_data
        names = ("return_by", "core_due_on", "customs", "restriction", *COSTS, "document")
        if not given["title"]:
            return None
        return TitleSaid(given["title"], given["owner"], **{name: given[name] for name in names})

    @property
    def plate(self) -> list[forms.BoundField]:
        return [self[name] for name in ("part_number", "serial_number")]

    @property
    def arrival(self) -> list[forms.BoundField]:
        names = ("station", "received_on", "bin", "document", "price", "price_currency")
        return [self[name] for name in names]

    @property
    def more_of_unit(self) -> list[forms.BoundField]:
        return [self[name] for name in self.ABOUT]

    @property
    def ownership(self) -> list[forms.BoundField]:
        names = ("title", "owner", "return_by", "core_due_on", *COSTS, "restriction", "customs")
        return [self[name] for name in names]

    @property
    def has_more_of_unit(self) -> bool:
        return self.is_begun([field.name for field in self.more_of_unit])

    @property
    def has_ownership(self) -> bool:
        return self.is_begun([field.name for field in self.ownership])

    @property
    def has_inside(self) -> bool:
        return self.is_begun(["inside"])

    @property
    def asks_of_another(self) -> bool:
        """Whether the certificate names another unit, or was said to."""
        found = self.errors.get("printed_serial")
        is_asked = found and any(e.code == "certificate_for_another" for e in found.as_data())
        return bool(self["is_of_another"].value()) or bool(is_asked)

    @property
    def has_more_units(self) -> bool:
        return self.is_begun(["more_units"])

    @property
    def asks_to_confirm(self) -> bool:
        """Whether a number looks like another one's, or was confirmed already."""
        found = [
            self.errors[name] for name in ("serial_number", "more_units") if name in self.errors
        ]
        data = [each for errors in found for each in errors.as_data()]
        return bool(self["is_confirmed"].value()) or any(e.code == "near_match" for e in data)
