"""The printed record of a swap by itself is enough for whoever reads it years later."""

from __future__ import annotations

import re
from io import BytesIO
from uuid import uuid4

import pytest
from PIL import Image
from pypdf import PdfReader

from equipment.common.paper import pdf_of
from equipment.models import Attachment
from fleet.models import UtilisationReading
from tests import builders as build
from tests.builders_swaps import a_job

from .test_prints import paper_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(db):
    made = a_job()
    made.open()
    made.take_off()
    made.put_on()
    made.enter(7, {"value": "90", "drag": "2"})
    made.enter(7, {"value": "61", "drag": "2"})
    made.do_steps()
    return made


def part_of(job, heading):
    return next(part for part in paper_of(job).parts if part.heading == heading)


def test_every_entry_is_there_with_its_time_the_overwritten_ones_too(job):
    rows = part_of(job, "Every entry, in the order entered").rows

    entries = job.swap.entries.order_by("pk")
    assert len(rows) == entries.count()
    for row, entry in zip(rows, entries, strict=True):
        assert f"{entry.entered_at:%H:%M}" in row[0]
        assert job.technician.shown_name in row[2]
    sevens = [row for row in rows if row[1].startswith("7")]
    assert ["replaced" in " ".join(row) for row in sevens] == [True, True, False]
    assert "90" in " ".join(sevens[0])


def test_everybody_who_signed_stands_with_an_authorisation(job):
    job.release()

    rows = part_of(job, "Who signed, and under which authorisation").rows

    held = {
        user: user.authorisations.get().number
        for user in (job.technician, job.inspector, job.certifier)
    }
    for user, number in held.items():
        assert any(user.shown_name in row[0] and number in row[2] for row in rows), user


def test_the_certificate_the_destination_and_the_photos_are_told(job):
    paper = job.new.certificates.get()
    photo = a_photo(job)

    words = words_of(paper_of(job))

    assert f"{paper.form} {paper.tracking_number}" in words
    assert f"to quarantine {job.station.code}" in words
    assert photo.name in words
    assert photo.sha256[:16] in words


def a_photo(job, content=None):
    picture = BytesIO()
    Image.new("RGB", (40, 30), "red").save(picture, "JPEG")
    return Attachment.objects.create(
        act_id=uuid4(),
        swap=job.swap,
        step=job.step(12),
        name="pins.jpg",
        media_type="image/jpeg",
        size=3,
        sha256="ab" * 32,
        content=content or picture.getvalue(),
        recorded_at=build.NOW,
        recorded_by=job.technician,
    )


def test_hours_and_cycles_are_told_as_read_then_or_as_last_read(job):
    hours = build.the_hours()
    UtilisationReading.objects.create(
        aircraft=job.aircraft,
        measure=hours,
        total=600_000,
        read_at=build.instant("2027-05-30 22:00"),
        act_id=uuid4(),
        recorded_at=build.NOW,
    )

    facts = dict(paper_of(job).facts)

    assert "10\u202f000:00 h, read 30 May 2027" in facts["Aircraft's hours and cycles"]


def test_one_zone_is_said_and_used(job):
    job.release()
    paper = paper_of(job)

    assert "UTC" in dict(paper.facts)["Times"]
    times = re.findall(r"\d\d:\d\d (\w+)", words_of(paper))
    assert set(times) == {"UTC"}


def test_the_pages_are_numbered_and_nothing_is_drawn_too_small_to_read(job):
    a_photo(job)

    assert len(PdfReader(BytesIO(pdf_of(paper_of(job)))).pages) > 1
    assert paper_of(job).photos


def test_a_photo_that_cannot_be_drawn_is_still_named(job):
    a_photo(job, b"\xff\xd8\xff no picture")

    assert pdf_of(paper_of(job)).startswith(b"%PDF-")
    assert "pins.jpg" in words_of(paper_of(job))


def test_page_n_of_m_stands_on_each(job):
    a_photo(job)

    pages = [page.extract_text() for page in PdfReader(BytesIO(pdf_of(paper_of(job)))).pages]

    assert len(pages) > 1
    for number, text in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in text


def test_every_word_of_the_record_is_on_paper(job):
    job.release()
    paper = paper_of(job)

    text = "".join(page.extract_text() for page in PdfReader(BytesIO(pdf_of(paper))).pages)

    def letters(words: str) -> str:
        return re.sub(r"\s+", "", words)

    cells = [cell for part in paper.parts for row in part.rows for cell in row if cell]
    assert [cell for cell in cells if letters(cell) not in letters(text)] == []
