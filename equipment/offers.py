"""What people do about the equipment, room by room: of each list the doors, pages and sheets are made."""

from __future__ import annotations

from equipment.availability import declared as availability
from equipment.buying import declared as buying
from equipment.complement import declared as complement
from equipment.findings import declared as findings
from equipment.leaving import declared as leaving
from equipment.procedures import declared as procedures
from equipment.stocktaking import declared as stocktaking
from equipment.stores import declared as stores
from equipment.tools import declared as tools
from fleet.offers.offer import Offer

OFFERS: tuple[Offer, ...] = (
    *availability.OFFERS,
    *stores.OFFERS,
    *stocktaking.OFFERS,
    *leaving.OFFERS,
    *buying.OFFERS,
    *tools.OFFERS,
    *procedures.OFFERS,
    *findings.OFFERS,
    *complement.OFFERS,
)
