from __future__ import annotations

import pytest

from equipment.segregation.rule import TitleFact, UnitUse, why_foreign, why_not_use
from tests.builders import day

USE = {
    "unit_quarantined": {"is_quarantined": True},
    "unit_unserviceable": {"unserviceable": "unserviceable (a defect)"},
    "unit_expired": {"expired": ("HS-1 S/N 7: overhaul, past its limit.",)},
    "unit_on_hold": {"holds": ("suspected unapproved part, forged stamp",)},
    "unit_of_another_owner": {"foreign": "belongs to Skerry Air, who restricts it: only Q-AVEN."},
    "reserved_elsewhere": {"reserved_for": "Q-BIRK D1L on 1 Jul 2027", "reserved_by": "Tess Arden"},
    "part_does_not_fit": {"why_not_fit": ("HS-1 is not listed there.",)},
    "no_certificate": {"has_certificate": False},
}


@pytest.mark.parametrize(("code", "facts"), USE.items())
def test_each_fact_alone_is_told_under_its_own_code(code, facts):
    [reason] = why_not_use(UnitUse("HS-1 S/N 7", **facts))

    assert (reason.code, reason.field) == (code, "unit")
    assert reason.message.endswith(".")


def test_no_reason_is_missing_where_all_hold():
    everything = UnitUse("HS-1 S/N 7", **{k: v for facts in USE.values() for k, v in facts.items()})

    assert [reason.code for reason in why_not_use(everything)] == list(USE)


def test_nothing_is_said_against_a_good_unit():
    assert why_not_use(UnitUse("HS-1 S/N 7")) == []


@pytest.mark.parametrize(
    ("title", "aircraft", "is_foreign"),
    [
        (None, (), False),
        (TitleFact("Skerry Air"), (), False),
        (TitleFact("Skerry Air", "only Q-AVEN"), ("Q-AVEN", "1042"), False),
        (TitleFact("Skerry Air", "only msn 1042."), ("q-aven", "1042"), False),
        (TitleFact("Skerry Air", "only Q-AVEN"), ("Q-AVE", "104"), True),
        (TitleFact("Skerry Air", "only Q-AVEN"), (), True),
        (TitleFact("Skerry Air", return_by=day("2027-06-30")), (), True),
        (TitleFact("Skerry Air", return_by=day("2027-07-01")), (), False),
    ],
)
def test_a_title_forbids_what_it_does_not_name_and_any_use_after_its_return(
    title, aircraft, is_foreign
):
    assert bool(why_foreign(title, day("2027-07-01"), aircraft)) == is_foreign
