"""Whoever may not do an act leaves nothing behind, whichever door was tried: no place either."""

from __future__ import annotations

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
import xlsxwriter
from django.urls import reverse

from equipment.findings.acts.open_items import Opening, open_item
from equipment.ledger.facts import PlaceAt
from equipment.models import OpenItem, Place
from fleet.house.refusals import Refused
from fleet.loading.batch import Bringing
from fleet.loading.run import load_files
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401

pytestmark = pytest.mark.django_db
OPENING = {
    "document": "QMEL 25-60-1 revision 9",
    "words": "door without slide",
    "found_on": "2026-06-01",
    "expires_on": "2026-06-10",
}


@pytest.fixture
def aircraft(db):
    """Of its one position no record speaks yet, so it has no place."""
    made = build.an_aircraft("D1L")
    assert not Place.objects.exists()
    return made


def nothing_is_left():
    return not Place.objects.exists() and not OpenItem.objects.exists()


def test_by_page(aircraft, client):
    client.force_login(build.a_person("technician"))
    where = f"{aircraft.registration} D1L"

    answer = client.post(
        reverse("equipment:open_item_new"), {**OPENING, "where": where, "act_id": uuid4()}
    )

    assert answer.status_code == 422
    assert "Your role does not allow this" in answer.content.decode()
    assert nothing_is_left()


def test_by_api(aircraft, program):  # noqa: F811
    place = {"sort": "aircraft", "aircraft": aircraft.registration, "position": "D1L"}

    answer = program("technician").post(
        "/api/v1/open-items", {**OPENING, "place": place, "act_id": str(uuid4())}, format="json"
    )

    assert answer.status_code == 403
    assert nothing_is_left()


def brought(tmp_path, by, aircraft, **changes):
    """What became of one line of the sheet of open items; what is good of it is kept."""
    told = {**OPENING, **changes}
    path = tmp_path / "open.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Open items")
        heads = ["Registration", "Position", "What is open", "Document", "Found on", "Last day"]
        sheet.write_row(0, 0, heads)
        line = [told[name] for name in ("words", "document", "found_on", "expires_on")]
        sheet.write_row(1, 0, [aircraft.registration, "D1L", *line])
    at = datetime(2026, 6, 2, 9, tzinfo=UTC)
    bringing = Bringing(by=by, at=at, today=at.date(), key=uuid4())
    result = load_files([(path, "open.xlsx")], bringing, keep=lambda result: True)
    return {found.code for sheet in result.sheets for found in sheet.findings}


def test_by_sheet(aircraft, tmp_path):
    codes = brought(tmp_path, build.a_person("administrator"), aircraft)

    assert codes == {"not_permitted"}
    assert nothing_is_left()


def test_by_a_line_that_is_refused(aircraft, tmp_path):
    codes = brought(tmp_path, build.a_person("controller"), aircraft, expires_on="2026-05-01")

    assert codes == {"an_open_item_lasts_at_least_a_day"}
    assert nothing_is_left()


def test_a_position_that_is_nowhere_is_not_taken_for_the_whole_aircraft(aircraft):
    nowhere = PlaceAt(Place.AIRCRAFT, aircraft_position_id=2**40)
    opening = Opening("QMEL", "open", date(2026, 6, 1), date(2026, 6, 10))
    at = datetime(2026, 6, 2, 9, tzinfo=UTC)

    with pytest.raises(Refused) as refused:
        open_item(
            by=build.a_person("controller"),
            opening=opening,
            act_id=uuid4(),
            at=at,
            place=nowhere,
            aircraft_id=aircraft.pk,
        )

    assert [each.code for each in refused.value.refusals] == ["unknown_place"]
    assert nothing_is_left()
