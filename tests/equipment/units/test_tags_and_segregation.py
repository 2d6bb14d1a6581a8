"""What label, tag, setting aside and the stock list say of a unit is what the one rule of segregation says, whatever is the
matter with it together."""

from __future__ import annotations

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from equipment.availability.acts.reservations import reserve_unit
from equipment.models import Hold, Reservation, Title, UnitTag
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision, why_not_use
from equipment.stores.reads.stock import StockAsked, stock
from equipment.units import labels
from fleet.house.refusals import Refused
from tests import builders as build
from tests.equipment.stores.world import AT, TODAY, a_stocked_unit, set_aside
from tests.sweeps import many

pytestmark = pytest.mark.django_db
NOW = {"on": TODAY, "at": AT, "is_demonstration": False}
EARLIER = AT - timedelta(hours=2)

WRONG = ("held", "quarantined", "no certificate", "restricted", "due back", "incomplete", "aside")
TAGS = ("", "serviceable", "unserviceable", "unsalvageable")


class Shelf:
    """A unit with all that is the matter with it, and the position that wants one."""

    def __init__(self, wrong, tag):
        self.clerk, self.station = build.a_person("stores"), build.a_station()
        kind = build.a_kind("SLIDE")
        part = build.a_part("HS-1", *(["LIGHT"] if "incomplete" in wrong else []), kind=kind)
        of_type = build.an_aircraft_type("D1L-SLIDE", kind=kind)
        self.aircraft = build.an_aircraft(of_type=of_type, station=self.station)
        self.unit = a_stocked_unit(
            self.station, part, has_certificate="no certificate" not in wrong
        )
        self.tag = self.tagged(tag) if tag else None
        if "held" in wrong:
            self.held()
        if wrong & {"restricted", "due back"}:
            self.lent(wrong)
        if "aside" in wrong:
            set_aside(self.unit, self.unit.place_id, self.clerk)
        if "quarantined" in wrong:
            build.moved(self.unit, "quarantined", build.in_quarantine(self.station), "2027-05-01")
        self.unit.refresh_from_db()

    def tagged(self, sort):
        return UnitTag.objects.create(
            act_id=uuid4(),
            unit=self.unit,
            sort=sort,
            tagged_at=EARLIER,
            recorded_at=EARLIER,
            recorded_by=self.clerk,
        )

    def held(self):
        Hold.objects.create(
            act_id=uuid4(),
            scope="unit",
            unit=self.unit,
            why="recall",
            words="Seams.",
            held_at=EARLIER,
            held_by=self.clerk,
        )

    def lent(self, wrong):
        Title.objects.create(
            unit=self.unit,
            sort="pool_loan",
            owner="Skerry Air",
            from_on=build.day("2027-03-01"),
            restriction="only Q-ELSE" if "restricted" in wrong else "",
            return_by=TODAY - timedelta(days=1) if "due back" in wrong else None,
            recorded_at=EARLIER,
        )

    def is_reserved(self):
        """Whether it can be set aside for the aircraft today."""
        try:
            with transaction.atomic():
                reserve_unit(
                    by=self.clerk,
                    unit_id=self.unit.pk,
                    place=build.at_position(self.aircraft, "D1L-SLIDE"),
                    need_on=TODAY,
                    act_id=uuid4(),
                    at=AT,
                )
        except Refused as refused:
            return {one.code for one in refused.refusals}
        return set()


@settings(
    max_examples=many(1000, 20),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(wrong=st.sets(st.sampled_from(WRONG), max_size=4), tag=st.sampled_from(TAGS))
def test_every_word_about_a_unit_follows_the_one_rule(db, wrong, tag):
    with build.undone():
        shelf = Shelf(wrong, tag)
        use = uses_of([shelf.unit.pk], Asked(TODAY, AT))[shelf.unit.pk]
        against = {one.code for one in (*why_not_use(use), *asks_decision(use))}
        for_use = against - {"reserved_elsewhere"}

        label = labels.unit_label(shelf.unit.pk, **NOW)
        assert (label.title == "Serviceable") == (not for_use)
        if shelf.tag is not None:
            sheet = labels.unit_tag(shelf.tag, **NOW)
            says_good = sheet.title.casefold().startswith("serviceable")
            assert says_good == (tag == "serviceable" and not for_use), sheet.title

        [row] = stock(StockAsked(), on=TODAY, at=AT)
        assert row.is_available == (not against)

        # For one aircraft the owner's restriction is its own question; the rest is the unit's.
        open_before = Reservation.objects.filter(ended_at=None).count()
        codes = shelf.is_reserved()
        assert codes >= {one.code for one in why_not_use(use)} - {"unit_of_another_owner"}
        if not against:
            assert not codes
        assert Reservation.objects.filter(ended_at=None).count() == open_before + (not codes)
