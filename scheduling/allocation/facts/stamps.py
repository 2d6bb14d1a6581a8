"""Which facts a proposal was made from, in one short text that differs as soon as one of them does."""

from __future__ import annotations

import hashlib
from datetime import date

from django.db import connection

#: Tables that only grow: their last key tells what is there.
GROWING = (
    "equipment_unittag",
    "equipment_reservation",
    "equipment_hold",
    "equipment_holdend",
    "equipment_shoporder",
    "equipment_shoppromise",
    "equipment_shopreturn",
    "equipment_certificate",
    "equipment_title",
    "equipment_movement",
    "equipment_correction",
    "equipment_fit",
    "equipment_ruleset",
    "equipment_alternate",
    "scheduling_pairingruling",
    "scheduling_placement",
    "scheduling_planningrule",
    "scheduling_lifeprice",
    "scheduling_openingprice",
    "scheduling_recomputerun",
)
#: Small tables whose rows change.
SMALL = ("equipment_transport", "equipment_storesrule", "scheduling_work")

_PARTS = [
    # Raised by every change of the facts that due items rest on: units, aircraft, checks, programmes.
    "(SELECT last_value FROM facts_stamp)",
    # What is behind which access moves works of the plan to other checks.
    "(SELECT coalesce(sum(hashtext(id || access_group)::bigint), 0) FROM fleet_typeposition)",
    "(SELECT count(*) FROM equipment_reservation WHERE ended_at IS NOT NULL)",
    *(f"(SELECT coalesce(max(id), 0) FROM {table})" for table in GROWING),
    *(f"(SELECT coalesce(sum(hashtext(t::text)::bigint), 0) FROM {table} t)" for table in SMALL),
    "(SELECT count(*) FROM scheduling_recomputerun WHERE finished_at IS NOT NULL)",
]
ASK = "SELECT " + ", ".join(_PARTS)


def stamp_of(as_of: date) -> str:
    """The stamp of the facts as they are now, for a proposal of this day. One question."""
    with connection.cursor() as cursor:
        cursor.execute(ASK)
        values = cursor.fetchone()
    text = f"{as_of} {' '.join(str(value) for value in values)}"
    return hashlib.sha256(text.encode()).hexdigest()
