"""What is repeated while an item is open falls due by its own clock, until the item is closed."""

from __future__ import annotations

import json
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from equipment.findings.acts.extensions import extend_item
from equipment.findings.acts.open_items import close_item, open_item
from equipment.findings.acts.openings import Opening, RepeatDone
from equipment.findings.acts.repeated import record_repeat_action
from equipment.models import RepeatActionDone
from fleet.house.pages import end_of, today
from fleet.house.refusals import Refused
from fleet.utilisation.acts.readings import NewReading, record_readings
from scheduling.answers.grounding import what_grounds
from scheduling.due.due_list import due_page, due_rows, explanation
from scheduling.due.lists.filters import DueFilters
from tests import builders as build
from tests.scheduling.rules import DAY

pytestmark = pytest.mark.django_db
AT = build.instant("2027-06-01T12:00Z")
FOUND = DAY - timedelta(days=6)


@pytest.fixture
def craft():
    return build.an_aircraft()


def opened(craft, found=FOUND, **more):
    said = Opening(
        "MEL 25-62-01 rev 12",
        "Light dim",
        found,
        found + timedelta(days=90),
        "D",
        **({"repeat_actions": "Check its voltage"} | more),
    )
    by = build.a_person("controller")
    return open_item(by=by, opening=said, act_id=uuid4(), at=AT, aircraft_id=craft.pk)


def done(item, on, **more):
    said = RepeatDone(
        **(
            {"open_item_id": item.pk, "done_on": on, "who": "D. Holm", "authorisation": "QA-117"}
            | {"document": "Log page 4"}
            | more
        )
    )
    return record_repeat_action(by=build.a_person("technician"), done=said, act_id=uuid4(), at=AT)


def repeats(as_of=DAY):
    found = due_rows(filters=DueFilters(), as_of=as_of)
    return [row for row in found if row.work == "Repeat action"]


def read(craft, on, hours):
    row = NewReading(
        aircraft_id=craft.pk,
        measure_id=build.the_hours().pk,
        total=60 * hours,
        read_at=end_of(on),
        is_confirmed=True,
        act_id=uuid4(),
    )
    record_readings(by=build.a_person("controller"), rows=[row], now=AT)


def test_it_falls_due_from_the_day_it_was_found_then_from_each_day_it_was_done(craft):
    item = opened(craft, repeat_days=10)

    [first] = repeats()
    done(item, DAY - timedelta(days=1))
    [then] = repeats()

    assert (first.due_on, first.left_days) == (FOUND + timedelta(days=10), 4)
    assert (then.due_on, then.left_days) == (DAY + timedelta(days=9), 9)
    assert then.notes == ("category D", "Check its voltage", "every 10 days")


def test_past_its_day_it_is_overdue_and_grounds_until_it_is_done(craft):
    item = opened(craft, repeat_days=3)

    [late] = repeats()
    page = due_page(filters=DueFilters(), as_of=DAY)

    assert (late.band, late.left_days, late.grounds_aircraft) == ("overdue", -3, True)
    assert (page.counts["overdue"], page.grounding) == (1, 1)
    [grounding] = what_grounds([craft.pk], DAY)[craft.pk]
    assert "Check its voltage" in grounding.sentence
    done(item, DAY)
    assert what_grounds([craft.pk], DAY) == {}


def test_by_hours_it_falls_due_where_the_aircraft_will_have_flown_them(craft):
    for days, hours in ((-26, 900), (-6, 1000), (0, 1030)):
        read(craft, DAY + timedelta(days=days), hours)
    opened(craft, repeat_hours=50)

    [row] = repeats()

    # 130 h in 26 days are 5 h a day; of 1000 + 50 h there are 20 left: 4 days.
    assert (row.due_at_minutes, row.left_minutes) == (1050 * 60, 20 * 60)
    assert (row.due_on, row.is_projected) == (DAY + timedelta(days=4), True)


def test_of_days_and_hours_the_earlier_counts(craft):
    for days, hours in ((-26, 900), (-6, 1000), (0, 1030)):
        read(craft, DAY + timedelta(days=days), hours)
    opened(craft, repeat_hours=50, repeat_days=8)

    [row] = repeats()

    assert (row.due_on, row.is_projected) == (FOUND + timedelta(days=8), False)


def test_hours_flown_past_it_are_overdue(craft):
    for days, hours in ((-26, 900), (-6, 1000), (0, 1030)):
        read(craft, DAY + timedelta(days=days), hours)
    opened(craft, repeat_hours=29)

    [row] = repeats()

    assert (row.band, row.left_minutes) == ("overdue", -60)


def test_without_readings_nobody_knows_and_the_worst_day_is_by_the_calendar(craft):
    opened(craft, repeat_hours=50, repeat_days=20)

    [row] = repeats()

    assert (row.band, row.due_on) == ("no-basis", None)
    assert row.worst_on == FOUND + timedelta(days=20)
    assert row.missing


