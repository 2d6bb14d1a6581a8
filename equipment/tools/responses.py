"""What the doors of tools show."""

from __future__ import annotations

from equipment.models import Calibration, Tool
from fleet.doors.rows import RowShown


class CalibrationKept(RowShown):
    of = Calibration
    shows = "id tool.code sort done_on due_on certificate recorded_at"
    told = {"sort": "calibrated, found_out or dropped.", "certificate": "Or what was found."}


class ToolKept(RowShown):
    of = Tool
    shows = """
        id code sort description serial_number station.code length_mm measures at_least_yearly
    """
