"""The forms of what stays open: what the acts ask, and where on the aircraft it is."""

from __future__ import annotations

from django import forms

from equipment.findings.acts.open_items import Robbery
from equipment.findings.acts.openings import ASKED, ItemOpened
from fleet.screens.act_forms import Groups, SaidForm, form_of, grouped
from fleet.screens.fields import Day


class Deferred(SaidForm):
    """Where something is open that no swap left so."""

    where = forms.CharField(
        label="Aircraft, and the position if it is one",
        max_length=60,
        help_text="As: Q7-VAB, or Q7-VAB D1L-SLIDE",
        error_messages={"required": "Name the aircraft."},
    )


class Robbed(SaidForm):
    """From where a unit is taken for a swap, when, and by what the donor's position stays open."""

    donor = forms.CharField(
        label="Aircraft and position that it is taken from",
        max_length=60,
        help_text="As: Q7-VAB D1L-SLIDE",
        error_messages={"required": "Name the aircraft and the position."},
    )
    happened_on = Day(label="Taken off on")
    GROUPS = (
        ("Where it is taken from", ("donor", "happened_on", "log_page")),
        ("By what its position there stays open", ASKED),
    )

    @property
    def groups(self) -> Groups:
        return grouped(self, self.GROUPS)


WHERE = ("place", "aircraft", "swap")
OpeningForm = form_of(ItemOpened, without=WHERE, first=ASKED)
DeferralForm = form_of(ItemOpened, without=WHERE, first=("where", *ASKED), base=Deferred)
RobberyForm = form_of(
    Robbery,
    without=("swap", "donor_place"),
    first=("donor", "happened_on", "log_page", *ASKED),
    base=Robbed,
)
