"""The rules of a programme, what was done under them, and the due items computed from both."""

from .before import ItemBefore
from .calendar import CalendarAddress
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
from .packages import CarriedForward, CheckClosed, CheckReleased, PackageHandover, PackageItem
from .papers import PaperAsked
from .pictures import DayCounted, WorkJudged
from .planning import HangarCapacity, LifePrice, OpeningPrice, Placement, PlanningRule
from .rulings import OfferedUnit, PairingRuling, ProposalRun, ProposedNeed
from .telling import DayTold, Mail, MailChoice, Told
from .views import DueView
from .works import Disposition, Extension, WorkDone

__all__ = [
    "Amount",
    "CalendarAddress",
    "CarriedForward",
    "CheckClosed",
    "CheckReleased",
    "Clock",
    "DayCounted",
    "DayTold",
    "Disposition",
    "Draft",
    "DraftChange",
    "DueItem",
    "DueView",
    "Extension",
    "HangarCapacity",
    "ItemBefore",
    "LifePrice",
    "Limit",
    "LimitReset",
    "Mail",
    "MailChoice",
    "OfferedUnit",
    "OpeningPrice",
    "PackageHandover",
    "PackageItem",
    "PairingRuling",
    "PaperAsked",
    "Placement",
    "PlanningRule",
    "Programme",
    "ProgrammeOfAircraft",
    "ProposalRun",
    "ProposedNeed",
    "RecomputeRun",
    "Told",
    "Work",
    "WorkDone",
    "WorkJudged",
]
