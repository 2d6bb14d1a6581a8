"""Views of the due list: kept under a name, one's own or everybody's, and taken away by who kept them."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from fleet.house.refusals import Refused
from scheduling.due.views.acts import views as acts
from scheduling.due.views.acts.views import NewView, end_view, keep_view
from scheduling.due.views.reads import views_for
from scheduling.models import DueView
from tests import builders as build
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
AT = datetime(2026, 11, 30, 9, tzinfo=UTC)


def kept(by, name="Morning", query="band=overdue", *, is_shared=False) -> DueView:
    view = NewView(name, query, is_shared)
    return keep_view(by=by, view=view, act_id=uuid4(), at=AT)


def test_a_view_is_ones_own_unless_it_is_shared():
    ishbel, corwin = build.a_person("controller"), build.a_person("stores")
    own, shared = kept(ishbel), kept(ishbel, "Slides", "work=OVH", is_shared=True)

    assert list(views_for(ishbel)) == [own, shared]
    assert list(views_for(corwin)) == [shared]


def test_the_same_name_again_takes_the_place_of_the_one_before():
    person = build.a_person("controller")
    kept(person)

    kept(person, "MORNING", "band=no-basis&as_of=2026-01-01&mark=x")

    assert [(view.name, view.query) for view in views_for(person)] == [("MORNING", "band=no-basis")]
    assert DueView.objects.count() == 2


@pytest.mark.parametrize(
    ("name", "query", "code", "field"),
    [
        ("  ", "", "missing", "name"),
        ("x" * 41, "", "too_long", "name"),
        ("A\x00", "", "unreadable", "name"),
        ("A", "text=4106", "unknown_filter", "query"),
        ("A", f"part_number={'x' * 600}", "too_long", "query"),
    ],
)
def test_what_is_no_view_is_refused_at_its_field(name, query, code, field):
    with pytest.raises(Refused) as refused:
        kept(build.a_person("controller"), name, query)

    assert [(each.code, each.field) for each in refused.value.refusals] == [(code, field)]
    assert not DueView.objects.exists()


def test_two_people_cannot_share_views_of_one_name():
    kept(build.a_person("controller"), "Slides", is_shared=True)

    with pytest.raises(Refused, match="shares a view of this name"):
        kept(build.a_person("stores"), "slides", is_shared=True)


def test_so_many_are_kept_and_no_more(monkeypatch):
    monkeypatch.setattr(acts, "MOST", 2)
    person = build.a_person("controller")
    kept(person, "A")
    kept(person, "B")

    with pytest.raises(Refused, match="Take one away first"):
        kept(person, "C")


def test_only_who_kept_it_takes_it_away():
    ishbel, corwin = build.a_person("controller"), build.a_person("stores")
    own, shared = kept(ishbel), kept(ishbel, "Slides", is_shared=True)

    for view, code in ((own, "unknown_view"), (shared, "not_yours")):
        with pytest.raises(Refused) as refused:
            end_view(by=corwin, view_id=view.pk, act_id=uuid4(), at=AT)
        assert refused.value.code == code
    end_view(by=ishbel, view_id=shared.pk, act_id=uuid4(), at=AT)

    assert list(views_for(corwin)) == []


def test_it_is_kept_from_the_list_and_opened_from_it():
    person = build.a_person("controller")
    client = signed_in(person)
    address = f"{reverse('scheduling:due_view_new')}?band=overdue&columns=band.work.due"

    asked = client.get(address).content.decode()
    done = client.post(
        address, {"act_id": str(uuid4()), "name": "Éric’s <late>", "is_shared": "on"}
    )
    page = client.get(reverse("scheduling:due_list")).content.decode()

    assert "Due list: band overdue" in asked
    assert done.status_code == 302
    assert DueView.objects.get().query == "band=overdue&columns=band.work.due"
    assert "Éric’s &lt;late&gt;" in page
    assert "/due/?band=overdue&amp;columns=band.work.due" in page
    assert client.get("/due/?band=overdue&columns=band.work.due").status_code == 200


def test_an_auditor_reads_views_and_keeps_none():
    auditor = build.a_person("auditor")
    kept(build.a_person("controller"), "Slides", is_shared=True)

    page = signed_in(auditor).get(reverse("scheduling:due_list")).content.decode()

    assert "Slides" in page and "Save this view" not in page
    with pytest.raises(Refused):
        kept(auditor)


@pytest.mark.parametrize(
    "address",
    ["/due/?text=4106", "/stores/stock/?text=1", "/plan/?band=overdue", "/due/compare/?x=1"],
)
def test_a_filter_that_there_is_not_is_refused_in_words(address):
    page = signed_in(build.a_person("controller")).get(address).content.decode()

    assert "There is no filter “" in page


def test_an_export_by_a_filter_that_there_is_not_is_refused():
    answer = signed_in(build.a_person("controller")).get("/due/export/csv/?text=4106")

    assert answer.status_code == 400
    assert "There is no filter “text”" in answer.content.decode()
