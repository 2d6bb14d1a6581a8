"""A package from its handing over to the aircraft's release: nobody ticks an item, each is shown as done or carried."""

from __future__ import annotations

import re
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from equipment.models import Discrepancy, Settlement
from fleet.aircraft.acts.changes import ChangedCheck, change_check
from fleet.aircraft.acts.checks import PlannedCheck, plan_check
from fleet.aircraft.reads import fleet_on
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.models import Check, Notice
from scheduling.due import due_list
from scheduling.due.lists.filters import DueFilters
from scheduling.models import CheckClosed, CheckReleased, DueItem, Extension, PackageItem
from scheduling.packages.acts.findings import Found, note_finding
from scheduling.planning.facts.fleet import plan_of
from tests import builders as build
from tests import builders_swaps as swaps
from tests.at_once import people
from tests.equipment.line_world import PASSWORD, signed_in
from tests.scheduling.packages.hangar import Hangar, all_but_one
from tests.scheduling.planning.world import (
    in_days,
    reckoned,
)
from tests.scheduling.rules import a_rule, done, every

pytestmark = pytest.mark.django_db


@pytest.fixture
def hangar():
    return Hangar()


def states(hangar):
    return {each.row.unit_off_id or "place": each.standing.state for each in hangar.package().items}


def why(act, *args):
    with pytest.raises(Refused) as told:
        act(*args)
    return {each.code for each in told.value.refusals}


def test_it_is_handed_over_by_name_as_the_plan_is_and_whoever_has_it_is_told(hangar):
    hangar.hand_over()

    package = hangar.package()
    [notice] = Notice.objects.filter(to=hangar.technician)
    assert package.last.to == hangar.technician and len(package.items) == 3
    assert set(states(hangar).values()) == {"open"}
    assert "A1" in notice.words and notice.link == reverse(
        "scheduling:check_package", args=[hangar.check.pk]
    )
    look = hangar.item(hangar.look)
    assert (look.row.unit_off_id, [work["work"] for work in look.row.works]) == (None, ["Look"])
    assert f"work=LOOK&on={hangar.look.pk}" in look.begin


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"is_cancelled": True}, "check_not_to_come"),
        ({"ends_on": -1, "starts_on": -2}, "check_not_to_come"),
    ],
)
def test_a_check_that_is_not_to_come_is_not_handed_over(hangar, change, code):
    days = {key: in_days(value) for key, value in change.items() if not isinstance(value, bool)}
    Check.objects.filter(pk=hangar.check.pk).update(**change | days)

    assert why(hangar.hand_over) == {code}


def test_only_who_works_there_is_handed_it(hangar):
    assert why(hangar.hand_over, build.a_person("stores")) == {"not_of_the_hangar"}


def test_what_the_plan_places_there_later_is_added_by_handing_it_over_again(hangar):
    hangar.hand_over()
    a_rule("SL-TEST", every(24), work="TEST")
    done("TEST", in_days(-700).isoformat(), unit_id=hangar.look.pk)
    reckoned()

    hangar.hand_over()

    assert [each.row.number for each in hangar.package().items] == [1, 2, 3, 4]
    assert PackageItem.objects.count() == 4


def test_an_item_is_done_by_what_is_recorded_and_by_nothing_else(hangar):
    hangar.hand_over()
    before = hangar.item(hangar.look).standing
    hangar.do("LOOK", hangar.look, result="failed")
    failed = hangar.item(hangar.look).standing
    hangar.do("LOOK", hangar.look, on=in_days(-30))
    of_last_month = hangar.item(hangar.look).standing
    hangar.do("LOOK", hangar.look)

    after = hangar.item(hangar.look).standing
    assert [each.state for each in (before, failed, of_last_month)] == ["open"] * 3
    assert after.state == "done" and "T. Arden" in after.words and "WO-1" in after.words
    assert hangar.item(hangar.left).standing.state == "open"


