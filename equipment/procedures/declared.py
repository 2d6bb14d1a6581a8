"""What people do about procedures, beside the doors and sheets that bring whole lists."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms
from django.http import HttpRequest
from django.urls import reverse

from equipment.models import BottleChart
from equipment.procedures.acts.beginning import BEGIN_STEP_LIST, BegunList
from equipment.procedures.acts.charts_by_hand import ENTER_CHART_BY_HAND, ChartByHand
from equipment.procedures.general import GENERAL
from fleet.house.pages import today
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page
from fleet.screens.act_forms import SaidForm, form_of


class InParts(SaidForm):
    """A form of the office: its fields in a few parts beside each other, each under a title."""

    TITLES: ClassVar[Mapping[str, tuple[str, ...]]] = {}

    @property
    def parts(self) -> list[tuple[str, list[Any]]]:
        return [(title, [self[name] for name in names]) for title, names in self.TITLES.items()]


class BeginForm(form_of(BegunList, base=InParts)):  # type: ignore[misc]
    """What the list is of and by which data it is worked; then how it is called."""

    TITLES: ClassVar = {
        "What is changed, and by which data": ("kind", "document", "document_revision", "from_on"),
        "How the list is called": ("code", "revision"),
    }


def about_beginning(request: HttpRequest) -> About:
    """The kind that the address asks for, if it does; what the list would hold."""
    return About(
        starts={"kind": request.GET.get("kind", "")[:32], "from_on": today(), "revision": "1"},
        back=reverse("equipment:step_lists"),
        back_label="Step lists",
        shown=lambda: {"general": GENERAL},
    )


BEGUN = Page(
    address="step-lists/new/",
    name="step_list_new",
    heading="Begin a step list",
    lead="A list of general steps, so that changes can be recorded from the first day. Your approved data governs:"
    " bring its own steps as the next revision.",
    button="Begin the list",
    done="The list is on record.",
    about=about_beginning,
    then=lambda done: reverse("equipment:step_list", args=[done.made.id]),
    form=BeginForm,
    template="equipment/procedures/begin.html",
)


class ChartForm(form_of(ChartByHand, base=InParts)):  # type: ignore[misc]
    """The points stand one beneath the other."""

    TITLES: ClassVar = {
        "The bottle, and where it is laid down": (
            "part",
            "maker",
            "document",
            "revision",
            "from_on",
        ),
        "Its charge": ("gas", "charge", "charge_at"),
        "The points of the chart": ("unit", "temperature_unit", "points"),
    }

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["points"].widget = forms.Textarea(attrs={"rows": 8, "spellcheck": "false"})


def about_charts(request: HttpRequest) -> About:
    """The charts on record, beneath the form of another."""
    charts = BottleChart.objects.select_related("part_number")
    return About(
        starts={"from_on": today()},
        back=reverse("equipment:step_lists"),
        back_label="Step lists",
        shown=lambda: {"charts": charts.order_by("part_number__number", "-from_on", "-pk")[:200]},
    )


def charted(done: Done) -> str:
    """Whether it is new, and which of its points the gas itself would not show."""
    said = "The chart is on record." if done.made.is_new else "It was on record like this already."
    odd = " ".join(done.made.odd)
    return f"{said} {odd} Check it against the maker's." if odd else said


CHARTED = Page(
    address="bottle-charts/",
    name="bottle_charts",
    heading="Bottle charts",
    lead="Which pressure a bottle should show at which temperature, as its maker lays it down.",
    button="Save the chart",
    done=charted,
    about=about_charts,
    form=ChartForm,
    then=lambda done: reverse("equipment:bottle_charts"),
    template="equipment/procedures/chart.html",
)
#: Programs send whole lists and charts of their own.
OFFERS = (Offer(BEGIN_STEP_LIST, None, BEGUN), Offer(ENTER_CHART_BY_HAND, None, CHARTED))
