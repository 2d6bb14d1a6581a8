"""The release: what stands in its way, and all that follows from it."""

from __future__ import annotations

from uuid import uuid4

import pytest

from equipment.common.digests import digest_of
from equipment.models import (
    Certificate,
    Discrepancy,
    OpenItem,
    OpenItemClosed,
    Reservation,
    SwapEnd,
    UnitTag,
)
from fleet.house.refusals import Refused
from tests import builders as build
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def why_not(job, **more):
    with pytest.raises(Refused) as told:
        job.release(**more)
    assert not SwapEnd.objects.filter(swap=job.swap).exists()
    return {each.code for each in told.value.refusals}


def a_short_job(**more):
    job = swaps.a_job(swaps.SHORT)
    job.open(**more)
    return job


def test_a_swap_done_as_its_steps_say_is_released():
    job = swaps.a_job()
    job.do_all()

    signature = job.release()

    assert SwapEnd.objects.get(swap=job.swap).signature == signature
    assert signature.statement == job.swap.rule_set.release_statement
    assert signature.digest == digest_of(signature.content)
    assert len(signature.content["signatures"]) == 13


def test_every_obstacle_is_told_at_once_each_at_its_step():
    job = a_short_job()

    with pytest.raises(Refused) as told:
        job.release()

    found = {(each.code, each.field) for each in told.value.refusals}
    assert found == {
        *((("step_missing"), f"step-{number}") for number in (1, 3, 6, 7, 13)),
        ("removal_not_recorded", None),
        ("installation_not_recorded", None),
    }


def test_the_same_release_sent_again_is_one():
    job = a_short_job()
    job.take_off(), job.put_on(), job.do_steps()
    act = uuid4()

    assert job.release(act_id=act) == job.release(act_id=act)


def test_a_released_swap_is_not_released_again_nor_added_to():
    job = a_short_job()
    job.take_off(), job.put_on(), job.do_steps()
    job.release()

    for act in (job.release, lambda: job.enter(1), lambda: job.sign(1), job.take_off):
        with pytest.raises(Refused) as told:
            act()
        assert told.value.code == "swap_ended"


@pytest.mark.parametrize(
    ("number", "typed", "code"),
    [
        (7, {"value": "40", "drag": "2"}, "step_out_of_tolerance"),
        (13, {"count": "1"}, "safety_device_not_back"),
        (7, {"value": "61", "drag": "2"}, "signed_value_changed"),
    ],
)
def test_a_value_entered_after_the_signatures_stands_in_the_way(number, typed, code):
    job = a_short_job()
    job.take_off(), job.put_on(), job.do_steps()

    job.enter(number, typed)

    assert code in why_not(job)


def test_an_inspection_missing_stands_in_the_way():
    job = a_short_job()
    job.take_off(), job.put_on(), job.do_steps(but=[7])
    job.enter(7)
    job.sign(7)

    assert why_not(job) == {"inspection_missing"}


def test_nobody_releases_without_an_authorisation_for_it_that_day():
    job = a_short_job()
    job.take_off(), job.put_on(), job.do_steps()
    expired = build.a_person("certifying")
    swaps.an_authorisation(expired, "release", until=build.day("2027-05-31"))

    assert why_not(job, by=build.a_person("certifying")) == {"not_authorised"}
    assert why_not(job, by=expired) == {"authorisation_expired"}
    assert why_not(job, by=job.technician) == {"not_permitted"}


# --- the unit that went on --------------------------------------------------------------------


def ready(job, unit=None):
    job.take_off()
    job.put_on(unit)
    job.do_steps()
    return job


def test_a_unit_without_its_certificate_is_not_released(as_owner):
    job = a_short_job()
    with as_owner():
        Certificate.objects.filter(unit=job.new).delete()

    assert why_not(ready(job)) == {"no_certificate"}


def test_a_unit_reserved_for_another_position_is_not_released():
    job, other = a_short_job(), swaps.a_job()
    _reserve(job, swaps.place_row(other.place))

    assert why_not(ready(job)) == {"reserved_elsewhere"}


def _reserve(job, place):
    return Reservation.objects.create(
        act_id=uuid4(),
        unit=job.new,
        place=place,
        need_on=build.day("2027-06-01"),
        reserved_at=build.NOW,
        reserved_by=job.technician,
    )


def test_a_unit_tagged_unserviceable_is_not_released():
    job = a_short_job()
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=job.new,
        sort="unserviceable",
        why="discharged",
        tagged_at=build.NOW,
        recorded_at=build.NOW,
        recorded_by=job.technician,
    )

    assert why_not(ready(job)) == {"unit_unserviceable"}


def test_a_position_inside_the_unit_with_nothing_in_it_is_told():
    job = a_short_job()
    part = build.a_part("", "LIGHT", kind=job.old.part_number.kind)
    unit = build.a_unit(part)
    swaps.a_certificate(unit)

    assert why_not(ready(job, unit)) == {"nested_unaccounted"}


def test_a_unit_quarantined_where_it_hangs_does_not_conform_and_the_swap_is_not_released():
    job = ready(a_short_job())
    done = build.moved(
        job.new,
        "quarantined",
        build.in_quarantine(job.station),
        "2027-06-01 10:00",
        by=build.a_person("stores"),
        at=job.tick(),
    )

    assert not done.is_conforming
    assert why_not(job) == {"unit_not_reconciled"}


def test_an_unsettled_discrepancy_of_the_swap_stands_in_the_way():
    job = ready(a_short_job())
    Discrepancy.objects.create(
        act_id=uuid4(),
        sort="tool",
        swap=job.swap,
        words="The wrench was out.",
        found_at=build.NOW,
        found_by=job.technician,
    )

    assert why_not(job) == {"discrepancy_open"}


# --- what follows -----------------------------------------------------------------------------


def an_open_item(job, until="2027-06-10", **more):
    return OpenItem.objects.create(
        act_id=uuid4(),
        aircraft=job.aircraft,
        place=swaps.place_row(job.place),
        document="QMEL 25-60-01",
        words="Door 1 left without its slide",
        found_on=build.day("2027-05-20"),
        expires_on=build.day(until),
        recorded_at=build.NOW,
        recorded_by=job.certifier,
        **more,
    )


def test_the_reservation_is_used_and_the_open_item_closed():
    job = a_short_job()
    reserved, item = _reserve(job, job.swap.place), an_open_item(job)

    ready(job).release()

    reserved.refresh_from_db()
    assert (reserved.ended_how, reserved.ended_by) == ("used", job.certifier)
    assert OpenItemClosed.objects.get(open_item=item).swap == job.swap


def test_a_removal_alone_needs_an_open_item_that_is_still_good():
    job = a_short_job(sort="removal")
    job.take_off(), job.do_steps(but=[6, 7])
    assert why_not(job) == {"position_left_open"}

    an_open_item(job, until="2027-05-31")
    assert why_not(job) == {"open_item_expired"}

    an_open_item(job)
    assert job.release()
    assert not OpenItemClosed.objects.exists()


def test_a_fitting_into_an_open_position_is_not_released_without_the_fitting():
    job = swaps.a_job(swaps.SHORT)
    build.removed(job.old, build.SHOP, "2027-05-20")
    item = an_open_item(job)
    job.open()
    job.do_steps(but=[3, 6])
    assert why_not(job) == {"installation_not_recorded", "step_missing"}

    job.put_on()
    job.do_steps(but=[1, 3, 7, 13])

    assert job.release()
    assert OpenItemClosed.objects.get(open_item=item).swap == job.swap
