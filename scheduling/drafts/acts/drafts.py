"""Changes kept in a draft, taken out of it, done all together, or thrown away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import IntegrityError, transaction
from django.urls import reverse

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.fields import number
from fleet.acts.repeats import claim, done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refusal, Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from fleet.offers.ports import Kept
from scheduling.models import Draft, DraftChange

from ..kept import acts_that_may_wait, done_under, reach_written, read_again, written

GONE = "There is no such draft: look it up again."


@transaction.atomic
def keep_change(kept: Kept) -> str:
    """This will keep a change in the draft of its name, a new one if none is open, and do nothing of it. The
    draft's address. Refuses a draft without a name, and a change whose page foretells nothing."""
    ask(kept.by, "keep_drafts")
    name = refuse_blank(kept.draft, "Give the draft a name.", "draft", 60)
    said = {"act": kept.act, "said": written(kept.said), "draft": name}
    rows = DraftChange.objects.filter(act_id=kept.act_id).select_related("draft")
    done = done_before(kept.act_id, "keep_change", said, rows, by=kept.by, at=kept.at)
    if done is not None:
        return reverse("scheduling:draft", args=[done.draft_id])
    if kept.act not in acts_that_may_wait() or not kept.foretold:
        words = "This cannot be kept in a draft: what it changes is not foretold."
        raise Refused("not_for_drafts", words, "draft")
    draft = open_draft(name, kept.by, kept.at)
    DraftChange.objects.create(
        draft=draft,
        act_id=kept.act_id,
        act=kept.act,
        said=written(kept.said),
        reach=reach_written(kept.foretold[0].reach),
        words=kept.words[:300],
        kept_at=kept.at,
        kept_by=kept.by,
    )
    return reverse("scheduling:draft", args=[draft.pk])


def open_draft(name: str, by: User, at: datetime) -> Draft:
    """The open draft of this name, locked, so that nobody takes it meanwhile; made if there is none."""
    rows = Draft.objects.select_for_update(of=("self",)).filter(name=name, ended_at=None)
    found = rows.first()
    if found is not None:
        return found
    try:
        with transaction.atomic():
            return Draft.objects.create(name=name, made_at=at, made_by=by)
    except IntegrityError:  # somebody made it at the same moment
        return rows.get()


@dataclass(frozen=True, slots=True)
class OneDraft:
    """Which draft."""

    draft_id: int = number("The draft", least=1, name="draft")


@dataclass(frozen=True, slots=True)
class OneChange:
    """Which change of a draft."""

    change_id: int = number("The change", least=1, name="change")


@transaction.atomic
def take_draft(*, by: User, draft_id: int, act_id: UUID, at: datetime, today: date) -> Draft:
    """This will do every change of a draft, in their order and all or none, as each would be done by itself.

    Refuses a draft that has ended or is empty, and what any of its changes refuses now, by its place.
    """
    ask(by, "keep_drafts")
    is_now = claim(act_id, "take_draft", {"draft_id": draft_id}, by=by, at=at)
    draft = _one(draft_id)
    if not is_now:
        return draft
    _refuse_ended(draft)
    changes = changes_of(draft)
    if not changes:
        raise Refused(
            "draft_is_empty", "Nothing is kept in this draft: there is nothing to take.", "draft"
        )
    do_changes(changes, by=by, at=at, today=today)
    return _ended(draft, Draft.TAKEN, by, at)


def changes_of(draft: Draft) -> list[DraftChange]:
    """The changes that stand in a draft, in their order."""
    rows = draft.changes.filter(taken_out_at=None).select_related("kept_by")
    return list(rows.order_by("pk"))


def do_changes(changes: Sequence[DraftChange], *, by: User, at: datetime, today: date) -> None:
    """This will do changes one after another. Refuses what one of them refuses, and says which."""
    for place, change in enumerate(changes, start=1):
        act, act_id = acts_that_may_wait()[change.act], done_under(change.act_id)
        try:
            said = read_again(act, change.said, act_id)
            act.do(said, by=by, act_id=act_id, at=at, today=today)
        except Refused as refused:
            raise Refused.all_of(
                [
                    Refusal(each.code, f"Change {place}, {change.words}: {each.message}", None)
                    for each in refused.refusals
                ]
            ) from refused


