"""A view of the due list is kept under a name, and taken away again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import parse_qsl, urlencode
from uuid import UUID

from django.db import transaction

from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import fields_of, number, text, yes_no
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import User
from scheduling.due.lists.filters import DueFilters
from scheduling.models import DueView

#: What the address of the list says beside its filters. The day is left out: a view is of today.
BESIDE = frozenset({"down", "columns"})
#: So many views of one person are kept at a time.
MOST = 60


@dataclass(frozen=True, slots=True)
class NewView:
    """A name for the list as it is narrowed, ordered and shown."""

    name: str = text("Name", 40, needed="Give it a name.", hint="Such as Slides at Northgate.")
    query: str = text(
        "What stands behind the list's address",
        500,
        default="",
        help="Behind the ? of the list's address: station=QVMR&work=OVH. The day is left out.",
    )
    is_shared: bool = yes_no("For everybody", help="Everybody is shown it; else its keeper alone.")


@transaction.atomic
def keep_view(*, by: User, view: NewView, act_id: UUID, at: datetime) -> DueView:
    """This will keep a view of the due list; one that its keeper had under that name ends.

    Refuses a blank name, a filter that there is not (``unknown_filter``), another's shared view of that name
    (``name_taken``) and more than so many (``too_many``).
    """
    ask(by, "keep_views")
    rows = DueView.objects.filter(act_id=act_id)
    if done := done_before(act_id, "keep_view", {"view": view}, rows, by=by, at=at):
        return done
    name = " ".join(refuse_blank(view.name, "Give it a name.", "name", 40).split())
    query = _query_of(view.query)
    User.objects.select_for_update().get(pk=by.pk)  # of two tabs one waits
    open_now = DueView.objects.filter(ended_at=None)
    shared = open_now.filter(name__iexact=name, is_shared=True).exclude(kept_by=by)
    if view.is_shared and (other := shared.select_related("kept_by").first()):
        who = other.kept_by.shown_name
        words = f"{who} shares a view of this name. Take another name."
        raise Refused("name_taken", words, "name")
    mine = open_now.filter(kept_by=by)
    mine.filter(name__iexact=name).update(ended_at=at, ended_by=by)
    if mine.count() >= MOST:
        words = f"{MOST} views are kept. Take one away first."
        raise Refused("too_many", words, "name")
    return DueView.objects.create(
        name=name, query=query, is_shared=view.is_shared, act_id=act_id, kept_at=at, kept_by=by
    )


def _query_of(text: str) -> str:
    """What is kept of an address: its filters and order, each once, without the day and the place in the list."""
    pairs = [
        pair for pair in parse_qsl(text.lstrip("?")) if pair[0] not in {"as_of", "mark", "page"}
    ]
    known = {each.name for each in fields_of(DueFilters)} | BESIDE
    unknown = sorted({name for name, _ in pairs} - known)
    if unknown:
        names = ", ".join(f"“{name[:40]}”" for name in unknown[:5])
        raise Refused("unknown_filter", f"The due list has no filter {names}.", "query")
    kept = urlencode(pairs)
    if len(kept) > 500:
        raise Refused("too_long", "No longer than 500 characters, please.", "query")
    return kept


@dataclass(frozen=True, slots=True)
class ViewMeant:
    """Which view."""

    view_id: int = number("The view", least=1, name="view")


@transaction.atomic
def end_view(*, by: User, view_id: int, act_id: UUID, at: datetime) -> DueView:
    """This will take a view away. Refuses one that is no more, and another's (``not_yours``)."""
    ask(by, "keep_views")
    rows = DueView.objects.filter(pk=view_id, ended_at__isnull=False, ended_by=by)
    if done := done_before(act_id, "end_view", {"view_id": view_id}, rows, by=by, at=at):
        return done
    view = DueView.objects.select_for_update().filter(pk=view_id, ended_at=None).first()
    if view is None or (view.kept_by_id != by.pk and not view.is_shared):
        raise Refused("unknown_view", "There is no such view, or no more.", "view")
    if view.kept_by_id != by.pk:
        words = f"{view.kept_by.shown_name} shares this view, and alone takes it away: keep one of your own."
        raise Refused("not_yours", words, "view")
    view.ended_at, view.ended_by = at, by
    view.save(update_fields=["ended_at", "ended_by"])
    return view


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewShown:
    """A view of the due list."""

    id: int
    name: str
    query: str
    is_shared: bool
    kept_by: str = shown("kept_by.username")
    kept_at: datetime


# --- declared ---------------------------------------------------------------------------------

_SHOWN = {
    "id": 4,
    "name": "Slides at Northgate",
    "query": "station=QVMR&work=OVH",
    "is_shared": True,
    "kept_by": "i.tanquary",
    "kept_at": "2027-03-01T10:00:00Z",
}
KEEP_VIEW = Act(
    name="keep_view",
    who="keep_views",
    does=keep_view,
    said=NewView,
    as_="view",
    tag="Due items",
    summary="Keep a view of the due list",
    description="Keeps the list's filters, order and columns under a name, for oneself or for everybody.",
    address="due-views",
    example={
        "act_id": EXAMPLE_ID,
        "name": "Slides at Northgate",
        "query": "station=QVMR&work=OVH",
        "is_shared": True,
    },
    shows=ViewShown,
    answer=_SHOWN,
)
END_VIEW = Act(
    name="end_view",
    who="keep_views",
    does=end_view,
    said=ViewMeant,
    tag="Due items",
    summary="Take a view of the due list away",
    description="Takes one's own view away; those who were shown it are shown it no more.",
    address="due-views/ended",
    example={"act_id": EXAMPLE_ID, "view": 4},
    shows=ViewShown,
    answer=_SHOWN,
)
