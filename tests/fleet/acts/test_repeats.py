"""What of an act's content is compared, how, and what is not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import connection, transaction

from fleet.acts.digests import digest_of
from fleet.acts.repeats import claim, done_now
from fleet.house.refusals import Refused
from fleet.models import Act
from fleet.people.proofs import Proof
from tests import builders as build

NOON = datetime(2027, 6, 1, 12, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Said:
    unit_id: int
    words: str = ""
    quantity: int = 1
    works: tuple[str, ...] = ()
    certifies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    on: date | None = None
    at: datetime | None = None
    price: Decimal | None = None
    content: bytes = b""


@dataclass(frozen=True, slots=True)
class SaidLater:
    """The same with a field that a later version added."""

    unit_id: int
    words: str = ""
    colour: str = ""


def test_what_is_said_decides_and_not_how_it_is_written():
    berlin = NOON.astimezone(ZoneInfo("Europe/Berlin"))

    assert digest_of({"a": 1, "b": "x"}) == digest_of({"b": "x", "a": 1})
    assert digest_of({"at": NOON}) == digest_of({"at": berlin})
    assert digest_of({"price": Decimal("1.50")}) == digest_of({"price": Decimal("1.5")})
    assert digest_of({"said": Said(1, works=("A",))}) == digest_of({"said": Said(1, works=["A"])})


@pytest.mark.parametrize(
    "other",
    [
        Said(2),
        Said(1, "x"),
        Said(1, quantity=2),
        Said(1, works=("A",)),
        Said(1, works=("A", "B")),
        Said(1, works=("B", "A")),
        Said(1, certifies={"Overhauled": ("A",)}),
        Said(1, on=date(2027, 6, 1)),
        Said(1, at=NOON),
        Said(1, at=NOON + timedelta(microseconds=1)),
        Said(1, price=Decimal(0)),
        Said(1, content=b"%PDF-"),
        Said(1, content=b"%PDF-1"),
    ],
)
def test_any_other_value_is_other_content(other):
    others = [Said(1), Said(1, "y"), Said(1, quantity=3), Said(1, content=b"%PDF")]

    assert digest_of({"said": other}) not in {digest_of({"said": each}) for each in others}


def test_what_says_nothing_and_a_field_that_came_later_leave_the_digest_as_it_was():
    plain = digest_of({"said": Said(1, "x")})

    assert digest_of({"said": SaidLater(1, "x")}) == plain
    assert digest_of({"said": SaidLater(1, "x", "red")}) != plain
    nothing = {"found": None, "log_page": "", "is_confirmed": False, "works": (), "typed": {}}
    assert digest_of({"said": Said(1, "x"), **nothing}) == plain
    assert digest_of({"said": Said(1, "x"), "minutes": 0}) != plain


def test_a_field_left_blank_by_its_sender_is_content():
    assert digest_of({"typed": {"value": ""}}) != digest_of({"typed": {}})


@pytest.mark.django_db
@pytest.mark.parametrize("value", ["person", "proof", "row", "naive"])
def test_what_is_no_plain_fact_is_never_part_of_a_digest(value):
    person = build.a_person()
    kept = {"person": person, "proof": Proof(person, NOON), "row": build.a_station()}

    with pytest.raises(TypeError, match="no plain fact"):
        digest_of({"said": kept.get(value, datetime(2027, 6, 1))})  # noqa: DTZ001


@pytest.mark.django_db
def test_an_act_is_claimed_once_and_other_content_is_refused():
    by, act_id = build.a_person(), uuid4()
    first = claim(act_id, "tag_unit", {"unit_id": 1}, by=by, at=NOON, sender_at=NOON)

    again = claim(act_id, "tag_unit", {"unit_id": 1}, by=by, at=NOON + timedelta(hours=1))
    with pytest.raises(Refused) as told:
        claim(act_id, "tag_unit", {"unit_id": 2}, by=by, at=NOON)

    assert (first, again) == (True, False)
    assert (told.value.code, told.value.field) == ("act_id_used", "act_id")
    kept = Act.objects.get()
    assert (kept.act, kept.done_at, kept.done_by, kept.sender_at) == ("tag_unit", NOON, by, NOON)
    assert done_now(act_id, "tag_unit", NOON)
    assert not done_now(act_id, "tag_unit", NOON + timedelta(hours=1))


@pytest.mark.django_db
def test_the_senders_clock_and_whoever_sends_are_no_content():
    act_id = uuid4()
    claim(act_id, "tag_unit", {"unit_id": 1}, by=build.a_person(), at=NOON, sender_at=NOON)

    again = claim(act_id, "tag_unit", {"unit_id": 1}, by=build.a_person(), at=NOON)

    assert not again


@pytest.mark.django_db
def test_acts_that_share_an_id_are_kept_apart_by_name():
    by, act_id = build.a_person(), uuid4()

    assert claim(act_id, "accept_pairing", {"unit_id": 1}, by=by, at=NOON)
    assert claim(act_id, "reserve_unit", {"unit_id": 1}, by=by, at=NOON)


@pytest.mark.django_db
def test_a_claim_ends_with_the_act_that_is_refused():
    by, act_id = build.a_person(), uuid4()
    with pytest.raises(Refused), transaction.atomic():
        claim(act_id, "tag_unit", {"unit_id": 1}, by=by, at=NOON)
        raise Refused("unknown_unit", "There is no such unit.")

    assert claim(act_id, "tag_unit", {"unit_id": 2}, by=by, at=NOON)


@pytest.mark.django_db
def test_a_claim_is_one_statement(django_assert_num_queries):
    by, act_id = build.a_person(), uuid4()
    assert connection.in_atomic_block

    with django_assert_num_queries(1):
        claim(
            act_id, "tag_unit", {"unit_id": 1}, by=by, at=NOON, earlier=[Act.objects.filter(pk=0)]
        )
