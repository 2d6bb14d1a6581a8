"""What the doors of tools take."""

from __future__ import annotations

from equipment.common.doors.fields import Written
from equipment.tools.acts.tools import ENTER_TOOL, RECORD_CALIBRATION
from fleet.acts.fields import field_named
from fleet.doors.requests import act_request_of

ToolSent = act_request_of(
    ENTER_TOOL,
    "ToolSent",
    "A tool by its code; of one on record, where it is, its description and length are changed.",
    length=Written(
        required=False,
        default="",
        allow_blank=True,
        max_length=60,
        help_text=field_named(ENTER_TOOL.said, "length").said.help,
    ),
)
CalibrationSent = act_request_of(
    RECORD_CALIBRATION,
    "CalibrationSent",
    "A tool was calibrated; the same tool and day again is the same act.",
)
