"""What programs are shown of what an act gave, declared beside the act.

A frozen dataclass of plain types: each field is read off what the act gave by its own name, unless
:func:`shown` names another::

    @dataclass(frozen=True, slots=True, kw_only=True)
    class HoldEndShown:
        hold: int = shown("hold_id")
        words: str
        ended_at: datetime

The door's answer is made from it by ``answer_of`` (fleet.doors.answers).
"""

from __future__ import annotations

import dataclasses
from typing import Any

#: Under which a field keeps where it is read, and its words in the schema.
READ, HELP = "read", "help"


def shown(read: str = "", help: str = "") -> Any:
    """A field that is read under another name (``hold_id``, ``by.username``), or needs words."""
    return dataclasses.field(metadata={READ: read, HELP: help})
