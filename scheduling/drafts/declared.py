"""What people do with drafts: each act once, with the ways to it."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from scheduling.models import Draft, DraftChange

from .acts.drafts import TAKE_CHANGE_OUT, TAKE_DRAFT, THROW_DRAFT_AWAY
from .acts.moves import KEEP_MOVES

TEMPLATE = "scheduling/entries/act.html"


def _about_draft(request: HttpRequest, draft_id: int) -> About:
    draft = get_object_or_404(Draft, pk=draft_id)
    return About(
        given={"draft_id": draft.pk},
        subject=draft.name,
        back=reverse("scheduling:draft", args=[draft.pk]),
        back_label="The draft",
    )


def _about_change(request: HttpRequest, change_id: int) -> About:
    change = get_object_or_404(DraftChange.objects.select_related("draft"), pk=change_id)
    return About(
        given={"change_id": change.pk},
        subject=change.words,
        back=reverse("scheduling:draft", args=[change.draft_id]),
        back_label="The draft",
    )


TAKEN = Page(
    address="plan/drafts/<int:draft_id>/take/",
    name="draft_take",
    heading="Take the draft",
    lead="Every change of it is done, in their order, all or none.",
    button="Take it",
    done="The draft is taken: its changes are done.",
    about=_about_draft,
    known=("draft",),
    template=TEMPLATE,
)
THROWN_AWAY = Page(
    address="plan/drafts/<int:draft_id>/throw-away/",
    name="draft_throw_away",
    heading="Throw the draft away",
    lead="Nothing of it is done. It can still be read.",
    button="Throw it away",
    done="The draft is thrown away: nothing of it is done.",
    about=_about_draft,
    known=("draft",),
    template=TEMPLATE,
)
TAKEN_OUT = Page(
    address="plan/draft-changes/<int:change_id>/take-out/",
    name="draft_take_out",
    heading="Take a change out",
    button="Take it out",
    done="The change is out of the draft.",
    about=_about_change,
    known=("change",),
    template=TEMPLATE,
)

OFFERS: tuple[Offer, ...] = (
    Offer(TAKE_DRAFT, Api(sent="DraftTakenSent"), TAKEN),
    Offer(THROW_DRAFT_AWAY, Api(sent="DraftThrownAwaySent"), THROWN_AWAY),
    Offer(KEEP_MOVES, Api(sent="MovesKeptSent")),
    Offer(TAKE_CHANGE_OUT, Api(sent="DraftChangeTakenOutSent"), TAKEN_OUT),
)
