"""What people do about limits, and enter by hand: of the list the pages are made."""

from __future__ import annotations

from fleet.offers.offer import Offer
from scheduling.calendar import declared as calendar
from scheduling.drafts import declared as drafts
from scheduling.due.views import declared as views
from scheduling.entries import declared as entries
from scheduling.packages import declared as packages
from scheduling.papers import declared as papers
from scheduling.planning import declared as planning
from scheduling.telling import declared as telling

OFFERS: tuple[Offer, ...] = (
    *entries.OFFERS,
    *planning.OFFERS,
    *packages.OFFERS,
    *drafts.OFFERS,
    *calendar.OFFERS,
    *telling.OFFERS,
    *papers.OFFERS,
    *views.OFFERS,
)
