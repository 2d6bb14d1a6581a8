"""Doors of what is done beside a swap: tags, fillings, discharges, reservations."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.availability.acts.fillings import record_discharge, record_filling
from equipment.availability.acts.reservations import free_reservation, reserve_unit
from equipment.availability.acts.tags import tag_unit
from equipment.common.doors.fields import Nothing
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.models import Reservation
from fleet.acts.repeats import done_now
from fleet.doors.door import Door, Paged, answer, found_or_missing
from fleet.doors.fields import Instant
from fleet.doors.schema import described, page_of

from . import examples, requests


class TagShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    unit = serializers.IntegerField(source="unit_id")
    sort = serializers.CharField()
    why = serializers.CharField()
    words = serializers.CharField()
    actions_needed = serializers.CharField()
    exposure = serializers.CharField()
    preservation = serializers.CharField()
    total_minutes = serializers.IntegerField(allow_null=True)
    total_cycles = serializers.IntegerField(allow_null=True)
    swap = serializers.IntegerField(source="swap_id", allow_null=True)
    tagged_at = Instant(read_only=True)


class Tags(Door):
    @described(
        tag="Beside a swap",
        name="tag_unit",
        summary="Tag a unit",
        description="Tags a unit serviceable or not, from a moment on, with what whoever gets it must "
        "know. One that was deployed or discharged is serviceable again when the shop has had it.",
        takes=requests.TagDoorSent,
        sent=examples.TAG_SENT,
        answer=TagShown,
        example=examples.TAG,
        act="tag_unit",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.TagDoorSent), timezone.now()
        made = tag_unit(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "tag_unit", at)
        return answer(TagShown(made).data, is_new=is_new)


class FillingShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    unit = serializers.IntegerField(source="unit_id")
    sort = serializers.CharField(help_text="filling, inflation or discharge.")
    number = serializers.IntegerField(help_text="The how-manieth of the unit's life.")
    done_on = serializers.DateField()
    psig = serializers.FloatField(allow_null=True)
    temperature_f = serializers.FloatField(allow_null=True)
    document = serializers.CharField()


class Fillings(Door):
    @described(
        tag="Beside a swap",
        name="record_filling",
        summary="Record a filling",
        description="Records that a bottle was filled, and counts it. Refused past the month of its "
        "requalification or its service life, and once more than its most fillings.",
        takes=requests.FillingSent,
        sent=examples.FILLING_SENT,
        answer=FillingShown,
        example=examples.FILLING,
        act="record_filling",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.FillingSent), timezone.now()
        made = record_filling(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "record_filling", at)
        return answer(FillingShown(made).data, is_new=is_new)


class Discharges(Door):
    @described(
        tag="Beside a swap",
        name="record_discharge",
        summary="Record an inflation or a discharge",
        description="Records that a slide was inflated or a bottle discharged: it is tagged "
        "unserviceable until the shop has had it.",
        takes=requests.DischargeSent,
        sent=examples.DISCHARGE_SENT,
        answer=FillingShown,
        example={**examples.FILLING, "sort": "inflation"},
        act="record_discharge",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.DischargeSent), timezone.now()
        made = record_discharge(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "record_discharge", at)
        return answer(FillingShown(made).data, is_new=is_new)


class ReservationShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    unit = serializers.IntegerField(source="unit_id")
    place = PlaceShown()
    need_on = serializers.DateField()
    words = serializers.CharField()
    reserved_at = Instant(read_only=True)
    reserved_by = serializers.CharField(source="reserved_by.username")
    issued_at = Instant(read_only=True, allow_null=True)
    ended_at = Instant(read_only=True, allow_null=True)
    ended_how = serializers.CharField(help_text="used, freed, failed; empty while it stands.")


def reservations_shown() -> Any:
    return Reservation.objects.select_related("reserved_by", *with_place("place"))


class Reservations(Door):
    @described(
        tag="Beside a swap",
        name="list_reservations",
        summary="Reservations",
        description="Units that are set aside for positions, those that have ended too.",
        query=Paged,
        answer=page_of(ReservationShown),
        example={"next": None, "results": [examples.RESERVATION]},
    )
    def get(self, request: Request) -> Response:
        return self.page(reservations_shown(), ("-pk",), ReservationShown, self.asked(Paged))

    @described(
        tag="Beside a swap",
        name="reserve_unit",
        summary="Set a unit aside",
        description="Sets a unit in a store aside for a position and a day. Refused with every reason: "
        "reserved elsewhere (by whom), in quarantine, unserviceable, of a part that does not fit.",
        takes=requests.ReservationSent,
        sent=examples.RESERVATION_SENT,
        answer=ReservationShown,
        example=examples.RESERVATION,
        act="reserve_unit",
    )
    def post(self, request: Request) -> Response:
        sent, at = self.brought(requests.ReservationSent), timezone.now()
        made = reserve_unit(by=self.person, at=at, **sent)
        is_new = done_now(sent["act_id"], "reserve_unit", at)
        shown = reservations_shown().get(pk=made.pk)
        return answer(ReservationShown(shown).data, is_new=is_new)


class ReservationEnd(Door):
    @described(
        tag="Beside a swap",
        name="free_reservation",
        summary="Free a unit that was set aside",
        description="Ends a reservation that is not needed any more; one that has ended stays as it did.",
        takes=Nothing,
        sent={},
        answer=ReservationShown,
        example={**examples.RESERVATION, "ended_how": "freed"},
        act="reserve_unit",
    )
    def post(self, request: Request, reservation_id: int) -> Response:
        self.brought(Nothing)
        sentence = f"No reservation has the id {reservation_id}. See /api/v1/reservations."
        held = found_or_missing(
            reservations_shown(), "unknown_reservation", sentence, pk=reservation_id
        )
        free_reservation(by=self.person, reservation_id=held.pk, at=timezone.now())
        shown = reservations_shown().get(pk=held.pk)
        return answer(ReservationShown(shown).data, is_new=held.ended_at is None)


urlpatterns = [
    path("v1/tags", Tags.as_view(), name="api-tags"),
    path("v1/fillings", Fillings.as_view(), name="api-fillings"),
    path("v1/discharges", Discharges.as_view(), name="api-discharges"),
    path("v1/reservations", Reservations.as_view(), name="api-reservations"),
    path(
        "v1/reservations/<int:reservation_id>/end",
        ReservationEnd.as_view(),
        name="api-reservation-end",
    ),
]
