"""A limit built as a sentence on a page: what it moves is shown first, then it is saved."""

from __future__ import annotations

import re
from datetime import date
from uuid import uuid4

import pytest
from django.urls import reverse

from fleet.house.pages import today
from scheduling.models import DueItem, Limit, WorkDone
from tests import builders as build
from tests.scheduling.rules import a_rule, done, every, follows, the_programme, the_work

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client):
    client.force_login(a_controller(), "django.contrib.auth.backends.ModelBackend")
    return client


def a_controller():
    return build.a_person("controller")


def years_ago(years: int) -> date:
    day = today().replace(day=1)
    return day.replace(year=day.year - years)


@pytest.fixture
def bottle():
    """A bottle in service whose last test was four years ago; tests are due every 60 months."""
    kind = build.a_kind("BOTTLE")
    aircraft = follows(build.an_aircraft(of_type=build.an_aircraft_type("BTL", kind=kind)))
    unit = build.a_unit(build.a_part(kind=kind), serial_number="B4106")
    build.installed(unit, build.at_position(aircraft, "BTL"), "2020-01-05")
    a_rule("BTL-HYD", every(60), work="HYDRO", kind=kind)
    done("HYDRO", years_ago(4).isoformat(), unit_id=unit.pk)
    return unit


def typed(**more):
    return {
        "programme": the_programme().code,
        "limit": "BTL-HYD",
        "revision": "2",
        "title": "Hydrostatic test",
        "subject": "unit",
        "kind": "BOTTLE",
        "work": "HYDRO",
        "document": "CMM 20",
        "document_revision": "9",
        "when": "first",
        "reason": "Five years was a typing mistake.",
        "clock1-measure": "months",
        "clock1-amount": "36",
        "clock1-counts_from": "last_done",
        "clock1-first_from": "manufacture",
        **more,
    }


def mark_of(page: str) -> str:
    found = re.search(r'name="shown" value="([0-9a-f]+)"', page)
    assert found, page
    return found[1]


def test_a_revision_shows_what_it_moves_before_it_is_saved(desk, bottle):
    address = reverse("scheduling:limit_revise", args=[Limit.objects.get(code="BTL-HYD").pk])
    said = typed()

    shown = desk.post(address, said).content.decode()

    assert "1 moves" in shown
    assert "1 of them is overdue then" in shown
    assert "730 days earlier" in shown or "731 days earlier" in shown
    assert "One worked with a pencil" in shown and "36 months" in shown
    assert Limit.objects.get(code="BTL-HYD").revision == "1"

    saved = desk.post(address, said | {"shown": mark_of(shown), "save": "1"})

    assert saved.status_code == 302
    assert set(Limit.objects.values_list("revision", flat=True)) == {"1", "2"}
    page = desk.get(saved.url).content.decode()
    assert "every 36 months from the last one, first from manufacture" in page
    assert "every 60 months from the last one" in page
    assert "Five years was a typing mistake." in page


def test_a_revision_is_kept_in_a_draft_once_and_done_when_the_draft_is_taken(desk, bottle):
    address = reverse("scheduling:limit_revise", args=[Limit.objects.get(code="BTL-HYD").pk])
    said = typed(draft="Shorter", keep="1")

    kept = [desk.post(address, said) for _ in (1, 2)]

    assert [answer.status_code for answer in kept] == [302, 302]
    assert Limit.objects.count() == 1
    page = desk.get(kept[0].url).content.decode()
    assert "1 change" in page and "Limit BTL-HYD of" in page
    assert "1 of them is overdue then" in page
    desk.post(f"{kept[0].url}take/", {"act_id": str(uuid4())})
    assert set(Limit.objects.values_list("revision", flat=True)) == {"1", "2"}


