"""What is shown of a row follows its model: how it is written, whether it may be null, where it is read."""

from __future__ import annotations

from datetime import date

import pytest
from rest_framework import serializers

from equipment.models import Sighting, Unit
from fleet.doors.fields import Instant
from fleet.doors.rows import RowShown, column_shown
from fleet.models import Aircraft, Check, Station, User, UtilisationReading


class CheckInShort(RowShown):
    of = Check
    shows = "id aircraft.registration starts_on station is_cancelled"
    told = {"starts_on": "The first day on the ground."}
    sort = serializers.ChoiceField(Check.SORTS)


@pytest.mark.parametrize(
    ("model", "path", "kind", "options"),
    [
        (Check, "id", serializers.IntegerField, {}),
        (Check, "starts_on", serializers.DateField, {}),
        (Check, "is_cancelled", serializers.BooleanField, {}),
        (UtilisationReading, "read_at", Instant, {"read_only": True}),
        (UtilisationReading, "act_id", serializers.UUIDField, {}),
        (Unit, "serial_number", serializers.CharField, {}),
        (Unit, "manufactured_on", serializers.DateField, {"allow_null": True}),
        # a relation: its id, or what it is known by
        (Check, "station", serializers.IntegerField, {"source": "station_id"}),
        (Check, "station.code", serializers.CharField, {"source": "station.code"}),
        (
            Unit,
            "merged_into",
            serializers.IntegerField,
            {"source": "merged_into_id", "allow_null": True},
        ),
        # one that may be missing, here or at the other end
        (
            Unit,
            "standard.code",
            serializers.CharField,
            {"source": "standard.code", "default": None, "allow_null": True},
        ),
        (
            Sighting,
            "reconciled_by.pk",
            serializers.IntegerField,
            {"source": "reconciled_by.pk", "default": None, "allow_null": True},
        ),
    ],
)
def test_a_column_is_shown_as_its_model_has_it(model, path, kind, options):
    shown = column_shown(model, path)

    assert type(shown) is kind
    assert shown._kwargs == options


def test_of_what_the_model_cannot_tell_a_field_is_asked_for():
    with pytest.raises(TypeError, match="reconciled_by: write out how this is shown"):
        column_shown(Sighting, "reconciled_by")


def test_columns_come_first_in_their_order_then_what_is_written_out():
    fields = CheckInShort().fields

    assert list(fields) == ["id", "aircraft", "starts_on", "station", "is_cancelled", "sort"]
    assert fields["starts_on"].help_text == "The first day on the ground."


def test_a_shape_made_of_another_shows_more():
    class WithName(CheckInShort):
        name = serializers.CharField()

    check = Check(
        id=7,
        aircraft=Aircraft(registration="Q-AVEN"),
        name="A1",
        starts_on=date(2027, 4, 1),
        station_id=3,
        sort=Check.CHECK,
    )

    assert WithName(check).data == {
        "id": 7,
        "aircraft": "Q-AVEN",
        "starts_on": "2027-04-01",
        "station": 3,
        "is_cancelled": False,
        "sort": Check.CHECK,
        "name": "A1",
    }


def test_words_of_a_column_that_is_not_shown_are_refused():
    with pytest.raises(TypeError, match=r"told is of what it does not show: \['name'\]"):

        class Astray(RowShown):
            of = Station
            shows = "code"
            told = {"name": "The town."}


def test_nobody_is_shown_where_nobody_is_named():
    class ReadingInShort(RowShown):
        of = UtilisationReading
        shows = "total recorded_by.username"

    readings = [
        UtilisationReading(total=600, recorded_by=User(username="r.reader")),
        UtilisationReading(total=601),
    ]

    assert ReadingInShort(readings, many=True).data == [
        {"total": 600, "recorded_by": "r.reader"},
        {"total": 601, "recorded_by": None},
    ]