@transaction.atomic
def throw_draft_away(*, by: User, draft_id: int, act_id: UUID, at: datetime) -> Draft:
    """This will end a draft with nothing of it done; it can be read as it was. Refuses one that has ended."""
    ask(by, "keep_drafts")
    is_now = claim(act_id, "throw_draft_away", {"draft_id": draft_id}, by=by, at=at)
    draft = _one(draft_id)
    if not is_now:
        return draft
    _refuse_ended(draft)
    return _ended(draft, Draft.THROWN_AWAY, by, at)


@transaction.atomic
def take_change_out(*, by: User, change_id: int, act_id: UUID, at: datetime) -> DraftChange:
    """This will take one change out of its draft. Refuses one that is out, or of a draft that has ended."""
    ask(by, "keep_drafts")
    is_now = claim(act_id, "take_change_out", {"change_id": change_id}, by=by, at=at)
    rows = DraftChange.objects.select_for_update(of=("self",)).select_related("draft")
    change = rows.filter(pk=change_id).first()
    if change is None:
        raise Refused("unknown_change", "There is no such change: look it up again.", "change")
    if not is_now:
        return change
    _refuse_ended(_one(change.draft_id))
    if change.taken_out_at is not None:
        raise Refused("change_is_out", "This change was taken out of the draft before.", "change")
    change.taken_out_at, change.taken_out_by = at, by
    change.save(update_fields=["taken_out_at", "taken_out_by"])
    return change


def _one(draft_id: int) -> Draft:
    """The draft, locked: of two people who end it the second is told."""
    found = Draft.objects.select_for_update(of=("self",)).filter(pk=draft_id).first()
    if found is None:
        raise Refused("unknown_draft", GONE, "draft")
    return found


def _refuse_ended(draft: Draft) -> None:
    if draft.ended_at is not None:
        who = draft.ended_by.shown_name if draft.ended_by else ""
        words = f"{who} has {draft.get_ended_how_display()} this draft already."
        if draft.ended_how == Draft.TAKEN:
            words = f"{who} has taken this draft: its changes are done."
        raise Refused("draft_ended", words, "draft")


def _ended(draft: Draft, how: str, by: User, at: datetime) -> Draft:
    draft.ended_how, draft.ended_at, draft.ended_by = how, at, by
    draft.save(update_fields=["ended_how", "ended_at", "ended_by"])
    return draft


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftShown:
    id: int
    name: str
    ended_how: str
    ended_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeShown:
    id: int
    words: str
    taken_out_at: datetime | None


# --- declared ---------------------------------------------------------------------------------

AT = "2027-03-01T10:00:00Z"
TAKE_DRAFT = Act(
    name="take_draft",
    who="keep_drafts",
    does=take_draft,
    said=OneDraft,
    needs_today=True,
    tag="Plan",
    summary="Take a draft",
    description="Does every change of a draft in their order, all or none.",
    address="plan/drafts-taken",
    example={"act_id": EXAMPLE_ID, "draft": 4},
    shows=DraftShown,
    answer={"id": 4, "name": "Without the March slot", "ended_how": "taken", "ended_at": AT},
)
THROW_DRAFT_AWAY = Act(
    name="throw_draft_away",
    who="keep_drafts",
    does=throw_draft_away,
    said=OneDraft,
    tag="Plan",
    summary="Throw a draft away",
    description="Ends a draft; nothing of it is done.",
    address="plan/drafts-thrown-away",
    example={"act_id": EXAMPLE_ID, "draft": 4},
    shows=DraftShown,
    answer={"id": 4, "name": "Without the March slot", "ended_how": "thrown_away", "ended_at": AT},
)
TAKE_CHANGE_OUT = Act(
    name="take_change_out",
    who="keep_drafts",
    does=take_change_out,
    said=OneChange,
    tag="Plan",
    summary="Take a change out of a draft",
    description="Takes one change out of its draft; the others stay.",
    address="plan/draft-changes-taken-out",
    example={"act_id": EXAMPLE_ID, "change": 9},
    shows=ChangeShown,
    answer={"id": 9, "words": "A24 of Q7-VAB, from 3 Mar 2027", "taken_out_at": AT},
)
