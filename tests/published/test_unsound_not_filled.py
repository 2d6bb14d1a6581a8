"""What was condemned or failed its test is not filled (49 CFR 180.205(c), (i)(2)), at act, page and API."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
import time_machine
from django.urls import reverse

from equipment.availability.acts.tag_facts import TagFact
from equipment.availability.acts.tags import tag_unit
from equipment.models import Filling
from fleet.house.refusals import Refused
from scheduling.models import Work, WorkDone
from tests import builders as build
from tests.api.conftest import administrator, program, secret_of  # noqa: F401
from tests.equipment.line_world import signed_in
from tests.published.test_bottles_in_service import NOW, bottle, filled  # noqa: F401

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def noon():
    with time_machine.travel(NOW, tick=False):
        yield


def condemned(unit):
    tag = TagFact("unsalvageable", "defect", "Bulged.")
    by = build.a_person("technician")
    at = NOW - timedelta(days=30)
    tag_unit(by=by, unit_id=unit.pk, tag=tag, tagged_at=at, act_id=uuid4(), at=NOW)


def failed(unit):
    WorkDone.objects.create(
        work=Work.objects.get(code="HYDRO"),
        unit=unit,
        done_on=build.day("2026-08-10"),
        result="failed",
        act_id=uuid4(),
        recorded_at=NOW,
    )


STATES = {"unit_condemned": condemned, "test_failed": failed}


@pytest.mark.parametrize("code", STATES)
def test_it_is_refused_by_name_at_the_act_the_page_and_the_api(bottle, program, code):  # noqa: F811
    STATES[code](bottle)
    said = {"done_on": "2026-09-10", "act_id": str(uuid4())}

    with pytest.raises(Refused) as refused:
        filled(bottle, "2026-09-10")
    page = signed_in(build.a_person("technician")).post(
        reverse("equipment:unit_filling", args=[bottle.pk]), said
    )
    answer = program("technician").post(
        "/api/v1/fillings",
        {**said, "unit": bottle.pk, "act_id": str(uuid4())},
        format="json",
    )

    assert code in {each.code for each in refused.value.refusals}
    assert page.status_code == 422 and "filled" in page.content.decode()
    assert code in {each["code"] for each in answer.json()["errors"]}
    assert not Filling.objects.exists()


@pytest.mark.parametrize("code", STATES)
def test_the_units_page_says_it(bottle, code):  # noqa: F811
    assert filled(bottle, "2026-03-10")
    STATES[code](bottle)

    page = signed_in(build.a_person("auditor")).get(reverse("equipment:unit", args=[bottle.pk]))

    assert "Not to be filled." in page.content.decode()
