"""One declaration gives the form, the request and the sheet: what one of them takes, all take alike."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

import pytest
from django import forms
from hypothesis import given
from hypothesis import strategies as some
from rest_framework import serializers

from fleet.acts.act import Act
from fleet.acts.fields import (
    Heading,
    built,
    choice,
    coded,
    codes,
    day,
    fields_of,
    number,
    part,
    stamp,
    text,
    within,
    yes_no,
)
from fleet.doors.fields import Shape, StrictInteger
from fleet.doors.requests import act_request_of, request_of
from fleet.intake.said import columns_of, said_on
from fleet.models import Station
from fleet.screens.act_forms import SaidForm, form_of

ACT_ID = "00000000-0000-4000-8000-000000000001"
WHY = (("papers", "papers in doubt"), ("damage", "damage seen"))


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubt about something."""

    why: str = choice("The doubt is", WHY, heading=Heading("Why"))
    words: str = text(
        "In words", 10, needed="Say what the doubt is.", heading=Heading("Words", "What it is.")
    )
    seen_on: date = day("Seen on", heading=Heading("Seen on", has_come=True))
    made_on: date | None = stamp("Made on", "made_precision", default=None, heading=Heading("Made"))
    made_precision: str = "day"
    pieces: int = number("Pieces", least=1, most=9, default=1, heading=Heading("Pieces"))
    is_urgent: bool = yes_no("It is urgent", heading=Heading("Urgent"))
    works: tuple[str, ...] = codes("Works", 4, heading=Heading("Works"))
    document: str = text("Document", 6, default="", heading=Heading("Document"))


@dataclass(frozen=True, slots=True)
class Sent:
    """Something sent from a station."""

    station_id: int = coded("From", Station, "code", "station", most=8)


@dataclass(frozen=True, slots=True)
class Whole:
    doubt: Doubt = part("The doubt", Doubt)


@dataclass(frozen=True, slots=True)
class Raised:
    """A doubt about a thing, by its number."""

    thing: int = number("The thing", least=1, heading=Heading("Thing"))
    doubt: Doubt = within(Doubt)


@dataclass(frozen=True, slots=True)
class Used:
    """What happened to it."""

    how: str = choice("What happened", WHY, default="")
    weight: float | None = text("Weight", 9, default=None)


class SizeSent(Shape):
    """A size by its two sides."""

    gives = ("size",)
    high = StrictInteger()
    wide = StrictInteger()

    def validate(self, attrs):
        return {"size": (attrs["high"], attrs["wide"]), "note": attrs["note"]}


@dataclass(frozen=True, slots=True)
class Sized:
    """How large it is."""

    size: tuple[int, int] = part("Size", tuple)
    note: str = text("Note", 9, default="")


class UsedForm(SaidForm):
    weight = forms.FloatField(required=False)


DOUBT = Act(name="doubt", does=lambda **_: None, said=Doubt, as_="doubt")
DoubtSent = act_request_of(DOUBT, "DoubtSent")
DoubtForm = form_of(Doubt)


def in_full(**changes):
    return {"why": "papers", "words": "no stamp", "seen_on": "2027-03-03", **changes}


def by_program(sent):
    shape = DoubtSent(data={"act_id": ACT_ID, **sent})
    return Doubt(**shape.validated_data["said"]) if shape.is_valid() else None


def by_form(sent):
    form = DoubtForm({name: value for name, value in sent.items() if value is not None})
    return form.said() if form.is_valid() else None


def test_form_and_request_give_the_same():
    sent = in_full(made_on="2021-02", pieces=3, is_urgent=True, works=[], document="D 1")

    expected = Doubt(
        "papers", "no stamp", date(2027, 3, 3), date(2021, 2, 1), "month", 3, True, (), "D 1"
    )

    assert by_program(sent) == by_form(sent) == expected


def test_what_is_left_out_is_the_dataclass_s_own_default():
    expected = Doubt("papers", "no stamp", date(2027, 3, 3))

    assert by_program(in_full()) == expected
    assert by_form(in_full(pieces="1")) == expected


def test_what_is_missing_is_asked_for_in_the_act_s_own_words():
    form = DoubtForm({"why": "papers", "seen_on": "2027-03-03"})

    assert form.errors["words"] == ["Say what the doubt is."]


@given(
    words=some.text("abc ", min_size=1, max_size=12),
    pieces=some.integers(-1, 12),
    document=some.text("xyz", max_size=8),
    why=some.sampled_from(["papers", "damage", "else"]),
)
def test_form_and_request_take_and_refuse_alike(words, pieces, document, why):
    sent = in_full(words=words, pieces=pieces, document=document, why=why)

    assert by_program(sent) == by_form(sent)


