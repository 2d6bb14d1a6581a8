"""What is in transit and what is lent out, for programs."""

from __future__ import annotations

from rest_framework import serializers

from equipment.leaving.reads import transfers_under_way
from equipment.models import Loan, Transfer
from fleet.doors.door import Door
from fleet.doors.lists import listed
from fleet.doors.rows import RowShown


class InTransitShown(RowShown):
    of = Transfer
    shows = "id unit waybill particulars words sent_on"


class Transfers(Door):
    get = listed(
        "list_transfers",
        tag="Stores",
        summary="Units in transit",
        description="Sent from one station to another and not received yet, with their particulars as dangerous goods.",
        shows=InTransitShown,
        example={
            "id": 9,
            "unit": 812,
            "waybill": "TN-2024-17",
            "particulars": {"goods": []},
            "words": "",
            "sent_on": "2024-03-01",
        },
        rows=transfers_under_way,
        order=("pk",),
    )


class LentShown(RowShown):
    of = Loan
    shows = "id unit party agreement lent_on return_by charge_per currency words"
    charge_amount = serializers.DecimalField(12, 2, allow_null=True)


class Loans(Door):
    get = listed(
        "list_loans",
        tag="Stores",
        summary="Units lent out",
        description="Lent to other parties and not recorded back yet.",
        shows=LentShown,
        example={
            "id": 5,
            "unit": 812,
            "party": "Skerry Air",
            "agreement": "LN-2024-4",
            "lent_on": "2024-03-01",
            "return_by": "2024-04-01",
            "charge_amount": "40.00",
            "charge_per": "day",
            "currency": "EUR",
            "words": "",
        },
        rows=lambda: Loan.objects.filter(ended=None),
        order=("pk",),
    )
