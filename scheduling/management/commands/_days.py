"""Days given to commands."""

from __future__ import annotations

from argparse import ArgumentTypeError
from datetime import date


def day_of(text: str) -> date:
    """A day as 2027-03-03; else a sentence that says so."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError(
            f"“{text}” is not a date. Give it as year-month-day, such as 2027-03-03."
        ) from None
