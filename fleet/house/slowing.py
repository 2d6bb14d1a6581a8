"""How long whoever guesses waits: longer after each try that failed."""

from __future__ import annotations

from datetime import timedelta

#: Failures older than this count no more.
WITHIN = timedelta(minutes=15)
LONGEST = timedelta(minutes=5)


def wait_after(failed: int, free: int) -> timedelta:
    """The wait after so many failures of which ``free`` cost nothing: 1 s, 2 s, 4 s … 5 min."""
    beyond = failed - free
    if beyond < 0:
        return timedelta(0)
    return min(timedelta(seconds=2 ** min(beyond, 20)), LONGEST)
