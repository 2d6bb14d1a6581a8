"""Today for the meeting: what waits beside the due list, and all of it on one sheet whatever there is."""

from __future__ import annotations

import io
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from equipment.common.paper import Paper, Part, pdf_of
from equipment.findings.acts.robbing import rob_unit
from equipment.models import Discrepancy, Movement
from fleet.house.pages import today
from scheduling.days.controller import controllers_day
from scheduling.days.waiting import open_robberies
from scheduling.models import ProposalRun, ProposedNeed
from tests import builders as build
from tests import builders_swaps as swaps
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import an_aircraft, due_in, overhauls, reckoned

pytestmark = pytest.mark.django_db


def pages(content) -> list[str]:
    return [
        re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(content)).pages
    ]


def paper_of_today() -> list[str]:
    client = signed_in(build.a_person("controller"))
    return pages(client.get(reverse("scheduling:today_paper")).content)


def told():
    return controllers_day(today(), timezone.now())


def a_need(run, number: int, days: int) -> ProposedNeed:
    unit = build.a_unit()
    build.moved(unit, "received", build.in_store(build.a_station()), "2026-03-01")
    unit.refresh_from_db()
    return ProposedNeed.objects.create(
        run=run,
        key=f"need-{number}",
        place_id=unit.place_id,
        unit_off=unit,
        aircraft_id=1,
        family="F",
        kind="K",
        on=today() + timedelta(days=days),
        station="QVMR",
        registration=f"Q-{number}",
        position="D1L-SLIDE",
        off_words=f"SL-1 S/N {number}",
        works=["Overhaul"],
        group=1,
        off_part="SL-1",
        latest_on=today() + timedelta(days=days),
        facts={},
    )


def test_each_need_of_the_next_thirty_days_without_a_unit_is_named_the_earliest_first():
    run = ProposalRun.objects.create(
        as_of=today(), until_on=today() + timedelta(days=90), made_at=timezone.now(), stamp="x"
    )
    for number, days in ((1, 20), (2, 5), (3, 31)):
        a_need(run, number, days)

    waits = told().needs

    assert [line.where for line in waits.lines] == ["Q-2 D1L-SLIDE", "Q-1 D1L-SLIDE"]
    assert waits.lines[0].words == "SL-1 S/N 2 comes off for Overhaul"
    page = signed_in(build.a_person("controller")).get(reverse("scheduling:today"))
    assert "SL-1 S/N 2 comes off for Overhaul" in page.content.decode()


def test_a_robbed_position_is_named_until_something_is_fitted_there():
    kind = build.a_kind("SLIDE-ROB")
    job, donor = swaps.a_job(kind=kind), swaps.a_job(kind=kind)
    swap = job.open()
    rob_unit(
        by=job.technician,
        for_swap_id=swap.pk,
        donor_place=donor.place,
        act_id=uuid4(),
        at=job.tick(),
        is_confirmed=True,
    )

    [robbed] = open_robberies(9).lines
    build.installed(donor.new, donor.place, "2027-06-02", at=build.instant("2027-06-03 12:00"))

    assert donor.aircraft.registration in robbed.where
    assert donor.old.serial_number in robbed.words
    assert open_robberies(9).count == 0


def test_records_to_reconcile_are_counted_whole_and_the_oldest_stand_first():
    craft = an_aircraft()
    for days in range(20):
        Discrepancy.objects.create(
            act_id=uuid4(),
            sort="no_unit",
            aircraft=craft,
            found_at=timezone.now() - timedelta(days=days),
            found_by=build.a_person("technician"),
        )

    waits = told().odd

    assert (waits.count, len(waits.lines), waits.more) == (20, 12, 8)
    assert waits.lines[0].on == (timezone.now() - timedelta(days=19)).date()
    assert not Movement.objects.nonconforming().exists()


def test_the_sheet_has_everything_of_a_quiet_day_on_one_page():
    overhauls()
    craft = an_aircraft()
    due_in(craft, "D1L-SLIDE", -3)
    reckoned()

    [page] = paper_of_today()

    assert craft.registration in page and "What stops a departure: 1" in page
    for title in ("Robbed and still empty", "Records to reconcile", "Late at the shops"):
        assert title in page
    assert "Page 1 of 1" in page


@pytest.mark.slow
@pytest.mark.parametrize("rows", [1, 7, 40, 400])
def test_it_is_one_page_whatever_there_is_and_says_how_many_more(rows):
    parts = [
        Part(
            f"Part {at}: {rows}",
            ("Where", "What"),
            (1, 5),
            [(f"Q-{n}", "words " * 20) for n in range(rows)],
        )
        for at in range(9)
    ]
    paper = Paper(
        "Today", "State.", [], parts, ["A note."], "https://house.invalid/", False, fits_page=True
    )

    [page] = pages(pdf_of(paper))

    assert all(f"Part {at}: {rows}" in page for at in range(9))
    assert page.count("Q-0") == 9
    assert ("more" in page) == (rows > 1)
