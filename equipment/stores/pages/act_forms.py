"""The forms of the stores' acts besides receiving: shape only. What may be done is the acts' to say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms

from equipment.availability.acts.tag_facts import TagFact
from equipment.models import ShopReturn, UnitTag
from equipment.stores.acts.facts import NewOrder, ShopBack
from equipment.stores.acts.inside import FoundInside
from equipment.stores.ports import known_works
from equipment.stores.reads.inside import Inner
from equipment.stores.reads.shop_loop import known_shops
from equipment.stores.reads.stock import StockAsked
from fleet.screens.act_forms import ActForm
from fleet.screens.fields import Day, Moment, Offered, Stamped, stated_life, text
from fleet.screens.filter_forms import FilterForm, filters_by

from .certificate_forms import WORK_ROWS, PaperForm
from .inspection_forms import station_field

Choices = Iterable[tuple[str, str]]


class GroupedForm(ActForm):
    """A form that its page lays out in the order of its fields."""

    @property
    def shown(self) -> list[forms.BoundField]:
        return list(self.visible_fields())


def asked_works(codes: Sequence[str]) -> dict[str, str]:
    """The works that an order asked for, as the return's page begins with them: each needs its day."""
    return {f"work_{row}": code for row, code in zip(WORK_ROWS, codes, strict=False)}


class SendForm(GroupedForm):
    shop = Offered("Shop", 80, (), "shop")
    number = text("Order number", 40, is_needed=True)
    station = station_field("From station")
    sent_on = Day(label="Sent on")
    promised_on = Day(label="Promised back by")
    works = forms.MultipleChoiceField(
        label="Works asked for", required=False, widget=forms.CheckboxSelectMultiple
    )
    words = text("Words for the shop", 300)

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        works = self.fields["works"]
        assert isinstance(works, forms.MultipleChoiceField)
        works.choices = [(each.code, each.name) for each in known_works()]
        shop = self.fields["shop"]
        assert isinstance(shop, Offered)
        shop.required, shop.offered = True, known_shops()

    def order(self, unit_id: int) -> NewOrder:
        given = self.cleaned_data
        return NewOrder(
            unit_id,
            given["shop"],
            given["number"],
            given["station"].pk,
            given["sent_on"],
            given["promised_on"],
            tuple(given["works"]),
            given["words"],
        )


class SetAsideForm(GroupedForm):
    """For which position and day a unit is set aside by hand."""

    place = text(
        "Aircraft and position, as Q7-VAB D1L-SLIDE",
        60,
        is_needed=True,
        error_messages={"required": "Name the aircraft and the position."},
    )
    need_on = Day(label="Needed on")
    words = text("For what, in words", 200)


class PromiseForm(GroupedForm):
    promised_on = Day(label="Promised back by")
    words = text("What the shop said", 200)


class ReturnForm(PaperForm):
    """A shop order ends: what became of the unit, the shop's paper, what it cost."""

    how = forms.ChoiceField(label="What became of it", choices=ShopReturn.HOW)
    returned_on = Day(label="It came back on")
    station = station_field("To station", required=False)
    price = text("Price", 20)
    currency = text("Currency", 3)
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
        names = ("how", "returned_on", "station", "price", "currency", "words")
        return [self[name] for name in names]

    def back(self, order_id: int) -> ShopBack:
        given = self.cleaned_data
        names = ("returned_on", "how", "printed_serial", "price", "currency", "words")
        return ShopBack(
            order_id=order_id,
            station_id=given["station"].pk if given["station"] else None,
            paper=self.paper(),
            certifies=self.certifies(),
            works=self.works(),
            totals=self.totals(),
            **{name: given[name] for name in names},
        )


class BinForm(GroupedForm):
    bin = text("Bin", 80, is_needed=True)


class InsideForm(GroupedForm):
    """What the plate of a unit inside another says; at a position with one on record, that it was replaced."""

    PLATE = (
        "part_number",
        "serial_number",
        "manufactured_on",
        "standard",
        "stated_life_months",
        "maker",
        "is_confirmed",
        "is_replaced",
    )
    position = forms.TypedChoiceField(label="Where inside", coerce=int)
    part_number = text("Part number on its plate", 40, is_needed=True)
    serial_number = text("Serial number on its plate", 40, is_needed=True)
    manufactured_on = Stamped("Manufactured on")
    standard = text("Modification standard on it", 24)
    stated_life_months = stated_life()
    maker = text("Maker, if two make this part number", 80)
    is_confirmed = forms.BooleanField(
        label="I have looked at the plate again: it is another unit.", required=False
    )
    is_replaced = forms.BooleanField(
        label="The shop put it there in place of the one on record, which it scrapped.",
        required=False,
    )

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

    def found(self, unit_id: int) -> FoundInside:
        given = {name: self.cleaned_data[name] for name in self.PLATE}
        if (made := given["manufactured_on"]) is not None:
            given |= {"manufactured_on": made.on, "manufactured_precision": made.precision}
        return FoundInside(unit_id, self.cleaned_data["position"], **given)


class TagForm(GroupedForm):
    sort = forms.ChoiceField(label="Tag", choices=UnitTag.SORTS)
    why = forms.ChoiceField(label="Because of", choices=[("", "–"), *UnitTag.WHY], required=False)
    words = text("In words", 300)
    actions_needed = text("What must be done", 200)
    tagged_at = Moment(label="When, in UTC")

    def tag(self) -> TagFact:
        given = self.cleaned_data
        return TagFact(given["sort"], given["why"], given["words"], given["actions_needed"])


@filters_by(StockAsked)
class StockForm(FilterForm):
    """The filters of the stock list, in the query, so that a link reproduces the view."""
