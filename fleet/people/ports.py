"""What the people's pages ask of the apps above. Answered where a person's jobs are known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fleet.house.ports import Port


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job in hand: in words, where its page is, what the person had to do with it."""

    words: str
    address: str
    part: str


#: Asked with a person. The jobs that the person opened or worked on and that nobody has ended, the
#: latest first.
open_jobs_of: Port[[int], Sequence[OpenJob]] = Port("which jobs a person has in hand")
