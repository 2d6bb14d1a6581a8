"""What the stores are run by: ways between stations, rules of stock, orders at shops."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from equipment.common import lookups
from equipment.models import ShopOrder, StoresRule, Transport
from equipment.stores.acts.shops import NewOrder, send_to_shop
from fleet.acts.repeats import USED
from fleet.house.refusals import Refused
from fleet.intake.columns import CODE, NUMBER, YES_NO
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import column_of, said_on
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, refuse_otherwise


def bring_transport(batch: Batch) -> None:
    values: dict[str, list[Any]] = {
        "origin_id": fleet_lookups.stations(batch, "origin"),
        "station_id": fleet_lookups.stations(batch),
        "takes_dangerous_goods": [bool(each) for each in batch["takes_dangerous_goods"]],
        "days": [None if each is None else int(each) for each in batch["days"]],
        "cost": [int(each or 0) for each in batch["cost"]],
        "document": [each or "" for each in batch["document"]],
    }
    key = ("origin_id", "station_id", "takes_dangerous_goods")
    bring_plain(batch, Transport, key=key, values=values, may_change=("days", "cost", "document"))


RULES = ("least_days_at_issue", "turn_days", "hurry_days")


def bring_rules(batch: Batch) -> None:
    """Whole days, and a share that lies between nought and one."""
    for line in batch.good:
        share = batch["fill_rate"][line]
        if share is not None and not 0 < float(share) < 1:
            words = "A fill rate lies between 0 and 1, such as 0.95."
            batch.refuse(line, "fill_rate", "fill_rate_impossible", words)
    values: dict[str, list[Any]] = {
        "kind_id": fleet_lookups.kinds(batch),
        **{name: [None if v is None else int(v) for v in batch[name]] for name in RULES},
        "unplanned_a_year": batch["unplanned_a_year"],
        "fill_rate": batch["fill_rate"],
        "document": [each or "" for each in batch["document"]],
    }
    changing = (*RULES, "unplanned_a_year", "fill_rate", "document")
    bring_plain(batch, StoresRule, key=("kind_id",), values=values, may_change=changing)


def _one_by_one(batch: Batch, act: Callable[[int], bool], columns: dict[str, str]) -> None:
    """This will do the act of each good line; what it refuses stands at the line, what is known is said."""
    for line in list(batch.good):
        try:
            if not act(line):
                batch.know([line])
        except Refused as refused:
            if refused.code == USED.code:
                refuse_otherwise(batch, line)
                continue
            for each in refused.refusals:
                batch.refuse(line, columns.get(each.field or ""), each.code, each.message)


def bring_orders(batch: Batch) -> None:
    """Each line sends one unit by the act itself; the same order again is known."""
    units, stations = lookups.units(batch), fleet_lookups.stations(batch)
    at, by = batch.bringing.at, batch.bringing.by

    def send(line: int) -> bool:
        unit, station = units[line], stations[line]
        assert unit is not None and station is not None
        works = tuple(
            word.strip() for word in (batch["works"][line] or "").split(",") if word.strip()
        )
        order = said_on(NewOrder, batch.line(line), unit_id=unit, station_id=station, works=works)
        act = uuid.uuid5(uuid.NAMESPACE_OID, f"shop order {unit} {order.shop} {order.number}")
        # Brought later, a promise that has passed meanwhile is still what was promised.
        is_new = not ShopOrder.objects.filter(act_id=act).exists()
        send_to_shop(by=by, order=order, act_id=act, at=at, today=order.sent_on)
        return is_new

    _one_by_one(batch, send, {"unit": "serial", "station": "station"} | _same(ORDERS))


def _same(kind: SheetKind) -> dict[str, str]:
    return {column.field: column.field for column in kind.columns}


TRANSPORT = SheetKind(
    "Transport",
    "How long goods take from one station to another, and what that costs. Nothing goes where no way is given.",
    46,
    "enter_stores_data",
    (
        Column("From", "origin", CODE, True, "Code of the station.", ("origin",), most=8),
        Column("To", "station", CODE, True, "Code of the station.", ("station",), most=8),
        Column(
            "Takes dangerous goods",
            "takes_dangerous_goods",
            YES_NO,
            meaning="Charged bottles go this way only.",
        ),
        Column("Days", "days", NUMBER, True, "Whole days from door to door."),
        Column("Cost", "cost", NUMBER, meaning="In the money that the operator compares in."),
        Column("Document", "document", meaning="The operator's own."),
    ),
    bring_transport,
    [["QEX1", "QEX2", "yes", "3", "400", "EX-STORES-1"]],
)

STORES_RULES = SheetKind(
    "Stores rules",
    "For each kind of unit: the least life at issue, the shop's usual time, removals nobody plans.",
    47,
    "enter_stores_data",
    (
        Column("Kind", "kind", CODE, True, "Code of the kind.", most=24),
        Column(
            "Least days at issue", "least_days_at_issue", NUMBER, meaning="Life that must be left."
        ),
        Column(
            "Turn days", "turn_days", NUMBER, meaning="Until a shop's own history tells better."
        ),
        Column("Hurry days", "hurry_days", NUMBER, meaning="By how much a shop can be quicker."),
        Column(
            "Unplanned a year",
            "unplanned_a_year",
            NUMBER,
            meaning="Removals of the whole fleet that nobody plans.",
        ),
        Column(
            "Fill rate",
            "fill_rate",
            NUMBER,
            meaning="How often a wish must be met from stock, such as 0.95.",
        ),
        Column("Document", "document", meaning="The operator's own."),
    ),
    bring_rules,
    [["EXSLIDE", "90", "45", "10", "2.5", "0.95", "EX-STORES-1"]],
)

ORDERS = SheetKind(
    "Shop orders",
    "Units that are at a shop: under which order, since when, promised for when.",
    90,
    "send_to_shop",
    (
        *unit_columns(),
        column_of(NewOrder, "shop"),
        column_of(NewOrder, "number"),
        column_of(NewOrder, "station"),
        column_of(NewOrder, "sent_on"),
        column_of(NewOrder, "promised_on"),
        Column(
            "Works", "works", meaning="Codes of the works asked, with commas between.", most=200
        ),
        column_of(NewOrder, "words"),
    ),
    bring_orders,
    [
        [
            "EXMKR",
            "EX-10",
            "S0002",
            "Example Shop",
            "EX-PO-1",
            "QEX1",
            "2026-11-06",
            "2027-01-20",
            "EX-OVERHAUL",
            "",
        ]
    ],
)

SHEETS = (TRANSPORT, STORES_RULES, ORDERS)