def test_what_was_typed_otherwise_since_it_was_shown_is_shown_again_and_not_saved(desk, bottle):
    address = reverse("scheduling:limit_revise", args=[Limit.objects.get(code="BTL-HYD").pk])
    shown = mark_of(desk.post(address, typed()).content.decode())

    again = desk.post(address, typed(**{"clock1-amount": "48"}, shown=shown, save="1"))

    assert again.status_code == 200
    assert "365 days earlier" in again.content.decode() or "366 days" in again.content.decode()
    assert Limit.objects.count() == 1


def test_a_revision_from_a_later_day_is_shown_for_that_day_too(desk, bottle):
    first = today().replace(year=today().year + 1, day=1)
    address = reverse("scheduling:limit_revise", args=[Limit.objects.get(code="BTL-HYD").pk])

    shown = desk.post(address, typed(from_on=first.isoformat())).content.decode()

    assert "The same on" in shown
    assert "730 days earlier" in shown or "731 days earlier" in shown


def test_the_form_of_a_revision_begins_as_the_latest_stands(desk, bottle):
    address = reverse("scheduling:limit_revise", args=[Limit.objects.get(code="BTL-HYD").pk])

    page = desk.get(address).content.decode()

    assert re.search(r'name="clock1-amount" value="60"', page)
    assert re.search(r'name="limit" value="BTL-HYD"', page)


def test_a_limit_without_document_and_revision_is_refused_at_both_fields(desk, bottle):
    said = typed(limit="NEW", document="", document_revision="")

    answer = desk.post(reverse("scheduling:limit_new"), said)

    assert answer.status_code == 422
    assert answer.content.decode().count("Fill this in.") == 2


def test_a_work_that_is_not_on_record_comes_with_its_limit(desk, bottle):
    said = typed(limit="BTL-WT", revision="1", work="", **{"new_work-name": "Weight check"})

    shown = desk.post(reverse("scheduling:limit_new"), said).content.decode()
    desk.post(reverse("scheduling:limit_new"), said | {"shown": mark_of(shown), "save": "1"})

    made = Limit.objects.get(code="BTL-WT")
    assert (made.work.code, made.work.name) == ("WEIGHT-CHECK", "Weight check")
    assert made.recorded_by is not None and made.document == "CMM 20"


def test_a_clock_that_cannot_be_is_refused_at_its_field_and_nothing_is_kept(desk, bottle):
    said = typed(limit="NEW", **{"clock2-measure": "months", "clock2-amount": "12x"})

    answer = desk.post(reverse("scheduling:limit_new"), said)

    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="id_clock2-counts_from_error"' in page or 'id="id_clock2-amount_error"' in page
    assert not Limit.objects.filter(code="NEW").exists()


def test_who_may_not_enter_a_programme_is_told_so(client, bottle):
    client.force_login(build.a_person("stores"), "django.contrib.auth.backends.ModelBackend")

    answer = client.post(reverse("scheduling:limit_new"), typed(limit="NEW"))

    assert "Your role does not allow this" in answer.content.decode()
    assert not Limit.objects.filter(code="NEW").exists()


def test_limits_are_listed_by_kind_in_sentences(desk, bottle):
    page = desk.get(reverse("scheduling:limits")).content.decode()

    assert "needs hydro every 60 months from the last one" in page


def test_nothing_is_left_behind_by_what_is_only_shown(desk, bottle):
    before = (Limit.objects.count(), WorkDone.objects.count(), DueItem.objects.count())

    desk.post(reverse("scheduling:limit_new"), typed(limit="NEW"))

    assert (Limit.objects.count(), WorkDone.objects.count(), DueItem.objects.count()) == before
    assert the_work("HYDRO").code == "HYDRO"


def test_a_code_with_a_stroke_has_its_pages(desk, bottle):
    limit = a_rule("25/60-1", every(24), work="CHECK", kind=bottle.part_number.kind)

    page = desk.get(reverse("scheduling:limits")).content.decode()

    assert reverse("scheduling:limit", args=[limit.pk]) in page
    assert desk.get(reverse("scheduling:limit_revise", args=[limit.pk])).status_code == 200
    assert desk.get(reverse("scheduling:limit", args=[limit.pk + 999])).status_code == 404
