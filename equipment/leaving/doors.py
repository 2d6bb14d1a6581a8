"""What is in transit, for programs."""

from __future__ import annotations

from equipment.leaving.reads import transfers_under_way
from equipment.models import Transfer
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
