"""The forms of what stays open: what the acts ask, and where on the aircraft it is."""

from __future__ import annotations

from django import forms

from equipment.findings.acts.openings import ASKED, ItemOpened, Opening
from equipment.findings.acts.robbing import Robbery
from fleet.screens.act_forms import Groups, SaidForm, form_of, grouped
from fleet.screens.fields import Day

TAKEN = ("donor", "happened_on", "log_page")


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
        help_text="As: Q7-VAB D1L-SLIDE, or of a unit inside it: Q7-VAB D1L-SLIDE LIGHT",
        error_messages={"required": "Name the aircraft and the position."},
    )
    happened_on = Day(label="Taken off on")
    GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (("Where it is taken from", TAKEN),)

    @property
    def groups(self) -> Groups:
        """The answer to what was asked about stands there once it was asked."""
        asked = self.errors.get("is_confirmed") if self.is_bound else None
        answer = (("You were asked about the unit", ("is_confirmed",)),) if asked else ()
        return grouped(self, (*self.GROUPS, *answer))


class RobbedByDocument(Robbed, form_of(Opening, first=ASKED)):  # type: ignore[misc]
    """The same, and by what the donor's position stays open: of whoever may say that."""

    GROUPS = (*Robbed.GROUPS, ("By what its position there stays open", ASKED))


WHERE = ("place", "aircraft", "swap")
OpeningForm = form_of(ItemOpened, without=WHERE, first=ASKED)
DeferralForm = form_of(ItemOpened, without=WHERE, first=("where", *ASKED), base=Deferred)
KNOWN = ("swap", "place", "unit", "opening", "when")
RobberyForm = form_of(Robbery, without=KNOWN, first=TAKEN, base=Robbed)
DocumentedRobberyForm = form_of(
    Robbery, without=KNOWN, first=(*TAKEN, *ASKED), base=RobbedByDocument
)
