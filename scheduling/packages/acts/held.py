"""What every act about a package begins with: its check, held, so that of two people one waits."""

from __future__ import annotations

from fleet.house.refusals import Refused
from fleet.models import Check
from fleet.words.said import moment_words
from scheduling.models import CheckClosed

from ..reads.handed import Handed, handed_of


def lock_check(check_id: int) -> Check:
    """This will hold a check until the act ends; refuses ``unknown_check``."""
    rows = Check.objects.select_for_update(of=("self",)).select_related("aircraft", "station")
    found = rows.filter(pk=check_id).first()
    if found is None:
        raise Refused("unknown_check", "There is no such check: look it up again.", "check")
    return found


def refuse_closed(check: Check) -> None:
    """This will refuse ``check_closed`` of a check that was closed, naming by whom and when."""
    closed = CheckClosed.objects.filter(check_planned=check).select_related("closed_by").first()
    if closed is not None:
        raise Refused(
            "check_closed",
            f"{closed.closed_by.shown_name} closed {check.name} on {moment_words(closed.closed_at)}: nothing"
            " is added to it any more.",
            "check",
        )


def handed(check: Check) -> Handed:
    """The package as it was handed over; refuses ``not_handed_over``."""
    found = handed_of(check)
    if found is None:
        words = "Its package was not handed to the hangar yet: the controller does that first."
        raise Refused("not_handed_over", words, "check")
    return found
