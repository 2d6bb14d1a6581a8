"""What is done beside a swap: tags, reservations, open items, a robbery, fillings, files."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest

from equipment.availability.acts.fillings import Use, record_discharge, record_filling
from equipment.availability.acts.reservations import free_reservation, reserve_unit
from equipment.availability.acts.tags import tag_unit
from equipment.common.attached import FileFact
from equipment.findings.acts.open_items import Opening, close_item, open_item
from equipment.findings.acts.robbing import rob_unit
from equipment.models import Attachment, LifeStatement, Reservation, Unit, UnitTag
from equipment.swaps.acts import TagFact
from equipment.swaps.acts.attachments import attach_file
from fleet.house.refusals import Refused
from fleet.models import Measure
from tests import builders as build
from tests.builders_swaps import a_certificate, a_certifier, a_job

pytestmark = pytest.mark.django_db
NOW, LATER = build.NOW, build.NOW + timedelta(hours=1)
GOOD = TagFact("serviceable", "removed_good", "in good order")
BAD = TagFact("unserviceable", "defect", "cover torn")
OPENING = Opening(
    "QMEL 25-60-1 revision 9",
    "door 1 left without slide",
    build.day("2027-06-01"),
    build.day("2027-06-10"),
    "C",
    "none",
    effect="row 1 blocked",
)


@pytest.fixture
def job(db):
    return a_job()


@pytest.fixture
def clerk(db):
    return build.a_person("stores")


def reserved(job, clerk, **more):
    facts = {"unit_id": job.new.pk, "place": job.place, "need_on": build.day("2027-06-20")}
    return reserve_unit(by=clerk, act_id=uuid4(), **{"at": NOW, **facts, **more})


def code_of(act):
    with pytest.raises(Refused) as refused:
        act()
    return refused.value.code


# --- tags -------------------------------------------------------------------------------------


def tagged(job, tag, **more):
    facts = {"unit_id": job.new.pk, "tagged_at": NOW, "act_id": uuid4(), "at": LATER}
    return tag_unit(by=job.technician, tag=tag, **{**facts, **more})


def test_a_unit_that_fails_is_freed_and_told_of(job, clerk):
    held = reserved(job, clerk)

    tagged(job, BAD)

    held.refresh_from_db()
    assert held.ended_how == "failed"
    assert "cover torn" in clerk.notices.get().words


def test_the_same_tag_twice_is_one(job):
    act = uuid4()

    assert tagged(job, BAD, act_id=act).pk == tagged(job, BAD, act_id=act).pk


def test_a_tag_says_why(job):
    assert code_of(lambda: tagged(job, TagFact("unserviceable"))) == "missing"


# --- reservations -----------------------------------------------------------------------------


def test_a_reserved_unit_is_nobody_elses(job, clerk):
    reserved(job, clerk)

    assert code_of(lambda: reserved(job, clerk)) == "reserved_elsewhere"


def test_one_need_has_one_unit(job, clerk):
    reserved(job, clerk)
    third = build.a_unit(job.new.part_number)
    build.moved(third, "received", build.in_store(job.station), "2027-03-01", by=clerk)
    a_certificate(third)

    assert code_of(lambda: reserved(job, clerk, unit_id=third.pk)) == "need_is_met"


def test_what_may_not_be_used_is_not_set_aside(job, clerk):
    tagged(job, BAD)

    assert code_of(lambda: reserved(job, clerk, at=LATER)) == "unit_unserviceable"
    assert not Reservation.objects.exists()


def test_a_freed_unit_can_be_set_aside_again(job, clerk):
    first = reserved(job, clerk)

    free_reservation(by=clerk, reservation_id=first.pk, at=LATER)

    assert reserved(job, clerk).pk != first.pk


def test_a_past_need_is_refused(job, clerk):
    assert code_of(lambda: reserved(job, clerk, need_on=build.day("2027-05-01"))) == "need_is_past"


# --- open items -------------------------------------------------------------------------------


def place_id(job):
    return Unit.objects.get(pk=job.old.pk).place_id


def opened(job, **more):
    facts = {"opening": OPENING, "place": place_id(job), "act_id": uuid4(), "at": NOW}
    return open_item(by=job.certifier, **{**facts, **more})


def test_a_position_is_open_by_one_document(job):
    first = opened(job)

    assert first.aircraft == job.aircraft
    assert code_of(lambda: opened(job)) == "open_already"


def test_a_closed_item_is_closed_once(job):
    item = opened(job)
    act, facts = uuid4(), {"open_item_id": item.pk, "closed_on": build.day("2027-06-01"), "at": NOW}

    first = close_item(by=job.certifier, words="refitted", act_id=act, **facts)

    assert close_item(by=job.certifier, words="refitted", act_id=act, **facts) == first
    again = lambda: close_item(by=job.certifier, words="again", act_id=uuid4(), **facts)
    assert code_of(again) == "closed_already"


def test_a_technician_defers_nothing(job):
    with pytest.raises(Refused, match="role"):
        open_item(by=job.technician, opening=OPENING, place=place_id(job), act_id=uuid4(), at=NOW)


def test_an_item_ends_no_earlier_than_it_begins(job):
    short = Opening("QMEL", "open", build.day("2027-06-01"), build.day("2027-05-01"))

    assert code_of(lambda: opened(job, opening=short)) == "an_open_item_lasts_at_least_a_day"


# --- robbery ----------------------------------------------------------------------------------


def test_a_robbed_unit_leaves_both_aircraft_right(job):
    donor = a_job(kind=job.old.part_number.kind, tools=job.tools)
    receiver = job
    receiver.open(by=job.certifier)

    robbed = rob_unit(
        by=a_certifier(),
        for_swap_id=receiver.swap.pk,
        donor_place=donor.place,
        unit_id=donor.old.pk,
        when=build.on("2027-06-01 07:00"),
        opening=OPENING,
        act_id=uuid4(),
        at=NOW + timedelta(minutes=1),
    )
    receiver.now = NOW + timedelta(minutes=2)
    receiver.take_off()

    assert robbed.moved.is_conforming
    assert robbed.swap.donor_of == receiver.swap
    assert robbed.item.aircraft == donor.aircraft
    assert Unit.objects.get(pk=donor.old.pk).aircraft is None
    assert not Unit.objects.filter(aircraft=donor.aircraft).exists()


def test_a_robbery_is_all_or_nothing(job):
    donor = a_job(kind=job.old.part_number.kind, tools=job.tools)
    job.open()
    late = Opening("", "open", build.day("2027-06-01"), build.day("2027-06-02"))

    with pytest.raises(Refused):
        rob_unit(
            by=job.certifier,
            for_swap_id=job.swap.pk,
            donor_place=donor.place,
            unit_id=donor.old.pk,
            when=build.on("2027-06-01 07:00"),
            opening=late,
            act_id=uuid4(),
            at=LATER,
        )

    assert Unit.objects.get(pk=donor.old.pk).aircraft == donor.aircraft


# --- fillings ---------------------------------------------------------------------------------


@pytest.fixture
def count(db):
    return Measure.objects.create(
        code="FILL", name="fillings", unit="count", counted_on="unit", counts="filling"
    )


def filled(job, on="2027-05-30", **more):
    facts = {"unit_id": job.new.pk, "use": Use(build.day(on)), "act_id": uuid4(), "at": NOW}
    return record_filling(by=job.technician, **{**facts, **more})


def test_fillings_are_counted_one_by_one(job, count):
    numbers = [filled(job, on).number for on in ("2027-05-28", "2027-05-30", "2027-05-30")]

    standing = LifeStatement.objects.filter(unit=job.new, corrected_by=None)
    assert numbers == [1, 2, 3]
    assert standing.order_by("-stated_on", "-pk").first().total == 3


def test_a_filling_before_the_latest_count_is_refused(job, count):
    filled(job, "2027-05-30")

    assert code_of(lambda: filled(job, "2027-05-01")) == "later_count_on_record"


def test_an_empty_oxygen_bottle_is_not_filled(job, count):
    job.new.part_number.charts.create(
        revision="9",
        gas="oxygen",
        charge_psig=1850,
        points=[],
        document="QCMM",
        from_on=build.day("2027-01-01"),
        recorded_at=NOW,
    )

    empty = Use(build.day("2027-05-30"), is_empty=True)
    assert code_of(lambda: filled(job, use=empty)) == "empty_oxygen"


def test_a_deployed_slide_waits_for_the_shop(job):
    record_discharge(
        by=job.technician,
        unit_id=job.new.pk,
        use=Use(build.day("2027-05-30")),
        act_id=uuid4(),
        words="door opened while armed",
        at=NOW,
        is_inflation=True,
    )

    assert job.new.tags.get().why == "deployed"
    assert code_of(lambda: tagged(job, GOOD)) == "shop_must_see_it"


def test_a_later_good_tag_does_not_put_a_discharged_unit_back_in_stock(job, clerk):
    record_discharge(
        by=job.technician,
        unit_id=job.new.pk,
        use=Use(build.day("2027-05-30")),
        act_id=uuid4(),
        words="cable pulled",
        at=NOW,
        is_inflation=False,
    )
    UnitTag.objects.create(
        act_id=uuid4(),
        unit=job.new,
        sort="serviceable",
        why="removed_good",
        tagged_at=NOW,
        recorded_at=NOW,
        recorded_by=job.technician,
    )

    assert code_of(lambda: reserved(job, clerk, at=LATER)) == "unit_unserviceable"


# --- files ------------------------------------------------------------------------------------

PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 20


def attached(job, content=PNG, **more):
    facts = {"file": FileFact("door.png", content), "swap_id": job.swap.pk, "at": LATER}
    return attach_file(by=job.technician, **{"act_id": uuid4(), **facts, **more})


def test_a_photo_is_kept_once_with_its_digest(job):
    job.open()
    act = uuid4()

    first = attached(job, act_id=act)

    assert attached(job, act_id=act) == first
    assert (Attachment.objects.count(), first.size) == (1, len(PNG))


@pytest.mark.parametrize(
    ("content", "code"),
    [(b"MZ\x90\0", "file_not_accepted"), (b"", "file_empty"), (PNG * 400_000, "file_too_large")],
)
def test_what_is_no_picture_is_refused(job, content, code):
    job.open()

    assert code_of(lambda: attached(job, content)) == code
