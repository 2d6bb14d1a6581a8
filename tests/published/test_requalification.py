"""A cylinder's periodic test through the product (published-facts section 1: 49 CFR 180.205, 180.209, 180.213)."""

from __future__ import annotations

from decimal import Decimal
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.requalifications import Requalifying, record_requalification
from equipment.codes.cylinder_marks import read_stamp
from equipment.judging.cylinders import CylinderRule, least_test_pressure
from equipment.models import CylinderDesign, CylinderSpecification, Requalification, UnitTag
from fleet.house.refusals import Refused
from scheduling.answers.swaps import bottle_limits
from scheduling.models import WorkDone
from tests import builders as build
from tests.published.test_bottles_in_service import bottle  # noqa: F401

NOW = build.instant("2026-10-05 12:00")


@pytest.mark.parametrize(
    ("times", "service", "pressure"),
    [((5, 3), "1800", "3000.0"), ((5, 3), "1850", "3083.3"), ((2, 1), "500", "1000.0")],
)
def test_hy_09_the_test_pressure_is_a_share_of_the_service_pressure(times, service, pressure):
    # 180.209(a) Table 1: 3AA 5/3 x SP (1800 -> 3000.0), 4D 2 x SP.
    rule = CylinderRule("3AA", times, None, Decimal(10))

    assert str(least_test_pressure(rule, Decimal(service))) == pressure


@pytest.mark.parametrize(
    ("text", "requalifier", "month", "method"),
    [
        ("A1 9 06 32", "A123", "2006-09-01", "volumetric"),  # and not A132
        ("A1\n9   06\n32", "A123", "2006-09-01", "volumetric"),
        ("b4 11/24 S 65", "B456", "2024-11-01", "proof pressure"),
        ("A1 9 06 E 32", "A123", "2006-09-01", "external visual"),
        ("A1 12 21+ 32", "A123", "2021-12-01", "volumetric, 10 % over"),
    ],
)
def test_hy_17_the_requalifiers_number_is_read_round_the_square(text, requalifier, month, method):
    # 180.213(d): upper left, upper right, lower right, lower left; September 2006, A123.
    stamp = read_stamp(text, 2026)

    assert (stamp.requalifier, stamp.month, stamp.method) == (requalifier, build.day(month), method)


@pytest.mark.parametrize(
    "text", ["", "A1 13 06 32", "A1 9 06", "9 06", "A123", "A1 9 06 3X", "\x00"]
)
def test_what_is_no_stamp_is_not_guessed(text):
    assert read_stamp(text, 2026) is None


# --- through the act --------------------------------------------------------------------------


@pytest.fixture
def cylinder(bottle):  # noqa: F811
    return made_of(bottle, "4E", times=(2, 1), percent=12, service=240)


def made_of(unit, code, *, times=(5, 3), percent=10, service=1800, **size):
    specification = CylinderSpecification.objects.create(
        code=code,
        document="49 CFR 180.209",
        period_months=60,
        times_over=times[0],
        times_under=times[1],
        most_permanent_percent=percent,
        recorded_at=NOW,
    )
    CylinderDesign.objects.create(
        part_number=unit.part_number, specification=specification, service_psig=service, **size
    )
    return unit


def requalified(unit, by="stores", **more):
    plain = {
        "marking": "A1 9 26 32",
        "operator": "Lee Shore Cylinders",
        "is_sound": True,
        "test_pressure": "480 psi",
        "total_expansion": "100 ml",
        "permanent_expansion": "5 ml",
    }
    test = Requalifying(unit.pk, **{**plain, **more})
    return record_requalification(by=build.a_person(by), test=test, act_id=uuid4(), at=NOW)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("permanent", "verdict"), [("11.9", "in"), ("12", "in"), ("12.1", "out"), ("12.1 cc", "out")]
)
def test_hy_07_a_4e_is_condemned_above_twelve_per_cent(cylinder, permanent, verdict):
    # 180.205(i)(1): more than 10 % (4E: more than 12 %) condemns.
    assert requalified(cylinder, permanent_expansion=permanent).verdict == verdict


@pytest.mark.django_db
def test_any_other_is_condemned_above_ten_per_cent(bottle):  # noqa: F811
    made_of(bottle, "3AA")

    assert requalified(bottle, test_pressure="3000", permanent_expansion="10").verdict == "in"
    assert requalified(bottle, test_pressure="3000", permanent_expansion="10.1").verdict == "out"


