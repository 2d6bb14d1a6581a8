"""The second tap of a double tap falls on the next step, which nobody has read yet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from equipment.judging.sorts.table import BY_CODE
from equipment.models import Step

#: Shorter than reading takes, longer than the second tap of a double tap.
SOONEST_MS = 600
UNREAD = (
    "This step came up just as the button was pressed, so it was taken for a second tap on the one before."
    " Read it, then press again."
)


#: What one tap says, and the unit that is chosen already: all else is typed by somebody who read what for.
TAPPED = frozenset({"done", "result", "unit"})


def shown_now(at: datetime) -> int:
    """The moment at which a step's form is shown, in milliseconds, as the form carries it."""
    return int(at.timestamp() * 1000)


def is_unread(step: Step, sent: Mapping[str, str], at: datetime) -> bool:
    """Whether a step that one tap records was recorded sooner than anybody reads it.

    A form that does not say when it was shown is believed, as is one with anything typed in it.
    """
    declared, shown = BY_CODE.get(step.sort), sent.get("shown_at", "")
    if declared is None or not declared.leads_on or not (shown.isascii() and shown.isdigit()):
        return False
    if any(sent.get(name) for name in declared.typed if name not in TAPPED):
        return False
    return 0 <= shown_now(at) - int(shown[:16]) < SOONEST_MS
