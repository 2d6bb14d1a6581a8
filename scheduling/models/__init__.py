"""The rules of a programme, what was done under them, and the due items computed from both."""

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
from .works import Disposition, Extension, WorkDone

__all__ = [
    "Amount",
    "Clock",
    "Disposition",
    "DueItem",
    "Extension",
    "Limit",
    "LimitReset",
    "Programme",
    "ProgrammeOfAircraft",
    "RecomputeRun",
    "Work",
    "WorkDone",
]
