"""What people do in a stock-take: each act once, with the ways to it."""

from __future__ import annotations

from django.urls import reverse

from equipment.stocktaking.acts.counts import BEGIN_STOCK_TAKE, COUNT_SCAN, END_STOCK_TAKE
from equipment.stocktaking.acts.differences import SETTLE_DIFFERENCE
from equipment.stocktaking.doors import Counts
from equipment.stocktaking.pages import about_count, about_counts, about_difference, line_words
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page

BEGIN = Page(
    address="stores/counts/",
    name="stores_counts",
    heading="Stock-takes",
    button="Begin to count",
    done="The stock-take has begun: scan what lies there.",
    about=about_counts,
    then=lambda done: reverse("equipment:stores_count", args=[done.made.pk]),
    template="equipment/stocktaking/counts.html",
)
SCAN = Page(
    address="stores/counts/<int:take_id>/",
    name="stores_count",
    heading="Stock-take",
    button="Count it",
    done=line_words,
    about=about_count,
    known=("count",),
    template="equipment/stocktaking/count.html",
)
SETTLE = Page(
    address="stores/counts/<int:take_id>/settle/",
    name="stores_count_settle",
    heading="Settle a difference",
    button="Settle it",
    done="The difference is settled.",
    about=about_difference,
    known=("count", "unit", "line"),
)
END = Page(
    address="stores/counts/<int:take_id>/end/",
    name="stores_count_end",
    heading="End the stock-take",
    button="End it",
    done="The stock-take has ended.",
    about=about_count,
    known=("count",),
)

OFFERS = (
    Offer(BEGIN_STOCK_TAKE, Api(sent="CountBegun", base=Counts), BEGIN),
    Offer(COUNT_SCAN, Api(sent="CountLineSent"), SCAN),
    Offer(SETTLE_DIFFERENCE, Api(sent="CountSettlementSent"), SETTLE),
    Offer(END_STOCK_TAKE, Api(sent="CountEndSent"), END),
)
