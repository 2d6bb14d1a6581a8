"""A swap on paper."""

from __future__ import annotations

from io import BytesIO

import openpyxl
import pytest
from django.urls import reverse
from pypdf import PdfReader

from equipment.common.paper import pdf_of
from equipment.models import Attachment
from equipment.swaps.printed.paper import swap_paper
from tests import builders as build
from tests.builders_swaps import a_job

pytestmark = pytest.mark.django_db
ADDRESS = "https://greenband.example/swaps/1/"


def words_of(paper):
    said = [paper.title, paper.state, *(f"{label} {value}" for label, value in paper.facts)]
    said += [cell for part in paper.parts for row in part.rows for cell in row]
    return " ".join([*said, *paper.notes])


@pytest.fixture
def job(db):
    return a_job()


def paper_of(job):
    return swap_paper(job.swap.pk, address=ADDRESS, is_demonstration=True)


def test_a_released_swap_says_what_where_who_values_and_tools(job):
    job.do_all()
    job.release()

    words = words_of(paper_of(job))

    assert "Released" in words
    for said in (
        job.old.serial_number,
        job.new.serial_number,
        job.aircraft.registration,
        "QCM 25-60",
        job.technician.shown_name,
        job.inspector.shown_name,
        job.certifier.shown_name,
        job.tools["torque"].code,
        "62 in-lb",
        "QCAL 1",
        "I certify",
    ):
        assert said in words


def test_an_open_swap_is_not_taken_for_a_released_one(job):
    job.open()

    assert "NOT RELEASED" in paper_of(job).state


def test_a_value_off_tolerance_stands_out(job):
    job.open()
    job.enter(7, {"value": "90", "drag": "2"})

    assert "OUT OF TOLERANCE" in words_of(paper_of(job))


def test_a_later_value_is_shown_as_not_signed(job):
    job.open()
    job.enter(2)
    job.sign(2)
    job.enter(2)

    assert "a later value is not signed" in words_of(paper_of(job))


def test_it_takes_the_pages_that_it_takes(job):
    job.open()
    short = pdf_of(paper_of(job))
    job.take_off(), job.put_on(), job.do_steps()

    made = pdf_of(paper_of(job))

    assert made.startswith(b"%PDF-")
    few, many = (len(PdfReader(BytesIO(each)).pages) for each in (short, made))
    assert 1 <= few <= many


def test_the_page_of_a_swap_is_a_pdf_for_whoever_reads(job, client):
    job.open()
    client.force_login(build.a_person("auditor"))

    answer = client.get(reverse("equipment:swap_print", args=[job.swap.pk]))

    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")


def test_the_steps_of_a_swap_are_a_workbook_with_real_moments_and_the_record_beside(job, client):
    job.open()
    job.take_off(), job.put_on(), job.do_steps()
    client.force_login(build.a_person("auditor"))

    answer = client.get(reverse("equipment:swap_file", args=[job.swap.pk, "xlsx"]))
    book = openpyxl.load_workbook(BytesIO(answer.content))
    head, *rows = book.worksheets[0].iter_rows(values_only=True)
    told = [dict(zip(head, row, strict=True)) for row in rows]

    assert [row["Step"] for row in told] == [
        step.number for step in job.swap.step_list.steps.order_by("number")
    ]
    entered = [row for row in told if row["Entered by"]]
    assert entered and all(row["Entered at"].year == build.NOW.year for row in entered)
    about = " ".join(str(cell.value) for cell in book["About"]["A"])
    assert job.aircraft.registration in about and "NOT RELEASED" in about
    assert client.get(reverse("equipment:swap_file", args=[job.swap.pk, "exe"])).status_code == 404


def test_a_file_is_shown_by_its_kind_and_not_by_its_name(job, client):
    kept = Attachment.objects.create(
        act_id="5f9c2f4e-2b1c-4f0f-9b53-0d7a5c1c8a11",
        name='evil".html',
        media_type="image/png",
        size=3,
        sha256="x",
        content=b"abc",
        recorded_at=build.NOW,
        recorded_by=job.technician,
    )
    client.force_login(build.a_person("auditor"))

    answer = client.get(reverse("equipment:attachment", args=[kept.pk]))

    assert answer["Content-Type"] == "image/png"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert '"' not in answer["Content-Disposition"].split('filename="')[1][:-1]