@pytest.mark.django_db
def test_passed_the_limits_that_forbid_a_filling_count_anew(cylinder):
    assert bottle_limits(cylinder.pk, NOW.date()).requalify_by == build.day("2026-09-30")

    requalified(cylinder)

    assert bottle_limits(cylinder.pk, NOW.date()).requalify_by == build.day("2031-09-30")


@pytest.mark.django_db
def test_condemned_it_is_kept_as_failed_and_tagged_for_good(cylinder):
    requalified(cylinder, permanent_expansion="20")

    assert WorkDone.objects.get(result="failed").unit == cylinder
    tag = UnitTag.objects.get(unit=cylinder)
    assert (tag.sort, "condemned" in tag.words) == ("unsalvageable", True)
    assert bottle_limits(cylinder.pk, NOW.date()).requalify_by == build.day("2026-09-30")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"test_pressure": "479"}, "not_requalified", "test_pressure"),
        ({"test_pressure": ""}, "not_requalified", "test_pressure"),
        ({"permanent_expansion": ""}, "not_requalified", "test_pressure"),
        ({"marking": "A132"}, "not_a_stamp", "marking"),
        ({"marking": "A1 11 26 32"}, "in_the_future", "marking"),
        ({"total_expansion": "heavy"}, "not_a_number", "total_expansion"),
        ({"operator": " "}, "missing", "operator"),
    ],
)
def test_a_test_that_says_nothing_is_refused(cylinder, more, code, field):
    with pytest.raises(Refused) as refused:
        requalified(cylinder, **more)

    assert (refused.value.code, refused.value.field) == (code, field)
    assert not Requalification.objects.exists()


@pytest.mark.django_db
def test_hy_19_a_cylinder_so_small_needs_no_expansion_test_but_is_looked_at(bottle):  # noqa: F811
    # 180.209(a) foot-note 1: 1.9 in x 20 in is excepted from the volumetric expansion test.
    made_of(bottle, "3AA", diameter_mm=Decimal("48.3"), length_mm=Decimal("508"))
    none = {"total_expansion": "", "permanent_expansion": "", "test_pressure": "3000"}

    assert "not required" in requalified(bottle, **none).sentence
    assert requalified(bottle, **none, is_sound=False).verdict == "out"


@pytest.mark.django_db
def test_a_longer_one_needs_it(bottle):  # noqa: F811
    made_of(bottle, "3AA", diameter_mm=Decimal("48.3"), length_mm=Decimal("609.6"))

    with pytest.raises(Refused):
        requalified(bottle, total_expansion="", test_pressure="3000")


@pytest.mark.django_db
def test_a_technician_records_no_test(cylinder):
    with pytest.raises(Refused) as refused:
        requalified(cylinder, by="technician")

    assert refused.value.code == "not_permitted"


# --- doors ------------------------------------------------------------------------------------


@pytest.mark.django_db
def test_it_is_recorded_on_the_units_page(cylinder, client):
    client.force_login(build.a_person("stores"))
    sent = {
        "marking": "A1 9 26 32",
        "operator": "Lee Shore Cylinders",
        "is_sound": "on",
        "test_pressure": "33.1 bar",
        "total_expansion": "100",
        "permanent_expansion": "5",
    }
    with time_machine.travel(NOW, tick=False):
        shown = client.get(reverse("equipment:unit", args=[cylinder.pk])).content.decode()
        address = reverse("equipment:unit_requalification", args=[cylinder.pk])
        refused = client.post(address, {**sent, "marking": "A132"})
        answer = client.post(address, sent)

    assert address in shown
    assert refused.status_code == 422
    assert "no stamp of a requalification" in refused.content.decode()
    assert answer.status_code == 302
    assert Requalification.objects.get().requalifier == "A123"


@pytest.mark.django_db
def test_it_is_recorded_by_a_program(cylinder, client):
    client.force_login(build.a_person("stores"))
    sent = {
        "act_id": str(uuid4()),
        "unit": cylinder.pk,
        "marking": "A1 9 26 32",
        "operator": "Lee Shore Cylinders",
        "is_sound": True,
        "test_pressure": "480 psi",
        "total_expansion": "100 ml",
        "permanent_expansion": "13 ml",
    }
    with time_machine.travel(NOW, tick=False):
        told = client.post("/api/v1/requalifications", sent, content_type="application/json")

    assert told.status_code == 201, told.content
    assert (told.json()["verdict"], told.json()["requalifier"]) == ("out", "A123")