def test_a_swap_at_its_position_is_begun_and_its_unit_replaced_is_done(hangar):
    hangar.hand_over()
    kind = hangar.left.part_number.kind
    swaps.a_step_list(kind, swaps.SHORT)
    from equipment.swaps.acts import NewSwap, open_swap

    item = hangar.item(hangar.left)
    new = NewSwap(
        item.row.place_id, hangar.craft.station_id, "Overhaul", due_item=item.row.due_item
    )
    swap = open_swap(by=hangar.technician, new=new, act_id=uuid4(), at=timezone.now())
    begun = hangar.item(hangar.left).standing
    build.moved(
        hangar.right, "removed", build.in_quarantine(hangar.craft.station), today().isoformat()
    )

    empty = hangar.item(hangar.right).standing
    spare = build.a_unit(hangar.right.part_number)
    build.installed(spare, build.at_position(hangar.craft, "D1R-SLIDE"), today().isoformat())

    assert (begun.state, begun.swap_id) == ("begun", swap.pk)
    assert empty.state == "begun" and "stands empty" in empty.words
    assert hangar.item(hangar.right).standing.state == "done"


def test_closing_names_every_item_and_finding_that_is_left_and_keeps_nothing(hangar):
    hangar.hand_over()
    hangar.do("LOOK", hangar.look)
    found = Found(hangar.check.pk, "Bracket cracked.", "D1L-SLIDE")
    note_finding(by=hangar.technician, found=found, act_id=uuid4(), at=timezone.now())

    with pytest.raises(Refused) as told:
        hangar.close()

    assert [each.code for each in told.value.refusals] == ["item_open", "item_open", "finding_open"]
    assert hangar.left.serial_number in told.value.refusals[0].message
    assert "Bracket cracked" in told.value.refusals[2].message
    assert not CheckClosed.objects.exists()


def test_what_was_placed_there_since_it_was_handed_over_is_in_nobodys_hand_and_keeps_it_open(
    hangar,
):
    hangar.hand_over()
    for unit, code in ((hangar.look, "LOOK"), (hangar.left, "OVERHAUL")):
        hangar.do(code, unit)
    hangar.carry(hangar.right)
    a_rule("SL-TEST", every(24), work="TEST")
    done("TEST", in_days(-700).isoformat(), unit_id=hangar.look.pk)
    reckoned()

    with pytest.raises(Refused) as told:
        hangar.close()

    [why] = told.value.refusals
    assert why.code == "not_handed_over" and hangar.look.serial_number in why.message
    assert not CheckClosed.objects.exists()


def settled(finding: Discrepancy) -> None:
    Settlement.objects.create(
        discrepancy=finding,
        act_id=uuid4(),
        sort="put_right",
        words="New bracket, WO-2.",
        settled_at=timezone.now(),
        settled_by=build.a_person("controller"),
    )


def test_a_check_closes_with_one_item_carried_forward_and_stays_readable(hangar):
    all_but_one(hangar)

    closed = hangar.close()

    said = {each["state"] for each in closed.content["items"]}
    hangar.do("OVERHAUL", hangar.right)
    later = hangar.package()
    assert said == {"done", "carried"}
    assert [each.standing.state for each in later.items].count("carried") == 1
    page = signed_in(hangar.technician).get(
        reverse("scheduling:check_package", args=[hangar.check.pk])
    )
    words = re.sub(r"\s+", " ", page.content.decode())
    assert "Closed" in words and "Approved by O. Lind, TC-1" in words


def test_nothing_is_placed_at_a_closed_check_nor_added_to_it(hangar):
    all_but_one(hangar)
    hangar.close()

    assert hangar.check.pk not in [time.id for time in plan_of(today(), [hangar.craft.pk]).times]
    assert why(hangar.close) == {"check_closed"}
    assert why(hangar.hand_over) == {"check_closed"}
    assert why(hangar.carry, hangar.right) == {"check_closed"}


def test_once_it_is_closed_nothing_is_told_to_be_done_at_it(hangar):
    """It was to end in two days. What is found to be due in thirty waits for no closed check: the next is A2."""
    all_but_one(hangar)
    hangar.close()
    a_rule("SL-TEST", every(12), work="TEST")
    done("TEST", in_days(-335).isoformat(), unit_id=hangar.look.pk)
    reckoned()

    asked = DueFilters(aircraft=hangar.craft.registration)
    [row] = [
        each
        for each in due_list.due_rows(filters=asked, as_of=today())
        if (each.limit, each.unit_id) == ("SL-TEST", hangar.look.pk)
    ]
    hangar.check.refresh_from_db()

    assert hangar.check.closed_on == today()
    assert (row.band, row.check_name) == ("out-of-phase", "A2")
    assert fleet_on(today()).get(pk=hangar.craft.pk).next_check_name == "A2"