def test_it_ends_with_its_item(craft):
    item = opened(craft, repeat_days=10)
    close_item(
        by=build.a_person("controller"),
        open_item_id=item.pk,
        words="Changed.",
        closed_on=DAY,
        act_id=uuid4(),
        at=AT,
    )

    assert repeats() == []
    assert len(repeats(DAY - timedelta(days=1))) == 1
    with pytest.raises(Refused) as refused:
        done(item, DAY + timedelta(days=1))
    assert "closed_already" in {each.code for each in refused.value.refusals}


def test_it_goes_on_through_an_extension(craft):
    item = opened(craft, repeat_days=10)
    done(item, DAY - timedelta(days=2))
    extend_item(
        by=build.a_person("controller"),
        open_item_id=item.pk,
        expires_on=item.expires_on + timedelta(days=30),
        approval="EXT-7",
        act_id=uuid4(),
        at=AT,
    )

    [row] = repeats()

    assert row.due_on == DAY + timedelta(days=8)


def test_another_day_counts_what_was_done_by_then(craft):
    item = opened(craft, repeat_days=10)
    done(item, DAY)

    assert [row.due_on for row in repeats(DAY - timedelta(days=1))] == [FOUND + timedelta(days=10)]


@pytest.mark.parametrize(
    ("wrong", "code", "field"),
    [
        ({"who": " "}, "required", "who"),
        ({"authorisation": ""}, "required", "authorisation"),
        ({"document": ""}, "required", "document"),
        ({"done_on": FOUND - timedelta(days=1)}, "wrong_day", "done_on"),
        ({"done_on": DAY + timedelta(days=3)}, "future_date", "done_on"),
    ],
    ids=str,
)
def test_what_is_lacking_is_said_at_its_field(craft, wrong, code, field):
    item = opened(craft, repeat_days=3)

    with pytest.raises(Refused) as refused:
        done(item, **({"on": DAY} | {"on" if k == "done_on" else k: v for k, v in wrong.items()}))

    assert field in {each.field for each in refused.value.refusals}
    assert not RepeatActionDone.objects.exists()


def test_an_interval_without_an_action_is_refused(craft):
    with pytest.raises(Refused) as refused:
        opened(craft, repeat_days=3, repeat_actions=" ")

    assert [(r.code, r.field) for r in refused.value.refusals] == [
        ("repeat_action_missing", "repeat_actions")
    ]


def signed_in(*roles):
    client = Client()
    client.force_login(build.a_person(*roles))
    return client


@pytest.fixture
def here(craft):
    """Found six days ago by the clock of pages and doors."""
    item = opened(craft, found=today() - timedelta(days=6), repeat_days=3)
    said = {
        "done_on": str(today() - timedelta(days=2)),
        "who": "D. Holm",
        "authorisation": "QA-117",
        "document": "Log page 4",
    }
    return item, said


def test_the_page_records_it_and_the_lists_lead_there(here):
    item, said = here
    client = signed_in("technician")
    address = reverse("equipment:open_item_repeat", args=[item.pk])
    listed = client.get(reverse("equipment:open_items")).content.decode()
    form = client.get(address)

    answer = client.post(address, said | {"act_id": str(uuid4())}, follow=True)

    assert address in listed
    assert "every 3 days" in listed
    assert "Check its voltage, every 3 days" in form.content.decode()
    assert answer.status_code == 200
    [done] = item.actions.all()
    assert (done.who, str(done.done_on)) == ("D. Holm", said["done_on"])


def test_the_api_records_and_lists_it(here):
    item, said = here
    address = f"/api/v1/open-items/{item.pk}/repeat-actions"
    client = signed_in("technician")
    sent = json.dumps(said | {"act_id": str(uuid4())})

    made = client.post(address, sent, content_type="application/json")
    again = client.post(address, sent, content_type="application/json")
    listed = client.get(address).json()

    assert (made.status_code, again.json()["id"]) == (201, made.json()["id"])
    assert [row["who"] for row in listed["results"]] == ["D. Holm"]


def test_a_clerk_may_not_record_it(here):
    item, said = here
    address = f"/api/v1/open-items/{item.pk}/repeat-actions"
    sent = json.dumps(said | {"act_id": str(uuid4())})

    answer = signed_in("stores").post(address, sent, content_type="application/json")

    assert answer.status_code == 403
    assert not item.actions.exists()


def test_it_is_explained(craft):
    item = opened(craft, repeat_days=10)
    done(item, DAY)
    [row] = repeats()

    steps = explanation(item_id=row.id, as_of=DAY).steps

    assert any("every 10 days" in step for step in steps)
    assert any("last done on 1 Jun 2027" in step for step in steps)
    assert any("11 Jun 2027" in step for step in steps)
