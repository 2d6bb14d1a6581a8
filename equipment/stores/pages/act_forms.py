"""The forms of the stores' acts besides receiving: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms

from equipment.availability.acts.reservations import SetAside
from equipment.models import ShopReturn
from equipment.stores.acts.inside import FoundInside
from equipment.stores.acts.returns import ShopBack
from equipment.stores.reads.inside import Inner
from equipment.stores.reads.stock import StockAsked
from fleet.screens.act_forms import CHOOSE, ActForm, SaidForm, form_of
from fleet.screens.fields import Day, text
from fleet.screens.filter_forms import FilterForm, filters_by

from .certificate_forms import WORK_ROWS, PaperForm
from .inspection_forms import station_field

Choices = Iterable[tuple[str, str]]


def asked_works(codes: Sequence[str]) -> dict[str, str]:
    """The works that an order asked for, as the return's page begins with them: each needs its day."""
    return {f"work_{row}": code for row, code in zip(WORK_ROWS, codes, strict=False)}


class PlaceNamed(SaidForm):
    """Which position a unit is set aside for, by its words."""

    place = text(
        "Aircraft and position, as Q7-VAB D1L-SLIDE",
        60,
        is_needed=True,
        error_messages={"required": "Name the aircraft and the position."},
    )


SetAsideForm = form_of(SetAside, without=["unit"], base=PlaceNamed)


class IssueForm(ActForm):
    """A unit is handed over, to whom and for which job; ``decision`` where it is not complete, or a limit of it is unknown."""

    to = text("Handed to", 120)
    job = text("For which job", 80)
    decision = text("Issued all the same: who decided it, and why", 200)


class ReturnForm(PaperForm):
    """A shop order ends: what became of the unit, the shop's paper, what it cost."""

    how = forms.ChoiceField(
        label="Result",
        choices=[("", CHOOSE), *ShopReturn.HOW],
        error_messages={"required": "Say what became of the unit."},
    )
    returned_on = Day(label="Returned on")
    station = station_field("To station", required=False)
    price = text("Price", 20)
    currency = text("Currency", 3)
    results = text("Results and measures of the work, as reported", 300)
    words = text("In words", 300)

    def clean(self) -> dict[str, Any]:
        """What was asked for and not done has no day: an untouched unit's certificate names no work."""
        if self.data.get("how") != "done":
            for row in WORK_ROWS:
                if not self.cleaned_data.get(f"work_{row}_on"):
                    self.cleaned_data[f"work_{row}"] = ""
        return super().clean()

    @property
    def has_works(self) -> bool:
        """Open from the start where the order asked for works."""
        return super().has_works or any(self.initial.get(f"work_{row}") for row in WORK_ROWS)

    @property
    def arrival(self) -> list[forms.BoundField]:
        names = ("how", "returned_on", "station", "price", "currency", "results", "words")
        return [self[name] for name in names]

    def back(self, order_id: int) -> ShopBack:
        given = self.cleaned_data
        names = ("returned_on", "how", "printed_serial", "price", "currency", "results", "words")
        is_same = given["is_same_serial"]
        return ShopBack(
            order_id=order_id,
            station_id=given["station"].pk if given["station"] else None,
            paper=self.paper(),
            certifies=self.certifies(),
            works=self.works(),
            totals=self.totals(),
            is_same_serial=is_same,
            **{name: given[name] for name in names},
        )


class InsideBase(SaidForm):
    """Where inside a unit, of the positions that it has; one on record there may have been replaced."""

    position = forms.TypedChoiceField(label="Where inside", coerce=int)

    def __init__(self, *args: Any, inside: Iterable[Inner], **more: Any) -> None:
        super().__init__(*args, **more)
        position = self.fields["position"]
        assert isinstance(position, forms.TypedChoiceField)
        shown = sorted(inside, key=lambda each: not each.is_empty)
        position.choices = [(each.position_id, each.words) for each in shown]
        self.has_taken = any(each.units for each in shown)

    @property
    def shown(self) -> list[forms.BoundField]:
        """The question about a number that looks like another's stands there when it is asked."""
        found = self.errors.get("serial_number")
        codes = {each.code for each in found.as_data()} if found else set()
        is_asked = bool(codes & {"near_match"}) or bool(self["is_confirmed"].value())
        kept = {"is_confirmed": is_asked, "is_replaced": self.has_taken}
        return [each for each in super().shown if kept.get(each.name, True)]


InsideForm = form_of(
    FoundInside,
    without=["unit"],
    first=["position", "part_number", "serial_number", "manufactured_on", "standard"],
    base=InsideBase,
)


@filters_by(StockAsked)
class StockForm(FilterForm):
    """The filters of the stock list, in the query, so that a link reproduces the view."""

    also = frozenset({"page"})