def test_a_closed_check_is_not_moved_nor_planned_anew(hangar):
    all_but_one(hangar)
    hangar.close()
    check = Check.objects.get(pk=hangar.check.pk)
    change = ChangedCheck(check.pk, "A1", in_days(5), in_days(6), check.station_id)
    row = PlannedCheck(check.aircraft_id, "A1", check.starts_on, in_days(9), check.station_id)

    with pytest.raises(Refused, match="was closed on"):
        change_check(by=hangar.controller, change=change, act_id=uuid4(), at=timezone.now())
    with pytest.raises(Refused, match="was closed on"):
        plan_check(by=hangar.controller, check=row, at=timezone.now())

    assert Check.objects.get(pk=check.pk).ends_on == check.ends_on


def test_a_check_that_has_not_begun_or_was_not_handed_over_is_not_closed(hangar):
    assert why(hangar.close) == {"not_handed_over"}
    hangar.hand_over()
    Check.objects.filter(pk=hangar.check.pk).update(starts_on=in_days(1))
    assert why(hangar.close) == {"check_not_begun"}


def test_each_work_of_an_item_is_told_by_itself_with_its_limit_and_document(hangar):
    a_rule("SL-TEST", every(24), work="TEST")
    done("TEST", in_days(-700).isoformat(), unit_id=hangar.left.pk)
    reckoned()
    hangar.hand_over()

    item = hangar.item(hangar.left)
    page = signed_in(hangar.technician).get(
        reverse("scheduling:check_package", args=[hangar.check.pk])
    )

    assert item.name.endswith(f"S/N {hangar.left.serial_number}") and len(item.works) == 2
    assert "Test, SL-TEST, VAR-MP revision 7" in item.works
    for work in item.works:
        assert f"<small>{work}</small>" in page.content.decode()


# --- carried forward -----------------------------------------------------------------------------


def test_carrying_forward_moves_no_limit(hangar):
    hangar.hand_over()
    before = DueItem.objects.get(unit=hangar.right, limit__code="SL-OH").due_on
    hangar.carry(hangar.right, to=hangar.later)

    assert DueItem.objects.get(unit=hangar.right, limit__code="SL-OH").due_on == before
    assert not Extension.objects.exists()


def test_it_is_not_carried_to_a_check_after_its_last_day_nor_past_it(hangar):
    hangar.hand_over()

    assert why(hangar.carry, hangar.left, hangar.later) == {"carried_beyond_limit"}
    DueItem.objects.filter(unit=hangar.left).update(due_on=in_days(-1))
    assert why(hangar.carry, hangar.left) == {"past_its_limit"}


def test_approval_name_and_reason_are_needed_and_what_is_done_is_not_carried(hangar):
    hangar.hand_over()
    hangar.do("LOOK", hangar.look)

    for field in ("reason", "approval", "approved_by"):
        with pytest.raises(Refused) as told:
            hangar.carry(hangar.left, **{field: " "})
        assert told.value.field == field
    assert why(hangar.carry, hangar.look) == {"item_ended"}
    hangar.carry(hangar.left)
    assert why(hangar.carry, hangar.left) == {"item_ended"}
    assert why(hangar.carry, hangar.right, hangar.check) == {"not_a_later_check"}


@pytest.mark.django_db(transaction=True)
def test_of_two_who_close_it_at_once_one_is_told_who_did():
    hangar = Hangar()
    all_but_one(hangar)
    others = [build.a_person("technician") for _ in range(2)]

    def closes(by):
        try:
            return hangar.close(by=by)
        except Refused as refused:
            return refused

    with people() as at_once:
        answers = at_once(*[lambda by=by: closes(by) for by in others])

    refused = [each for each in answers if isinstance(each, Refused)]
    assert CheckClosed.objects.count() == 1
    assert [each.code for each in refused] == ["check_closed"]
    assert any(by.shown_name in refused[0].message for by in others)


# --- the aircraft's release -----------------------------------------------------------------------


def test_the_release_is_signed_over_what_it_rests_on(hangar):
    all_but_one(hangar)
    finding = note_finding(
        by=hangar.technician,
        found=Found(hangar.check.pk, "Bracket cracked."),
        act_id=uuid4(),
        at=timezone.now(),
    )
    settled(finding)
    hangar.close()

    made = hangar.release()

    assert made.statement == made.rule_set.release_statement
    assert made.authorisation_words and made.name == hangar.certifier.shown_name
    assert [each["state"] for each in made.content["closed"]["items"]].count("carried") == 1
    assert made.content["closed"]["findings"][0]["settled"]
    assert made.content["signed"]["name"] == made.name and len(made.digest) == 64
    assert why(hangar.release) == {"released_already"}


