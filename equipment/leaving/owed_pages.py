"""What the pages of loans and of what goes back are about."""

from __future__ import annotations

from dataclasses import replace

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.common.money import charge_words, charged, money_words
from equipment.common.wording import unit_words
from equipment.leaving.pages import about_leaving
from equipment.models import Loan, Title
from equipment.stores.reads.owed import AHEAD
from fleet.house.pages import today
from fleet.offers.page import About
from fleet.words.said import day_words

ALL = "All that is owed"


def about_loan_of(request: HttpRequest, unit_id: int) -> About:
    """The unit of the address, to be lent."""
    lead = f"It stands on the clerk's day {AHEAD} days before it is due back."
    return replace(about_leaving(request, unit_id), lead=lead)


def about_loan(request: HttpRequest, loan_id: int) -> About:
    """The loan of the address, with what its charge has come to; 404 if there is none."""
    loan = get_object_or_404(
        Loan.objects.select_related("unit__part_number", "station"), pk=loan_id
    )
    lead = (
        f"Lent to {loan.party} on {day_words(loan.lent_on)}, due back {day_words(loan.return_by)}."
    )
    return About(
        given={"loan_id": loan.pk},
        subject=unit_words(loan.unit),
        lead=lead + _costs(loan),
        starts={"station": loan.station.code},
        back=reverse("equipment:stores_owed"),
        back_label=ALL,
    )


def about_title(request: HttpRequest, title_id: int) -> About:
    """The title of the address, and what it owes; 404 if there is none."""
    title = get_object_or_404(Title.objects.select_related("unit__part_number"), pk=title_id)
    due = [
        f"{what} by {day_words(on)}"
        for what, on in (("the unit itself", title.return_by), ("a core", title.core_due_on))
        if on is not None
    ]
    return About(
        given={"title_id": title.pk},
        subject=unit_words(title.unit),
        lead=f"Owed to {title.owner}: {' and '.join(due) or 'nothing'}." + _costs(title),
        back=reverse("equipment:stores_owed"),
        back_label=ALL,
    )


def _costs(row: Loan | Title) -> str:
    """What the charge has come to, said after the rest; nothing where none is agreed."""
    begun_on = row.lent_on if isinstance(row, Loan) else row.from_on
    so_far = charged(row.charge_amount, row.charge_per, begun_on, today())
    if so_far is None:
        return ""
    agreed = charge_words(row.charge_amount, row.charge_per, row.currency)
    return f" It costs {agreed}: {money_words(so_far, row.currency)} until today."
