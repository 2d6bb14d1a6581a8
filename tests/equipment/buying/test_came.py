"""Receiving what a request expected notes it there: in parts, by its order's number first, and never what is another's."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.buying.reads import open_by_part
from equipment.models import PurchaseStep
from equipment.stores.acts.facts import TitleSaid
from tests import builders as build
from tests.equipment.stores.world import a_line, received, works

from .test_buying import asked, clerk, noted  # noqa: F401

pytestmark = pytest.mark.django_db


def ordered(clerk, number="PO-220", **more):  # noqa: F811
    request = asked(clerk, **more)
    noted(clerk, request, "ordered", supplier="Tidewater Parts", order_number=number)
    return request


def came(*serials, **more):
    works()
    return received(*(a_line(serial) for serial in serials), **more)


def steps(request):
    rows = PurchaseStep.objects.filter(request=request, sort="received").order_by("pk")
    return [step.quantity for step in rows]


def test_what_comes_closes_the_request_in_parts(clerk):  # noqa: F811
    one = ordered(clerk)

    first = came("A1", "A2", paper=None)
    assert first.bought == ("Of what was asked to be bought, 3 of HS-1, 2 came: 1 still open.",)
    assert received(a_line("A3"), paper=None).bought[0].endswith("all is received.")

    assert steps(one) == [2, 1]
    assert open_by_part(build.day("2027-06-01")) == {}


def test_more_than_was_asked_for_closes_no_more(clerk):  # noqa: F811
    one = ordered(clerk, quantity=1)
    came("A1", "A2", paper=None)

    assert steps(one) == [1]


def test_of_two_requests_the_one_whose_order_the_note_names_comes_first(clerk):  # noqa: F811
    early = ordered(clerk, "PO-1", quantity=1)
    named = ordered(clerk, "PO-2", quantity=1)

    came("A1", paper=None, document="DN 77 for PO-2")

    assert (steps(early), steps(named)) == ([], [1])


@pytest.mark.parametrize("how", ["asked only", "withdrawn", "a loan", "sent again"])
def test_what_nobody_ordered_or_is_anothers_closes_nothing_and_a_repeat_nothing_more(clerk, how):  # noqa: F811
    request = asked(clerk) if how == "asked only" else ordered(clerk)
    more = {"act_id": uuid4(), "paper": None}
    if how == "withdrawn":
        noted(clerk, request, "withdrawn", words="Found one.")
    if how == "a loan":
        more["title"] = TitleSaid("pool_loan", "Skerry Air")
    station = build.a_station()

    came("A1", station=station, by=clerk, **more)
    came("A1", station=station, by=clerk, **more)

    assert steps(request) == ([1] if how == "sent again" else [])
