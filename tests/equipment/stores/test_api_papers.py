"""The doors of programs for papers that come late, their scans, and labels to print."""

from __future__ import annotations

import base64
import uuid

import pytest

from equipment.models import Attachment, Certificate, Place, UnitTag
from equipment.stores.acts.facts import EXAMPLE_PAPER
from equipment.stores.acts.late_papers import BRING_PAPER
from equipment.stores.acts.receiving import RECEIVE
from fleet.models import User
from scheduling.models import WorkDone
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.api.world import a_world

from .test_api import code, sent
from .world import AT, certified, set_aside

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.4\n%%EOF\n"
SCAN = {"name": "LS-2024-118.pdf", "content": base64.b64encode(PDF).decode()}


@pytest.fixture
def world(db, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return a_world()


@pytest.fixture
def clerk(program, world):  # noqa: F811
    return program("stores")


@pytest.fixture
def paper(world):
    """The example about the world's slide."""
    unit = {"unit": world.slide.pk, "printed_serial": world.slide.serial_number}
    return BRING_PAPER.example | unit


def posted(client, address, **body):
    body = {"act_id": str(uuid.uuid4()), **body}
    return client.post(f"/api/v1/{address}", body, format="json")


# --- papers that come late --------------------------------------------------------------------


def test_a_late_certificate_is_recorded_with_its_scan_and_the_work_it_certifies(
    clerk, world, paper
):
    answer = sent(clerk, "papers", paper)

    kept = Certificate.objects.get(unit=world.slide, tracking_number="LS-2024-118")
    assert (answer.status_code, answer.json()["id"]) == (201, kept.pk)
    assert bytes(Attachment.objects.get(certificate=kept).content) == PDF
    assert WorkDone.objects.get(unit=world.slide, certificate="LS-2024-118").work.code == "overhaul"


def test_the_scan_of_a_certificate_on_record_is_kept_when_it_comes(clerk, world, paper):
    bare = {**paper["certificate"], "file": None}
    sent(clerk, "papers", paper, certificate=bare)
    assert not Attachment.objects.exists()

    assert sent(clerk, "papers", paper).status_code == 200
    assert bytes(Attachment.objects.get().content) == PDF


def test_a_late_certificate_moves_nothing(clerk, world, paper):
    build.moved(world.slide, "quarantined", build.in_quarantine(world.station), "2024-03-01")

    sent(clerk, "papers", paper)

    world.slide.refresh_from_db()
    assert world.slide.place.sort == Place.QUARANTINE


@pytest.mark.parametrize("acts", [1, 2])
def test_the_same_paper_sent_twice_is_one(clerk, paper, acts):
    ids = [str(uuid.uuid4()) for _ in range(acts)] * (3 - acts)

    answers = [sent(clerk, "papers", paper, act_id=act_id) for act_id in ids]

    assert [each.status_code for each in answers] == [201, 200]
    assert Certificate.objects.filter(tracking_number="LS-2024-118").count() == 1
    assert WorkDone.objects.filter(certificate="LS-2024-118").count() == 1
    assert Attachment.objects.count() == 1


@pytest.mark.parametrize(
    ("wanted", "changes"),
    [
        ("certificate_for_another", {"printed_serial": "B9"}),
        ("block_10_not_applicable", {"printed_serial": "N/A"}),
        ("work_not_certified", {"certifies": []}),
        ("work_after_certificate", {"works": [{"code": "overhaul", "done_on": "2024-02-21"}]}),
        ("unknown_measure", {"totals": [{"measure": "ZZ", "total": 5}]}),
    ],
)
def test_what_a_paper_does_not_certify_is_refused_and_nothing_is_kept(
    clerk, paper, wanted, changes
):
    assert code(sent(clerk, "papers", paper, **changes)) == wanted
    assert not Certificate.objects.filter(tracking_number="LS-2024-118").exists()
    assert not Attachment.objects.exists()


@pytest.mark.parametrize(
    ("wanted", "content"),
    [
        ("file_not_accepted", base64.b64encode(b"MZ\x90\x00 an executable").decode()),
        ("blank", ""),
        ("not_base64", "%%%"),
    ],
)
@pytest.mark.parametrize("door", ["papers", "receipts"])
def test_what_is_no_scan_is_refused_and_nothing_is_kept(clerk, paper, door, wanted, content):
    body = paper if door == "papers" else RECEIVE.example
    bad = {**body["certificate"], "file": {"name": "scan.pdf", "content": content}}

    answer = sent(clerk, door, body, certificate=bad)

    assert {each["code"] for each in answer.json()["errors"]} == {wanted}
    assert not Certificate.objects.filter(tracking_number="LS-2024-118").exists()


def test_a_receipt_keeps_the_scan_of_its_certificate(clerk):
    with_scan = {**EXAMPLE_PAPER, "file": SCAN}

    assert sent(clerk, "receipts", RECEIVE.example, certificate=with_scan).status_code == 201
    assert Attachment.objects.get().certificate.tracking_number == "LS-2024-118"


def test_a_scan_comes_after_its_certificate(clerk, world):
    kept = certified(world.slide, "C-7")
    act_id = str(uuid.uuid4())

    answers = [
        posted(clerk, "attachments", act_id=act_id, file=SCAN, certificate=kept.pk)
        for _ in range(2)
    ]

    assert [each.status_code for each in answers] == [201, 200]
    assert answers[0].json()["certificate"] == kept.pk
    assert Attachment.objects.get().certificate == kept
    [papers] = [
        each
        for each in clerk.get(f"/api/v1/units/{world.slide.pk}/papers").json()["certificates"]
        if each["tracking_number"] == "C-7"
    ]
    assert papers["id"] == kept.pk


def test_a_scan_of_a_certificate_that_is_not_there_is_refused(clerk, world):
    kept = certified(world.slide, "C-7")

    assert code(posted(clerk, "attachments", file=SCAN, certificate=10**6)) == "unknown_certificate"
    both = posted(clerk, "attachments", file=SCAN, certificate=kept.pk, sighting=1)
    assert code(both) == "belongs_to_nothing"
    assert code(posted(clerk, "attachments", file=SCAN)) == "belongs_to_nothing"


# --- labels -----------------------------------------------------------------------------------


def tagged(unit):
    UnitTag.objects.create(
        act_id=uuid.uuid4(),
        unit=unit,
        sort="unserviceable",
        why="defect",
        words="Torn girt",
        tagged_at=build.instant("2024-03-01 10:00"),
        recorded_at=AT,
        recorded_by=User.objects.first(),
    )


def test_labels_and_tags_are_pdfs(clerk, world):
    tagged(world.slide)
    held = set_aside(world.slide, world.place.pk)

    for address in (
        f"units/{world.slide.pk}/label",
        f"units/{world.slide.pk}/hung-tag",
        f"reservations/{held.pk}/label",
    ):
        answer = clerk.get(f"/api/v1/stores/{address}")
        assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
        assert answer.content.startswith(b"%PDF-")
        assert answer["Content-Disposition"].startswith('inline; filename="')


@pytest.mark.parametrize(
    ("address", "wanted"),
    [
        (f"units/{2**62}/label", "unknown_unit"),
        (f"units/{2**62}/hung-tag", "unknown_unit"),
        ("reservations/999999/label", "unknown_reservation"),
    ],
)
def test_what_is_not_there_is_a_problem_and_no_pdf(clerk, address, wanted):
    answer = clerk.get(f"/api/v1/stores/{address}")

    assert answer.status_code == 404
    assert code(answer) == wanted


def test_a_unit_without_a_tag_says_so(clerk, world):
    assert code(clerk.get(f"/api/v1/stores/units/{world.slide.pk}/hung-tag")) == "no_tag"


def test_nobody_prints_without_a_token(client, world):
    assert client.get(f"/api/v1/stores/units/{world.slide.pk}/label").status_code == 401
