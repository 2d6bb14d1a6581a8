"""The rules of a programme, what was done under them, and the due items computed from both."""

from .before import ItemBefore
from .drafts import Draft, DraftChange
from .due import DueItem, RecomputeRun
from .limits import (
    Amount,
    Clock,
    Limit,
    LimitReset,
    Programme,
    ProgrammeOfAircraft,
    Work,
)
from .planning import LifePrice, OpeningPrice, Placement, PlanningRule
from .rulings import OfferedUnit, PairingRuling, ProposalRun, ProposedNeed
from .views import DueView
from .works import Disposition, Extension, WorkDone

__all__ = [
    "Amount",
    "Clock",
    "Disposition",
    "Draft",
    "DraftChange",
    "DueItem",
    "DueView",
    "Extension",
    "ItemBefore",
    "LifePrice",
    "Limit",
    "LimitReset",
    "OfferedUnit",
    "OpeningPrice",
    "PairingRuling",
    "Placement",
    "PlanningRule",
    "Programme",
    "ProgrammeOfAircraft",
    "ProposalRun",
    "ProposedNeed",
    "RecomputeRun",
    "Work",
    "WorkDone",
]