def test_each_heading_becomes_a_column():
    columns = {column.field: column for column in columns_of(Doubt)}

    assert list(columns) == [each.name for each in fields_of(Doubt)]
    assert columns["why"].choices == dict(WHY)
    assert (columns["words"].most, columns["words"].needed) == (10, True)
    assert columns["seen_on"].has_come and not columns["document"].needed


def test_a_line_says_what_the_request_says():
    line = {"why": "papers", "words": "no stamp", "seen_on": date(2027, 3, 3), "pieces": 3}

    assert said_on(Doubt, line) == by_program(in_full(pieces=3))


def test_a_key_is_named_by_what_it_is_of():
    assert [each.name for each in fields_of(Sent)] == ["station"]


def test_a_part_has_no_control_of_its_own():
    with pytest.raises(TypeError, match="form of its own"):
        form_of(Whole)


def test_a_part_is_read_into_its_dataclass():
    shape = request_of(Whole, "WholeSent")(data={"doubt": in_full()})

    assert shape.is_valid(), shape.errors
    assert shape.validated_data == Whole(Doubt("papers", "no stamp", date(2027, 3, 3)))


def test_what_is_within_is_said_beside_the_others_and_is_one_thing_to_the_act():
    raised = Act(name="raise", does=lambda **_: None, said=Raised)
    shape = act_request_of(raised, "RaisedSent")(data={"act_id": ACT_ID, "thing": 7, **in_full()})
    form = form_of(Raised, without=["thing"])({**in_full(), "pieces": "1"})
    expected = Raised(7, Doubt("papers", "no stamp", date(2027, 3, 3)))

    assert shape.is_valid(), shape.errors
    assert form.is_valid(), form.errors

    assert built(Raised, shape.validated_data["said"]) == form.said(thing=7) == expected
    assert said_on(Raised, {"thing": 7, **in_full(seen_on=date(2027, 3, 3))}) == expected
    assert raised.arguments(expected) == {"thing": 7, "doubt": expected.doubt}


def test_a_page_s_own_control_stands_in_for_the_field_s():
    form = form_of(Used, base=UsedForm)({"how": "damage", "weight": "2.5"})

    assert form.is_valid(), form.errors
    assert form.said() == Used("damage", 2.5)
    assert list(form.fields) == ["how", "weight", "act_id"]


def test_what_need_not_be_chosen_offers_nothing_once():
    used = Act(name="use", does=lambda **_: None, said=Used)
    form = form_of(Used, base=UsedForm)({"how": ""})
    shape = act_request_of(used, "UsedSent", weight=serializers.FloatField(required=False))

    assert form.is_valid() and form.said() == Used()
    assert form.fields["how"].choices == [("", "–"), *WHY]
    assert shape(data={"act_id": ACT_ID, "how": ""}).is_valid()


def test_an_act_in_rows_is_done_for_the_one_that_was_said():
    raised = Act(
        name="raise",
        does=lambda *, rows, **told: [(rows, sorted(told))],
        said=Raised,
        as_="rows",
        in_rows=True,
        known_by="the thing",
    )

    assert raised.do("one", by=None, act_id=None, at=None, today=None) == (["one"], ["at", "by"])
    assert "act_id" not in act_request_of(raised, "RowSent")().fields


def test_what_is_read_out_of_several_fields_is_one_thing_to_the_act():
    sized = Act(name="size", does=lambda **_: None, said=Sized, takes_sender_at=True)
    sent = {"act_id": ACT_ID, "sender_at": "2027-03-03T14:05:00Z", "high": 2, "wide": 3}
    shape = act_request_of(sized, "SizedSent", base=SizeSent)(data=sent)

    assert shape.is_valid(), shape.errors

    assert shape.validated_data["said"] == {"size": (2, 3), "note": ""}
    assert shape.validated_data["sender_at"] == datetime(2027, 3, 3, 14, 5, tzinfo=UTC)


def test_the_sender_s_id_and_clock_go_where_the_act_takes_them():
    def told(**given):
        return sorted(given)

    timed = Act(name="time", does=told, said=Sent, as_="sent", takes_sender_at=True)
    in_row = Act(name="row", does=told, said=Sent, as_="sent", id_in_row=True)
    given = {"by": None, "act_id": ACT_ID, "at": None, "today": None, "sender_at": None}

    assert timed.do(Sent(1), **given) == ["act_id", "at", "by", "sender_at", "sent"]
    assert in_row.do(Sent(1), **given) == ["at", "by", "sent"]
