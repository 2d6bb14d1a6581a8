"""What the pages of acts ask of the app above: where a change that is not done yet is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from fleet.house.ports import Port
from fleet.models import User


@dataclass(frozen=True, slots=True)
class Kept:
    """A change to keep: in the draft of this name, which act with what was said to it, in words, and what the
    page foretold of it."""

    draft: str
    act: str
    said: Any
    words: str
    foretold: Any
    act_id: UUID
    by: User
    at: datetime
    today: date


#: An act: keeps the change and does not do it. The address of its draft.
keep_in_draft: Port[[Kept], str] = Port("who keeps changes in a draft")
#: The names of the drafts that a change may be added to, for a person who may keep any; else None.
open_drafts_for: Port[[User], Sequence[str] | None] = Port("which drafts are open")
