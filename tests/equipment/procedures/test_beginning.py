"""The first step list of a house: begun from general steps on a page, and a change can be worked by it."""

from __future__ import annotations

import pytest
from django.urls import reverse

from equipment.judging.steps.step_lists import why_not_steps
from equipment.models import BottleChart, RuleSet, StepList
from equipment.procedures.general import GENERAL
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db
SAID = {"document": "CMM 25-60-01", "document_revision": "7", "from_on": "1 May 2026"}


@pytest.fixture
def desk(client):
    client.force_login(build.a_person("controller"), "django.contrib.auth.backends.ModelBackend")
    return client


def begun(desk, kind, **more):
    said = {"kind": kind.code, "revision": "1", **SAID, **more}
    return desk.post(reverse("equipment:step_list_new"), said, follow=True)


def test_the_general_steps_can_be_worked_by_and_ask_for_a_second_person():
    assert why_not_steps(GENERAL) == []
    assert [step.posts for step in GENERAL if step.posts] == ["removal", "installation"]
    assert [step.number for step in GENERAL if step.is_inspected] == [7, 9, 11]


def test_a_kind_without_a_list_is_named_until_one_is_begun_and_then_a_swap_is(desk):
    kind = build.a_kind("RAFT")
    aircraft = build.an_aircraft(of_type=build.an_aircraft_type("RAFT-1", kind=kind))
    lists, setting_up = reverse("equipment:step_lists"), reverse("scheduling:setting_up")
    before = desk.get(lists).content.decode(), desk.get(setting_up).content.decode()

    page = begun(desk, kind).content.decode()

    assert f"?kind={kind.code}" in before[0] and kind.name in before[1].split("Changes")[1]
    assert "The list is on record." in page and "The approved data governs." in page
    assert "No list is in force" not in desk.get(lists).content.decode()
    made = StepList.objects.get()
    assert (made.code, made.document, made.steps.count()) == (
        f"{kind.code}-CHANGE",
        "CMM 25-60-01",
        len(GENERAL),
    )
    swaps.a_rule_set()
    old = build.a_unit(build.a_part(kind=kind))
    build.installed(old, build.at_position(aircraft, "RAFT-1"), "2027-01-05")
    job = swaps.Job(
        aircraft,
        aircraft.station,
        build.at_position(aircraft, "RAFT-1"),
        old,
        None,
        swaps.a_technician(),
        swaps.an_inspector(),
        swaps.a_certifier(),
        {},
    )
    job.open(planned_on_id=None)
    assert job.swap.step_list == made


def test_the_same_again_is_on_record_and_other_contents_are_refused_at_the_revision(desk):
    kind = build.a_kind("RAFT")
    begun(desk, kind)

    again = begun(desk, kind)
    other = begun(desk, kind, document_revision="8")
    next_one = begun(desk, kind, document_revision="8", revision="2")

    assert again.status_code == next_one.status_code == 200
    assert other.status_code == 422 and "on record with other contents" in other.content.decode()
    assert StepList.objects.count() == 2


def test_who_may_not_is_told_who_does(client):
    client.force_login(build.a_person("technician"), "django.contrib.auth.backends.ModelBackend")

    page = begun(client, build.a_kind("RAFT"))

    assert page.status_code == 422 and not StepList.objects.exists()
    assert "step_list_new" not in client.get(reverse("equipment:step_lists")).content.decode()


def test_rules_of_signing_begin_with_statements_to_be_confirmed(desk):
    address = reverse("scheduling:enter_signing")
    form = desk.get(address).context["form"]

    said = {name: form[name].value() or "" for name in form.fields}
    answer = desk.post(address, {**said, "document": "MOE 2.16", "from_on": "1 May 2026"})

    assert answer.status_code == 302, answer.content.decode()[-3000:]
    kept = RuleSet.objects.get()
    assert "as the approved data requires" in kept.release_statement
    assert kept.warns_same_mistake and not kept.needs_dual_release


CHART = {
    "revision": "3",
    "document": "CMM 35-30-01",
    "from_on": "1 May 2026",
    "gas": "nitrogen",
    "charge": "207 bar",
    "charge_at": "21 °C",
    "unit": "bar",
    "temperature_unit": "°C",
}


def charted(desk, number, points, **more):
    said = {"part": number, **CHART, "points": points, **more}
    return desk.post(reverse("equipment:bottle_charts"), said, follow=True)


def test_a_chart_is_typed_in_bar_and_celsius_a_least_alone_too(desk):
    """(0 °C is 32 °F, 40 °C is 104 °F: by hand.)"""
    part = build.a_part("BT-9", kind=build.a_kind("BOTTLE"))

    both = charted(desk, part.number, "0 192 199\n21 207 214\n40 220,5 228")
    least = charted(desk, part.number, "0 192; 21 207; 40 220,5", revision="4")

    assert both.status_code == 200 and "chart is on record" in both.content.decode()
    assert least.status_code == 200, [e for e in least.content.decode().split("<p") if "error" in e]
    first, second = BottleChart.objects.order_by("pk")
    assert [[round(value, 2) for value in point] for point in first.points] == [
        [32.0, 192.0, 199.0],
        [69.8, 207.0, 214.0],
        [104.0, 220.5, 228.0],
    ]
    assert [point[2] for point in second.points] == [None, None, None]
    assert round(first.charge_psig) == 3002


@pytest.mark.parametrize(
    ("points", "more", "said"),
    [
        ("0 192\nwarm 207", {}, "Point 2, “warm 207”, is not a temperature"),
        ("0 192 200 9", {}, "Point 1, “0 192 200 9”"),
        ("0 192; 21 207", {"part": "NONE-1"}, "No part number “NONE-1” is on record"),
        ("21 207; 0 192", {"charge": "much"}, "field-error"),
    ],
)
def test_what_is_no_chart_is_refused_at_its_field_and_what_was_typed_stays(
    desk, points, more, said
):
    build.a_part("BT-9")
    page = charted(desk, more.pop("part", "BT-9"), points, **more)

    assert page.status_code == 422 and said in page.content.decode()
    assert points.split("\n", 1)[0] in page.content.decode()
    assert not BottleChart.objects.exists()


@pytest.mark.parametrize(
    ("address", "name"), [("equipment:step_list_new", "kind"), ("equipment:bottle_charts", "gas")]
)
def test_nothing_is_chosen_that_nobody_chose(desk, address, name):
    build.a_kind("RAFT")

    form = desk.get(reverse(address)).context["form"]

    assert not form[name].value()
    assert form.fields[name].choices[0][0] == ""
