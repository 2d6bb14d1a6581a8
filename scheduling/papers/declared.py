"""A long list asked for on paper: the act, with the page that asks for it."""

from __future__ import annotations

from django.http import HttpRequest
from django.urls import reverse

from equipment.common.pages.person import person
from fleet.offers.offer import Offer
from fleet.offers.page import About, Done, Page, Shown
from scheduling.due.pages.pages import LONG_ROWS
from scheduling.models import PaperAsked

from .acts.asking import ASK_FOR_PAPER
from .kinds import MOST_ROWS


def _about(request: HttpRequest) -> About:
    sent = request.POST.get("query", "") if request.method == "POST" else ""
    query = (sent or request.META.get("QUERY_STRING", ""))[:2000]
    live = f"{reverse('scheduling:due_list')}?{query}" if query else reverse("scheduling:due_list")

    def shown() -> Shown:
        mine = PaperAsked.objects.filter(asked_by=person(request)).defer("content")
        return {
            "query": query,
            "long": LONG_ROWS,
            "most": MOST_ROWS,
            "mine": list(mine.order_by("-pk")[:10]),
        }

    return About(
        given={"query": query, "address": request.build_absolute_uri(live)[:2200]},
        back=live,
        back_label="Due list",
        shown=shown,
    )


def _then(done: Done) -> str:
    return reverse("scheduling:paper", args=[done.made.pk])


ASK = Page(
    address="due/paper/",
    name="paper_ask",
    heading="A long list on paper",
    button="Make it",
    done="It is asked for.",
    known=("query", "address"),
    about=_about,
    then=_then,
    template="scheduling/papers/ask.html",
)
OFFERS: tuple[Offer, ...] = (Offer(ASK_FOR_PAPER, None, ASK),)
