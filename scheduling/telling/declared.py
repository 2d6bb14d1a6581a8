"""What people choose of what they are told: each act once, with the ways to it."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from equipment.common.pages.person import person
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.words.said import count_words
from scheduling.models import Mail, MailChoice

from .acts.choices import CHOOSE_MAIL
from .sorts import CODES


def _about(request: HttpRequest) -> About:
    by = person(request)
    now = MailChoice.objects.filter(user=by).first()
    starts = (
        {
            "address": now.address,
            "digest": now.digest,
            "at_once": now.at_once,
            "by_mail": [code for code in CODES if code not in now.not_mailed],
            "here": [code for code in CODES if code not in now.not_shown],
        }
        if now
        else {"address": by.email, "by_mail": list(CODES), "here": list(CODES)}
    )
    return About(
        starts=starts,
        lead=_lead(by.pk),
        back=reverse("fleet:notices"),
        back_label="Notices",
    )


def _lead(user_id: int) -> str:
    """Whether mail can be sent at all, and what waits."""
    if not settings.MAIL_HOST:
        return "This house knows no mail server yet (MAIL_HOST): what is chosen holds from the day it does."
    waiting = Mail.objects.filter(user=user_id, sent_at=None).order_by("pk")
    count = waiting.count()
    if not count:
        return "What is told here is told by mail too, as you choose. Nothing waits to be sent."
    fault = waiting.exclude(fault="").values_list("fault", flat=True).first()
    why = f" The server said: {fault}." if fault else ""
    return f"{count_words(count)} to be sent to you.{why} It is tried again by itself."


CHOICE = Page(
    address="your-mail/",
    name="your_mail",
    heading="What you are told, here and by mail",
    button="Save",
    done="It is kept.",
    about=_about,
    template="scheduling/entries/act.html",
)
OFFERS: tuple[Offer, ...] = (Offer(CHOOSE_MAIL, None, CHOICE),)
