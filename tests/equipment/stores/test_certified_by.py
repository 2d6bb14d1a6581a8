"""Which terms of a certificate certify a work is the operator's data; who copies the paper cannot widen it."""

from __future__ import annotations

import pytest

from scheduling.models import Work, WorkDone
from tests import builders as build

from .world import a_line, a_paper, a_work, code_of, received, works

pytestmark = pytest.mark.django_db
COPIED = {"Repaired": ("OH",), "Overhauled": ("OH",), "Overhauled; Modified": ("OH",)}


@pytest.fixture(autouse=True)
def part(db):
    works()
    return build.a_part("HS-1")


def receive_as(status: str):
    line = a_line(works=(a_work(),))
    return {"paper": a_paper(status=status), "certifies": COPIED}, line


@pytest.mark.parametrize("status", ["Overhauled", "overhauled", "Overhauled; Modified"])
def test_a_term_that_the_operator_names_certifies(status):
    Work.objects.filter(code="OH").update(certified_by=["OVERHAULED"])
    more, line = receive_as(status)

    received(line, **more)

    assert WorkDone.objects.get().work.code == "OH"


def test_another_term_does_not_whatever_its_copyist_says():
    Work.objects.filter(code="OH").update(certified_by=["OVERHAULED"])
    more, line = receive_as("Repaired")

    assert code_of(received, line, **more) == "work_not_certified"
    assert not WorkDone.objects.exists()


def test_where_the_operator_names_none_its_copyist_reads_it():
    more, line = receive_as("Repaired")

    received(line, **more)

    assert WorkDone.objects.get().work.code == "OH"
