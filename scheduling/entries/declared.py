"""What is entered by hand: each act once, with the ways to it."""

from __future__ import annotations

from fleet.offers.offer import Offer

from . import on_unit
from .entering import ENTRIES
from .pages import checks, readings, what_if

OFFERS: tuple[Offer, ...] = (
    *ENTRIES,
    *checks.OFFERS,
    *readings.OFFERS,
    *on_unit.OFFERS,
    *what_if.OFFERS,
)
