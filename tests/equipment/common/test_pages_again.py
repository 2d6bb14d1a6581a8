"""A page sent twice is one act; sent back and changed it is refused, and said so above the form."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.urls import reverse

from tests.api.other_content import on_record
from tests.equipment.line_world import signed_in

pytestmark = pytest.mark.django_db
HOLD = {"scope": "supplier", "value": "Tidewater", "why": "unapproved", "words": "Odd stamps."}
TAG = {"sort": "unserviceable", "why": "defect", "words": "Torn.", "tagged_at": "2026-06-01T10:00"}
OPENING = {
    "document": "QMEL 25-60-1 revision 9",
    "words": "Vest missing.",
    "found_on": "2026-06-01",
    "expires_on": "2026-06-10",
}
FILLING = {"done_on": "2026-06-01", "document": "WO-1"}
#: page, its unit if it is one's, what is sent, what is changed in turn
PAGES = (
    ("stores_holds", "", HOLD, {"value": "Other", "words": "Odd.", "document": "Q-1"}),
    (
        "stores_tag",
        "new",
        TAG,
        {"sort": "unsalvageable", "words": "Cut.", "tagged_at": "2026-06-01T10:01"},
    ),
    ("open_item_new", "", OPENING, {"words": "Two vests missing.", "expires_on": "2026-06-11"}),
    ("stores_stow", "new", {"bin": "R1"}, {"bin": "R2"}),
    (
        "unit_filling",
        "old",
        FILLING,
        {"document": "WO-2", "is_empty": "on", "done_on": "2026-06-02"},
    ),
)


@pytest.fixture
def desk(people):
    people["controller"].roles = ["controller", "stores"]
    people["controller"].save(update_fields=["roles"])
    return signed_in(people["controller"])


def about(line, page, unit, sent):
    """The page's address and what is sent, about what stands there."""
    where = {"where": line.aircraft.registration} if page == "open_item_new" else {}
    args = [getattr(line, unit).pk] if unit else []
    return reverse(f"equipment:{page}", args=args), {**sent, **where}


@pytest.mark.parametrize(("page", "unit", "sent", "changes"), PAGES, ids=[row[0] for row in PAGES])
def test_a_form_sent_twice_is_one_act_and_with_other_content_it_is_refused(
    desk, line, page, unit, sent, changes
):
    address, sent = about(line, page, unit, sent)
    act = str(uuid4())

    first = desk.post(address, {**sent, "act_id": act})
    then = on_record()
    again = desk.post(address, {**sent, "act_id": act})

    assert first.status_code == 302, first.content.decode()
    assert (again.status_code, again["Location"]) == (302, first["Location"])
    for name, value in changes.items():
        answer = desk.post(address, {**sent, name: value, "act_id": act})
        said = answer.content.decode()
        assert answer.status_code == 422, name
        assert "Something else was recorded under this act" in said, name
        assert "This form was sent before with other content" in said, name
        assert act not in said, "sent once more it is an act of its own"
    assert on_record() == then


def test_what_was_changed_and_sent_once_more_is_an_act_of_its_own(desk, line):
    address, sent = about(line, "stores_tag", "new", TAG)
    act = str(uuid4())
    desk.post(address, {**sent, "act_id": act})
    told = desk.post(address, {**sent, "words": "Cut.", "act_id": act})

    new = told.context["form"].act_shown
    answer = desk.post(address, {**sent, "words": "Cut.", "act_id": new})

    assert new != act
    assert answer.status_code == 302
    assert [tag.words for tag in line.new.tags.order_by("pk")] == ["Torn.", "Cut."]
