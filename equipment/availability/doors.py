"""Doors of what is set aside: listed, freed again."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.availability.acts.reservations import free_reservation
from equipment.availability.acts.using import asks_decision_of
from equipment.common.doors.fields import Nothing
from equipment.common.doors.responses import PlaceShown, with_place
from equipment.models import CylinderMarking, Requalification, Reservation
from fleet.doors.door import Door, answer, found_or_missing
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown
from fleet.doors.schema import described

from . import examples


class RequalificationShown(RowShown):
    of = Requalification
    shows = """
        id unit marking requalifier done_on method specification verdict sentence operator document
    """
    told = {
        "marking": "As stamped.",
        "requalifier": "Its number, read round the stamp.",
        "done_on": "First day of the month stamped.",
        "verdict": "in: requalified; out: condemned.",
    }


class MarkingShown(RowShown):
    of = CylinderMarking
    shows = """
        id unit specification marks requalifier read_on document recorded_by.username
    """
    told = {
        "specification": "As stamped, without DOT and pressure.",
        "marks": "Any of + ★ E, in this order.",
    }
    service_psig = serializers.FloatField(allow_null=True)
    test_psig = serializers.FloatField(allow_null=True)


class ReservationShown(RowShown):
    of = Reservation
    shows = "id unit need_on words reserved_at reserved_by.username issued_at ended_at ended_how"
    told = {"ended_how": "used, freed, failed; empty while it stands."}
    place = PlaceShown()


def reservations_shown() -> Any:
    return Reservation.objects.select_related("reserved_by", *with_place("place"))


class ReservationList(Door):
    get = listed(
        "list_reservations",
        tag="Beside a swap",
        summary="Reservations",
        description="Units that are set aside for positions, those that have ended too.",
        shows=ReservationShown,
        example=examples.RESERVATION,
        rows=reservations_shown,
        order=("-pk",),
    )


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


class ReservationMadeShown(ReservationShown):
    asks_decision = serializers.ListField(
        child=serializers.CharField(),
        help_text="Why it is handed over by a named decision only; empty: nothing is open.",
    )


def reservation_shown(made: Reservation) -> Reservation:
    """A reservation read again, with all that it names, and why it is handed over by a decision only."""
    found: Reservation = reservations_shown().get(pk=made.pk)
    reasons = asks_decision_of(unit_id=made.unit_id, need_on=made.need_on, at=timezone.now())
    found.asks_decision = [each.message for each in reasons]  # type: ignore[attr-defined]
    return found


urlpatterns = [
    path(
        "v1/reservations/<int:reservation_id>/end",
        ReservationEnd.as_view(),
        name="api-reservation-end",
    ),
]
