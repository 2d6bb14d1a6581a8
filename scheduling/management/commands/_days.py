"""Days given to commands."""

from __future__ import annotations

from argparse import ArgumentTypeError
from datetime import date

from fleet.house.pages import day_read


def day_of(text: str) -> date:
    """A day as 2027-03-03; else a sentence that says so."""
    try:
        return day_read(text)
    except ValueError as fault:
        raise ArgumentTypeError(str(fault)) from None
