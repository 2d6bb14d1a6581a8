"""The kinds of sheet that bring measures, readings of aircraft totals, and the planner's rates of use."""

from __future__ import annotations

from . import measures, rates, readings

SHEETS = (*measures.SHEETS, *readings.SHEETS, *rates.SHEETS)
