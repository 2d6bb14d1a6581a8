"""What people do with views of the due list: each act once, with the ways to it."""

from __future__ import annotations

from urllib.parse import parse_qsl, urlencode

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from fleet.doors.door import Door
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from fleet.models import User
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page
from scheduling.models import DueView

from .acts.views import END_VIEW, KEEP_VIEW
from .reads import views_for


class DueViewShown(RowShown):
    of = DueView
    shows = "id name query is_shared kept_by.username kept_at"
    told = {"query": "What stands behind the ? of the list's address."}


class DueViews(Door):
    get = listed(
        "list_due_views",
        tag="Due items",
        summary="Views of the due list",
        description="Those that are shared with everybody, by name.",
        shows=DueViewShown,
        example=KEEP_VIEW.answer,
        rows=lambda: DueView.objects.filter(ended_at=None, is_shared=True).select_related(
            "kept_by"
        ),
        order=("name", "pk"),
    )


def _person(request: HttpRequest) -> User:
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def _about_new(request: HttpRequest) -> About:
    """The list as it was when one came here: its address stands in the query."""
    pairs = [(name, value) for name, value in parse_qsl(request.GET.urlencode()) if name != "as_of"]
    words = ", ".join(
        f"{name.replace('_', ' ')} {value}" for name, value in pairs if name != "columns"
    )
    query = urlencode(pairs)
    return About(
        given={"query": query},
        subject=f"Due list: {words}" if words else "Due list: the whole fleet",
        back=f"{reverse('scheduling:due_list')}?{query}",
        back_label="Back to the list",
    )


def _about_view(request: HttpRequest, view_id: int) -> About:
    view = get_object_or_404(views_for(_person(request)), pk=view_id)
    return About(
        given={"view_id": view.pk},
        subject=view.name,
        back=reverse("scheduling:due_list"),
        back_label="Back to the list",
    )


def _kept(done: Done) -> str:
    for_whom = "for everybody" if done.made.is_shared else "for you"
    return f"“{done.made.name}” is saved {for_whom}, under Views."


KEPT = Page(
    address="due/views/new/",
    name="due_view_new",
    heading="Save this view",
    lead="The filters, the order and the columns of the list as you saw it. It is of today on any day.",
    button="Save",
    done=_kept,
    about=_about_new,
    known=("query",),
    template="scheduling/entries/act.html",
)
TAKEN_AWAY = Page(
    address="due/views/<int:view_id>/take-away/",
    name="due_view_end",
    heading="Take the view away",
    lead="Nothing of the list changes. Who was shown it is shown it no more.",
    button="Take it away",
    done=lambda done: f"“{done.made.name}” is taken away.",
    about=_about_view,
    known=("view",),
    template="scheduling/entries/act.html",
)

OFFERS: tuple[Offer, ...] = (
    Offer(KEEP_VIEW, Api(sent="DueViewSent", base=DueViews), KEPT),
    Offer(END_VIEW, Api(sent="DueViewEndedSent"), TAKEN_AWAY),
)
