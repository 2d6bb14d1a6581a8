"""The drafts there are, and what one of them would move if it were taken now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from fleet.house.desks import may
from fleet.house.refusals import Refused
from fleet.models import User
from scheduling.entries.foretold.moves import Moves, foresee
from scheduling.models import Draft, DraftChange

from .acts.drafts import changes_of, do_changes
from .kept import reach_of

MOST_ENDED = 20


@dataclass(frozen=True, slots=True)
class Compared:
    """A draft beside today's plan: its changes, what they move together, or why they cannot be done now."""

    draft: Draft
    changes: Sequence[DraftChange]
    moves: Sequence[Moves] = field(default=())
    refused: Sequence[str] = field(default=())


def open_names(by: User) -> Sequence[str] | None:
    """The names of the open drafts, for who may keep any; else None."""
    if not may(by, "keep_drafts"):
        return None
    return list(Draft.objects.filter(ended_at=None).order_by("name").values_list("name", flat=True))


def open_drafts() -> list[Draft]:
    return list(Draft.objects.filter(ended_at=None).select_related("made_by").order_by("name"))


def ended_drafts() -> list[Draft]:
    """The last that were taken or thrown away, the latest first."""
    rows = Draft.objects.exclude(ended_at=None).select_related("made_by", "ended_by")
    return list(rows.order_by("-ended_at", "-pk")[:MOST_ENDED])


def compared(draft: Draft, by: User, at: datetime, today: date) -> Compared:
    """What the draft's changes would move together, were they done now by this person: done, reckoned, and
    taken back."""
    changes = changes_of(draft)
    if draft.ended_at is not None or not changes:
        return Compared(draft, changes)
    try:
        moves = foresee(
            lambda: do_changes(changes, by=by, at=at, today=today),
            reach_of([change.reach for change in changes]),
            [today],
            follows=True,
            at=at,
        )
    except Refused as refused:
        return Compared(draft, changes, refused=[each.message for each in refused.refusals])
    return Compared(draft, changes, moves)
