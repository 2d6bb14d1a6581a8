"""What the people's pages ask of the apps above. Answered where a person's jobs are known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job in hand: its name to programs (``swap-4``), in words, where its page is, what the person had
    to do with it, since when it is open, and the row of who may do what that whoever goes on with it needs."""

    job: str
    words: str
    address: str
    part: str
    since: datetime
    needs: str


#: Asked with a person, and with the names of jobs that this person took over. The jobs that nobody has
#: ended and that the person opened, worked on or took over, sort by sort, the latest first.
open_jobs_of: Port[[int, Sequence[str]], Sequence[OpenJob]] = Port(
    "which jobs a person has in hand"
)
