"""Doors of what is said of units: life statements, certificates, title, sightings."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from equipment.common.doors import examples, responses
from equipment.keeping.papers import record_certificates, record_life_statements, record_titles
from equipment.models import Certificate, LifeStatement, Sighting, Title
from equipment.units.acts.sightings import record_sightings
from fleet.acts.repeats import retry_after_clash
from fleet.doors.door import Door, Paged, answer
from fleet.doors.fields import Instant
from fleet.doors.schema import described, page_of

from . import requests


class LifeStatements(Door):
    @described(
        tag="Papers",
        name="record_life_statement",
        summary="Record a life statement",
        description="Records a dated total of one measure of one unit. The reckoning counts on from "
        "the latest.",
        takes=requests.LifeStatementSent,
        sent=examples.LIFE_STATEMENT_SENT,
        answer=responses.LifeStatementShown,
        example=examples.PAPERS["life_statements"][0],
        act="record_life_statement",
    )
    def post(self, request: Request) -> Response:
        row = self.brought(requests.LifeStatementSent)["fact"]
        [entered] = record_life_statements(by=self.person, rows=[row], at=timezone.now())
        shown = LifeStatement.objects.select_related("measure").get(pk=entered.id)
        return answer(responses.LifeStatementShown(shown).data, is_new=entered.is_new)


class Certificates(Door):
    @described(
        tag="Papers",
        name="record_certificate",
        summary="Record a certificate",
        description="Records a release certificate or other paper of a unit.",
        takes=requests.CertificateSent,
        sent=examples.CERTIFICATE_SENT,
        answer=responses.CertificateShown,
        example=examples.PAPERS["certificates"][0],
        act="record_certificate",
    )
    def post(self, request: Request) -> Response:
        row = self.brought(requests.CertificateSent)["fact"]
        [entered] = record_certificates(by=self.person, rows=[row], at=timezone.now())
        shown = Certificate.objects.get(pk=entered.id)
        return answer(responses.CertificateShown(shown).data, is_new=entered.is_new)


class Titles(Door):
    @described(
        tag="Papers",
        name="record_title",
        summary="Record whose a unit is",
        description="Records ownership from a day on, apart from place.",
        takes=requests.TitleSent,
        sent=examples.TITLE_SENT,
        answer=responses.TitleShown,
        example=examples.TITLE,
        act="receive_unit",
    )
    def post(self, request: Request) -> Response:
        row = self.brought(requests.TitleSent)["fact"]
        [entered] = record_titles(by=self.person, rows=[row], at=timezone.now())
        shown = Title.objects.get(pk=entered.id)
        return answer(responses.TitleShown(shown).data, is_new=entered.is_new)


class SightingShown(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    seen_at = Instant(read_only=True)
    precision = serializers.CharField()
    place = responses.PlaceShown(allow_null=True)
    unit = serializers.IntegerField(source="unit_id", allow_null=True)
    part_number_read = serializers.CharField()
    serial_number_read = serializers.CharField()
    expiry_read = serializers.DateField(allow_null=True)
    gauge_read = serializers.CharField()
    pin_read = serializers.CharField()
    note = serializers.CharField()
    reconciles = serializers.IntegerField(source="reconciles_id", allow_null=True)
    reconciled_by = serializers.IntegerField(
        source="reconciled_by.pk", default=None, allow_null=True
    )
    act_id = serializers.UUIDField()
    recorded_at = Instant(read_only=True)


def sightings_shown() -> Any:
    return Sighting.objects.select_related("reconciled_by", *responses.with_place("place"))


class Sightings(Door):
    @described(
        tag="Papers",
        name="list_sightings",
        summary="Sightings",
        description="What was read on units in their places, the latest recorded first.",
        query=Paged,
        answer=page_of(SightingShown),
        example={"next": None, "results": [examples.SIGHTING]},
    )
    def get(self, request: Request) -> Response:
        return self.page(sightings_shown(), ("-pk",), SightingShown, self.asked(Paged))

    @described(
        tag="Papers",
        name="record_sighting",
        summary="Record a sighting",
        description="Records what somebody read on a unit in its place. It moves nothing and is "
        "reconciled later.",
        takes=requests.SightingSent,
        sent=examples.SIGHTING_SENT,
        answer=SightingShown,
        example=examples.SIGHTING,
        act="record_sighting",
    )
    def post(self, request: Request) -> Response:
        row = self.brought(requests.SightingSent)["fact"]
        at = timezone.now()
        [entered] = retry_after_clash(lambda: record_sightings(by=self.person, rows=[row], at=at))
        shown = sightings_shown().get(pk=entered.id)
        return answer(SightingShown(shown).data, is_new=entered.is_new)
