from __future__ import annotations

from io import BytesIO
from uuid import uuid4

import numpy as np
import pytest
import zxingcpp
from reportlab.pdfgen.canvas import Canvas

from equipment.availability.acts.holds import NewHold, hold_units
from equipment.codes.read import read_mark
from equipment.models import Certificate, Maker, Unit, UnitTag
from equipment.units import drawn as drawing
from equipment.units import labels
from equipment.units.ports import Ending
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, set_aside

pytestmark = pytest.mark.django_db
NOW = {"on": TODAY, "at": AT, "is_demonstration": False}


@pytest.fixture
def unit(db):
    part = build.a_part("HS-1")
    Maker.objects.filter(pk=part.maker_id).update(code="HALY1")
    return a_stocked_unit(build.a_station("LYD"), part, serial_number="A100")


def lines(sheet):
    return {name: value for name, value in sheet.lines}


def read_back(text):
    """What a reader sees of the squares that are drawn for a text."""
    drawn = []

    class Path:
        def rect(self, x, y, width, height):
            drawn.append((round(x), round(y), round(width)))

    class Page(Canvas):
        def beginPath(self):
            return Path()

        def drawPath(self, path, stroke, fill):
            pass

    drawing.draw_code(Page(BytesIO()), text, 0, 0, 720)
    picture = np.full((840, 840), 255, np.uint8)
    for x, y, side in drawn:
        picture[780 - y - side : 780 - y, 60 + x : 60 + x + side] = 0
    return zxingcpp.read_barcodes(picture)[0].bytes.decode()


def test_the_drawn_code_is_read_back_to_the_same_part_and_serial(unit):
    code = labels.unit_label(unit.pk, **NOW).code

    mark = read_mark(read_back(code), year=2027)

    assert (mark.maker_code, mark.part_number, mark.serial) == ("HALY1", "HS-1", "A100")


def test_what_a_label_cannot_carry_is_coded_in_plain_text(unit):
    Maker.objects.update(code="HALYARD")

    assert labels.unit_label(unit.pk, **NOW).code == "P/N HS-1 S/N A100"


def test_a_unit_set_aside_says_for_what_when_and_by_whom(unit):
    clerk = build.a_person("stores")
    kept = set_aside(unit, unit.place_id, clerk)

    sheet = labels.set_aside_label(kept.pk, **NOW)

    assert lines(sheet)["Needed on"] == "1 Jul 2027"
    assert clerk.shown_name in lines(sheet)["Set aside by"]


def tag(unit, sort="unserviceable", **more):
    facts = {
        "why": "defect",
        "words": "Girt torn",
        "actions_needed": "Repair",
        "exposure": "Heavy landing",
        "preservation": "Dry bag",
        "total_minutes": 60_000,
        "total_cycles": 41,
    }
    return UnitTag.objects.create(
        act_id=uuid4(),
        unit=unit,
        sort=sort,
        tagged_at=AT,
        recorded_at=AT,
        recorded_by=build.a_person("technician"),
        **facts | more,
    )


def test_an_unserviceable_tag_says_all_that_is_asked_of_one(unit):
    sheet = labels.unit_tag(tag(unit), **NOW)

    said = lines(sheet)
    assert sheet.title == "Unserviceable"
    assert [said[name] for name in ("Part number", "Serial number", "Failure or defect")] == [
        "HS-1",
        "A100",
        "Girt torn",
    ]
    assert (said["Actions needed"], said["Adverse exposure, accident"]) == (
        "Repair",
        "Heavy landing",
    )
    assert (said["Preservation"], said["Why"]) == ("Dry bag", "a defect")
    assert "41 cycles" in said["Times as tagged"]
    assert "Do not remove this tag" in sheet.foot


def test_a_serviceable_tag_names_the_release(unit):
    sheet = labels.unit_tag(tag(unit, "serviceable", why="shop"), **NOW)

    assert lines(sheet)["Certificate"] == f"Form 1 S-{unit.pk}, Overhauled, 1 Feb 2027"
    assert lines(sheet)["Released by"] == "Lee Shore Overhaul"


@pytest.mark.parametrize("is_demonstration", [True, False])
def test_it_prints_on_one_page_and_is_the_same_each_time(unit, is_demonstration):
    sheet = labels.unit_tag(
        tag(unit, words="very " * 60), **NOW | {"is_demonstration": is_demonstration}
    )

    made = drawing.pdf_of(sheet)

    assert made.startswith(b"%PDF-")
    assert made.count(b"/Type /Page\n") == 1
    assert made == drawing.pdf_of(sheet)


def test_demonstration_is_marked_as_invented(unit, monkeypatch):
    drawn = []
    monkeypatch.setattr(Canvas, "drawString", lambda self, x, y, text: drawn.append(text))

    drawing.pdf_of(labels.unit_label(unit.pk, **NOW | {"is_demonstration": True}))

    assert "Invented demonstration data. Not for use." in drawn


AGAINST = [
    ("quarantine", "Quarantine", "in quarantine"),
    ("hold", "Held", "is held: suspected unapproved part"),
    ("condemned", "Unserviceable", "is tagged unsalvageable"),
    ("no certificate", "No certificate", "no release certificate"),
]


def made_unusable(unit, how):
    """The unit in a state in which nobody may use it."""
    if how == "quarantine":
        build.moved(unit, "quarantined", build.in_quarantine(unit.place.station), "2027-03-02")
    elif how == "hold":
        hold = NewHold("unit", "unapproved", "Stamps unknown", unit_id=unit.pk)
        hold_units(by=build.a_person("stores"), hold=hold, act_id=uuid4(), at=AT)
    elif how == "condemned":
        tag(unit, "unsalvageable", words="Burnt")
    else:
        Certificate.objects.filter(unit=unit).delete()
    return Unit.objects.get(pk=unit.pk)


@pytest.mark.parametrize(("how", "title", "words"), AGAINST)
def test_a_label_says_that_a_unit_may_not_be_used_and_why(unit, as_owner, how, title, words):
    with as_owner():
        unit = made_unusable(unit, how)

    sheet = labels.unit_label(unit.pk, **NOW)

    assert sheet.title == title
    assert sheet.is_striking
    assert words in lines(sheet)["Why not"]


@pytest.mark.parametrize(("how", "title", "words"), [a for a in AGAINST if a[0] != "condemned"])
def test_no_serviceable_tag_prints_for_what_may_not_be_used(unit, as_owner, how, title, words):
    with as_owner():
        unit = made_unusable(unit, how)

    sheet = labels.unit_tag(tag(unit, "serviceable", why="shop"), **NOW)

    assert sheet.title == "Not serviceable"
    assert words in lines(sheet)["Not for use"]
    assert "Released by" not in lines(sheet)


def test_what_may_be_used_says_until_when_and_by_which_limit(unit, monkeypatch):
    monkeypatch.setattr(
        "equipment.units.printed_state.ends_first",
        lambda unit_id, on: Ending(build.day("2029-03-14"), "Overhaul"),
    )

    sheet = labels.unit_label(unit.pk, **NOW)

    assert sheet.title == "Serviceable"
    assert lines(sheet)["Good until"] == "14 Mar 2029 (Overhaul)"