def test_whatever_grounds_the_aircraft_is_named_and_nothing_is_signed(hangar):
    all_but_one(hangar)
    assert why(hangar.release) == {"check_not_closed"}
    hangar.close()
    DueItem.objects.filter(unit=hangar.right).update(due_on=in_days(-1))
    done("OVERHAUL", in_days(-500).isoformat(), unit_id=hangar.right.pk)
    a_rule("SL-OLD", every(6), work="OLD")
    done("OLD", in_days(-400).isoformat(), unit_id=hangar.look.pk)
    reckoned()

    codes = why(hangar.release)

    assert "limit_passed" in codes and not CheckReleased.objects.exists()


def test_nobody_releases_without_an_authorisation_for_the_type_that_day(hangar):
    all_but_one(hangar)
    hangar.close()

    assert why(hangar.release, build.a_person("certifying")) == {"not_authorised"}
    assert why(hangar.release, hangar.technician) == {"not_permitted"}


# --- pages and programs -----------------------------------------------------------------------------


def test_the_pages_lead_from_the_plan_to_the_release(hangar):
    desk = signed_in(hangar.controller)
    package = reverse("scheduling:check_package", args=[hangar.check.pk])
    address = reverse("scheduling:package_hand_over", args=[hangar.check.pk])
    assert address in desk.get(package).content.decode()
    sent = {"act_id": str(uuid4()), "person": hangar.technician.username, "note": ""}
    answer = desk.post(address, sent, follow=True)
    assert "In the hangar" in answer.content.decode()
    look = hangar.item(hangar.look).row
    paper = {
        "act_id": str(uuid4()),
        "of": f"LOOK unit {hangar.look.pk} SL-LOOK",
        "done_on": today().isoformat(),
        "who": "T. Arden",
        "authorisation": "Q-B1-204",
        "document": "WO-7",
        "result": "passed",
    }
    assert desk.post(reverse("scheduling:package_done", args=[look.pk]), paper).status_code == 302
    assert hangar.item(hangar.look).standing.state == "done"
    for unit in (hangar.left, hangar.right):
        row = hangar.item(unit).row
        carry = {
            "act_id": str(uuid4()),
            "reason": f"No spare for {unit.serial_number}",
            "approval": "TC-1",
            "approved_by": "O. Lind",
            "to": "",
        }
        assert (
            desk.post(reverse("scheduling:package_carry", args=[row.pk]), carry).status_code == 302
        )
    close = reverse("scheduling:package_close", args=[hangar.check.pk])
    assert signed_in(hangar.technician).post(close, {"act_id": str(uuid4())}).status_code == 302
    release = reverse("scheduling:check_release", args=[hangar.check.pk])
    signer = signed_in(hangar.certifier)
    assert "What it rests on" in signer.get(release).content.decode()
    signed = {
        "act_id": str(uuid4()),
        "username": hangar.certifier.username,
        "password": PASSWORD,
    }
    answer = signer.post(release, signed, follow=True)
    assert "Released" in answer.content.decode() and CheckReleased.objects.count() == 1


def test_a_check_with_items_left_is_said_on_its_page_and_stays_open(hangar):
    hangar.hand_over()
    close = reverse("scheduling:package_close", args=[hangar.check.pk])

    answer = signed_in(hangar.technician).post(close, {"act_id": str(uuid4()), "words": "Ready"})

    page = answer.content.decode()
    assert answer.status_code == 422 and "is not done" in page and "Ready" in page


def test_programs_read_the_state_in_a_fixed_number_of_questions(hangar):
    hangar.hand_over()
    desk = signed_in(hangar.controller)
    address = f"/api/v1/plan/checks/{hangar.check.pk}"
    with CaptureQueriesContext(connection) as first:
        told = desk.get(address).json()["handed"]
    PackageItem.objects.filter(unit_off=hangar.right)
    with CaptureQueriesContext(connection) as again:
        desk.get(address)

    assert [each["state"] for each in told["items"]] == ["open"] * 3
    assert told["to"] == hangar.technician.username and told["closed_at"] is None
    assert len(again) <= len(first) <= 95
