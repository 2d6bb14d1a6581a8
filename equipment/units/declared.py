"""What people do about units beside what other rooms offer: each act once, with the ways to it."""

from __future__ import annotations

from equipment.common.pages.about import about_unit
from equipment.units.acts.lost import STATE_LOST_RECORDS
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import Page

RECORDS_LOST = Page(
    address="units/<int:unit_id>/records-lost/",
    name="unit_records_lost",
    heading="State lost records",
    lead="Which records are lost, and the best estimate that stands in for them. No total changes by it: state the "
    "estimate as a life of its own.",
    button="Save the statement",
    done="The statement is on record, in the unit's history.",
    about=about_unit,
    known=("unit",),
    stands_on="unit",
)
OFFERS = (Offer(STATE_LOST_RECORDS, Api(sent="LostRecordsSent"), RECORDS_LOST),)
