"""A list too long to wait for: asked for, made by the job with its progress, every row of it; killed, begun again."""

from __future__ import annotations

import io
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from fleet.house.refusals import Refused
from scheduling.due.pages import pages as due_pages
from scheduling.models import DueItem, PaperAsked
from scheduling.papers.acts import making
from scheduling.papers.acts.asking import PaperWanted, ask_for_paper
from scheduling.papers.acts.making import make_papers
from tests import builders as build
from tests.equipment.line_world import signed_in
from tests.scheduling.planning.world import an_aircraft, due_in, overhauls, reckoned

pytestmark = pytest.mark.django_db


@pytest.fixture
def fleet(monkeypatch):
    """Six items, where more than four are long."""
    monkeypatch.setattr(due_pages, "LONG_ROWS", 4)
    overhauls()
    crafts = [an_aircraft(), an_aircraft()]
    for craft in crafts:
        for at, position in enumerate(("D1L-SLIDE", "D1R-SLIDE", "D2L-SLIDE")):
            due_in(craft, position, 100 + at)
    reckoned()
    return crafts


def asked(person, query="") -> PaperAsked:
    wanted = PaperWanted(query, "https://house.invalid/due/")
    return ask_for_paper(by=person, wanted=wanted, act_id=uuid4(), at=timezone.now())


def words_of(content) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def test_a_long_list_is_asked_for_made_with_every_row_and_fetched(fleet):
    client = signed_in(build.a_person("auditor"))
    leads = client.get(reverse("scheduling:due_export", args=["pdf"]), {"sort": "due"})
    assert leads.status_code == 302 and leads["Location"].startswith("/due/paper/?")
    page = client.get(leads["Location"]).content.decode()
    assert 'name="query" value="sort=due' in page

    sent = {"act_id": str(uuid4()), "query": "sort=due"}
    there = client.post(reverse("scheduling:paper_ask"), sent)["Location"]
    assert "It waits for the job" in client.get(there).content.decode()
    make_papers(timezone.now())

    done = client.get(there).content.decode()
    paper = client.get(there + "file/")
    assert "6 rows on 1 page." in done and "http-equiv" not in done
    text = words_of(paper.content)
    serials = DueItem.objects.values_list("unit__serial_number", flat=True)
    assert len(serials) == 6 and all(serial in text for serial in serials)
    assert "Printed by" in text


def test_a_narrowed_list_is_made_as_it_was_asked_for_and_a_short_one_at_once(fleet):
    person = build.a_person("auditor")
    craft = fleet[0]
    at_once = signed_in(person).get(
        reverse("scheduling:due_export", args=["pdf"]), {"aircraft": craft.registration}
    )
    paper = asked(person, f"aircraft={craft.registration}")
    make_papers(timezone.now())

    paper.refresh_from_db()
    text = words_of(bytes(paper.content))
    assert at_once.status_code == 200 and paper.rows == 3
    assert craft.registration in text and fleet[1].registration not in text


def test_its_progress_is_kept_beside_it_while_it_is_made(fleet, monkeypatch):
    paper = asked(build.a_person("auditor"))
    monkeypatch.setattr(making, "STEP", 4)
    seen = []
    monkeypatch.setattr(
        making,
        "file_of",
        lambda *a, **m: seen.append(PaperAsked.objects.get(pk=paper.pk)) or b"/Type/Page ",
    )

    assert make_papers(timezone.now()) == 1

    assert (seen[0].rows, seen[0].rows_in_all, seen[0].finished_at) == (6, 6, None)
    page = signed_in(paper.asked_by).get(reverse("scheduling:paper", args=[paper.pk]))
    assert page.status_code == 200


class Killed(BaseException):
    """The process dies here."""


def test_killed_while_making_it_is_begun_again_and_given_up_after_three_times(fleet, monkeypatch):
    paper = asked(build.a_person("auditor"))

    def dies(*args, **more):
        raise Killed

    with monkeypatch.context() as broken:
        broken.setattr(making, "file_of", dies)
        for _ in range(2):
            with pytest.raises(Killed):
                make_papers(timezone.now())
    make_papers(timezone.now())
    paper.refresh_from_db()
    assert paper.content is not None and paper.tries == 3

    other = asked(paper.asked_by)
    PaperAsked.objects.filter(pk=other.pk).update(tries=3)
    make_papers(timezone.now())
    other.refresh_from_db()
    assert other.fault.startswith("It was cut off three times") and other.content is None


def test_what_has_too_many_rows_says_so_and_what_is_old_is_dropped(fleet, monkeypatch):
    monkeypatch.setattr(making, "MOST_ROWS", 5)
    paper = asked(build.a_person("auditor"))
    make_papers(timezone.now())
    paper.refresh_from_db()
    page = signed_in(paper.asked_by).get(reverse("scheduling:paper", args=[paper.pk]))
    assert "narrow it, or take the workbook" in page.content.decode()

    make_papers(timezone.now() + timedelta(days=3))
    assert not PaperAsked.objects.exists()


def test_another_persons_paper_is_not_there_and_a_fourth_waits(fleet):
    person = build.a_person("auditor")
    paper = asked(person)
    other = signed_in(build.a_person("controller"))
    assert other.get(reverse("scheduling:paper", args=[paper.pk])).status_code == 404
    assert other.get(reverse("scheduling:paper_file", args=[paper.pk])).status_code == 404

    asked(person)
    asked(person)
    with pytest.raises(Refused) as refused:
        asked(person)
    assert refused.value.code == "too_many_papers"
    with pytest.raises(Refused) as refused:
        asked(build.a_person("controller"), "aircraft=NOWHERE")
    assert refused.value.code == "unknown_list"
