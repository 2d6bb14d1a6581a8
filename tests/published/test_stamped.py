"""A cylinder's own specification and marks choose the published period, not its part number and not the person.

49 CFR 180.209(a) Table 1: 3HT 3 years, 3AA 5 years, 3E no test; 180.209(b): 10 years for 3A and 3AA with the
five-pointed star; 180.209(g): external visual inspection every 5 years; a permit has its own period.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.markings import Markings, record_markings
from equipment.availability.acts.requalifications import Requalifying, record_requalification
from equipment.availability.stamped import stamped_on
from equipment.codes.cylinder_marks import read_marks, read_specification
from equipment.models import CylinderMarking, CylinderSpecification, Filling, Unit
from equipment.units.cylinder import cylinder_of
from fleet.house.refusals import Refused
from scheduling.due.uncovered import uncovered
from scheduling.entries.by_specification import begun_of, cylinders_on_record
from scheduling.programme.published import points_for
from tests import builders as build
from tests.equipment.availability.test_using import Need, need
from tests.equipment.line_world import signed_in
from tests.equipment.stores.world import AT, TODAY
from tests.published.test_requalification import made_of

pytestmark = pytest.mark.django_db
__all__ = ["need"]


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(AT, tick=False):
        yield


@pytest.fixture
def bottle(need: Need) -> Unit:
    """A spare in the store that was filled once; nothing says its specification, and no limit covers it."""
    Filling.objects.create(
        act_id=uuid4(),
        unit=need.unit,
        sort="filling",
        done_on=TODAY,
        number=1,
        recorded_at=AT,
        recorded_by=build.a_person("stores"),
    )
    return need.unit


@pytest.mark.parametrize(
    ("text", "code", "service"),
    [
        ("DOT-3AA1850", "3AA", 1850),
        ("dot 3ht 1850", "3HT", 1850),
        ("ICC-3A2015", "3A", 2015),
        ("3AAX 2400 psi", "3AAX", 2400),
        ("4B240ET", "4B-240ET", None),
        ("DOT-4AA480", "4AA480", None),
        ("DOT-E 8162-1850", "SP 8162", 1850),
        ("DOT-SP 8162", "SP 8162", None),
        ("E 8162 1850", "SP 8162", 1850),
        ("TC-3HTM 127", "TC-3HTM 127", None),
    ],
)
def test_a_specification_is_read_as_it_is_stamped(text, code, service):
    found = read_specification(text)

    assert (found.code, found.service_psig) == (code, service)


@pytest.mark.parametrize(
    ("text", "marks"),
    [("", ()), ("+", ("+",)), ("* +", ("+", "★")), ("star, E", ("★", "E")), ("X", None)],
)
def test_marks_are_read_in_their_order(text, marks):
    assert read_marks(text) == marks


@pytest.mark.parametrize(
    ("specification", "marks", "months", "source"),
    [
        ("3HT", (), 36, "49 CFR 180.209(a) Table 1"),
        ("3AA", (), 60, "49 CFR 180.209(a) Table 1"),
        ("3AA", ("+",), 60, "49 CFR 180.209(a) Table 1"),
        ("3AA", ("+", "★"), 120, "49 CFR 180.209(b)"),
        ("3HT", ("★",), 36, "49 CFR 180.209(a) Table 1"),
        ("3E", (), None, "49 CFR 180.209(a) Table 1"),
        ("SP 8162", (), None, "49 CFR 180.209(a) Table 1"),
    ],
)
def test_the_unit_chooses_the_period(specification, marks, months, source):
    first = points_for(specification, marks)[0]

    assert (first.months, first.source) == (months, source)


def test_of_what_no_table_has_nothing_is_chosen():
    assert points_for("TC-3HTM 127", ()) == []


def test_a_visual_inspection_is_offered_of_what_is_marked_so_and_never_first():
    slugs = [one.slug for one in points_for("4B", ("E",))]

    assert slugs[0] == "cylinder-4b"
    assert slugs[-1] == "cylinder-visual"


# --- through the act ------------------------------------------------------------------------------

READ = Markings(0, "DOT-3AA1850", TODAY, "", "3083 psi", "+ *", "a123", "photo 7")


def marked(unit, by="stores", **more) -> CylinderMarking:
    said = replace(READ, unit_id=unit.pk, **more)
    return record_markings(by=build.a_person(by), markings=said, act_id=uuid4(), at=AT)


def test_what_is_read_is_kept_and_the_last_reading_counts(bottle):
    marked(bottle, read_on=build.day("2026-01-05"), specification="3HT")
    made = marked(bottle)

    found = stamped_on(bottle)
    assert (made.specification, made.service_psig, made.test_psig) == ("3AA", 1850, Decimal("3083"))
    assert (found.specification, found.marks, found.requalifier) == ("3AA", ("+", "★"), "A123")
    assert found.lacks == ()


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("specification", "  ", "missing"),
        ("specification", "X" * 41, "too_long"),
        ("specification", "X" * 30, "too_long"),
        ("marks", "?!", "not_a_mark"),
        ("requalifier", "12", "not_a_requalifier"),
        ("test_pressure", "much", "not_a_number"),
        ("test_pressure", "0 psi", "not_plausible"),
        ("test_pressure", "900000 psi", "not_plausible"),
        ("read_on", build.day("2190-01-01"), "in_the_future"),
        ("read_on", build.day("0002-01-01"), "not_plausible"),
        ("document", "\x00", "unreadable"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(bottle, field, value, code):
    with pytest.raises(Refused) as refused:
        marked(bottle, **{field: value})

    assert [(each.code, each.field) for each in refused.value.refusals] == [(code, field)]
    assert not CylinderMarking.objects.exists()


def test_what_has_its_cylinder_inside_is_not_the_cylinder(bottle):
    slide = build.a_unit(build.a_part())
    build.PartPosition.objects.create(
        part_number=slide.part_number, code="BTL", name="Bottle", kind=bottle.part_number.kind
    )
    build.installed(bottle, build.inside(slide, "BTL"), TODAY.isoformat())

    with pytest.raises(Refused) as refused:
        marked(slide)

    assert [(each.code, each.field) for each in refused.value.refusals] == [
        ("not_the_cylinder", "unit")
    ]
    assert marked(bottle).unit == bottle


def test_what_the_part_number_says_is_said_to_be_no_reading(bottle, as_owner):
    with as_owner():
        made_of(bottle, "3HT")

    found = cylinder_of(bottle)

    assert (found.stamped.specification, found.stamped.is_own) == ("3HT", False)
    assert "its own specification" in found.lacks
    assert found.chosen.months == 36


def test_a_unit_that_is_otherwise_than_its_part_number_says_so_and_counts(bottle, as_owner):
    with as_owner():
        made_of(bottle, "3HT")
    marked(bottle)

    found = cylinder_of(bottle)

    assert "on record as a 3HT cylinder" in found.stamped.differs
    assert (found.chosen.start, found.chosen.months) == ("cylinder-3a-star", 120)
    assert begun_of(str(bottle.pk)).point.slug == "cylinder-3a-star"
    assert begun_of(str(bottle.pk)).rule["part_numbers"].endswith(bottle.part_number.number)


def test_a_filled_unit_without_a_specification_says_what_it_lacks(bottle):
    signed = signed_in(build.a_person("controller"))

    found = cylinder_of(bottle)
    page = signed.get(reverse("equipment:unit", args=[bottle.pk])).content.decode()

    assert (found.stamped, found.lacks) == (None, ("its specification",))
    assert "Not on record:" in page and "Record what is stamped on it" in page
    assert bottle in cylinders_on_record(TODAY).unknown


def test_a_marked_cylinder_that_no_limit_covers_says_so_without_a_design(bottle):
    assert uncovered([bottle.pk], TODAY) == {}
    marked(bottle)

    words = uncovered([bottle.pk], TODAY)[bottle.pk]

    assert "is a 3AA cylinder, and no limit of a programme covers its periodic test" in words
    assert "49 CFR 180.209(a) Table 1 has 60 months" in words


def test_of_a_specification_without_a_test_nothing_is_said(bottle):
    marked(bottle, specification="3E")

    assert uncovered([bottle.pk], TODAY) == {}


def test_its_test_is_judged_by_its_own_specification(bottle, as_owner):
    with as_owner():
        made_of(bottle, "4E", times=(2, 1), service=240)
        CylinderSpecification.objects.create(
            code="3AA",
            document="49 CFR 180.209",
            period_months=60,
            times_over=5,
            times_under=3,
            recorded_at=AT,
        )
    marked(bottle)
    test = Requalifying(bottle.pk, "A1 9 26 32", "Lee Shore", True, "480 psi", "100 ml", "5 ml")

    with pytest.raises(Refused, match="3AA asks for at least"):
        record_requalification(by=build.a_person("stores"), test=test, act_id=uuid4(), at=AT)


def test_the_limit_of_a_unit_begins_from_its_own_rule(bottle):
    marked(bottle)
    signed = signed_in(build.a_person("controller"))

    page = signed.get(reverse("scheduling:limit_new"), {"unit": bottle.pk}).content.decode()
    points = signed.get(reverse("scheduling:starting_points")).content.decode()

    assert "is a 3AA cylinder marked + ★, as stamped on it" in page
    assert "49 CFR 180.209(b)" in page and 'value="120"' in page
    assert "without a limit that covers the test" in points
    assert f"?unit={bottle.pk}" in points


def test_the_page_keeps_what_was_typed_where_it_is_refused(bottle):
    signed = signed_in(build.a_person("stores"))
    address = reverse("equipment:unit_markings", args=[bottle.pk])
    typed = {
        "act_id": str(uuid4()),
        "specification": "DOT-3AA1850",
        "read_on": "2026-10-05",
        "marks": "?",
    }

    refused = signed.post(address, typed)
    done = signed.post(address, {**typed, "marks": "*"})

    assert refused.status_code == 422
    assert "Write any of + ★ E, or nothing." in refused.content.decode()
    assert 'value="DOT-3AA1850"' in refused.content.decode()
    assert done.status_code == 302
    assert CylinderMarking.objects.get().marks == "★"
