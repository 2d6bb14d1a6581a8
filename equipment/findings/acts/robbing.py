"""A unit is taken off another position for an open swap: the donor's swap, its removal, its open item, in one act."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.tag_facts import TagFact
from equipment.common.doors.examples import PLACE_SENT
from equipment.common.said import unit_row
from equipment.ledger.facts import PlaceAt, When
from equipment.models import OpenItem, Place, Swap
from equipment.swaps.acts.held import lock_swap
from equipment.swaps.acts.movements import record_removal
from equipment.swaps.acts.opening import open_swap, position_of
from fleet.acts.act import Act
from fleet.acts.fields import number, part, text, yes_no
from fleet.acts.repeats import Said, claim
from fleet.house.desks import ask
from fleet.models import User

from .open_items import open_item
from .openings import Opening
from .robberies import Parts, Robbed, only_unit, robbery


@transaction.atomic
def rob_unit(
    *,
    by: User,
    for_swap_id: int,
    donor_place: int | PlaceAt,
    act_id: UUID,
    at: datetime,
    unit_id: int | None = None,
    when: When | None = None,
    opening: Opening | None = None,
    is_confirmed: bool = False,
    minutes: int | None = None,
    cycles: int | None = None,
    log_page: str = "",
) -> Robbed:
    """This will take a unit off another aircraft for an open swap: the donor's removal is a swap of
    its own, its position left open by a document, and the unit lies in the store of the station,
    from where the receiving swap installs it.

    Without ``unit_id`` it is the one recorded there; without ``when`` it comes off now, to the minute.
    Without ``opening`` the donor is grounded until somebody says by what its position stays open.
    Refuses as its parts do, and robbing the very position that the unit is for (``robs_itself``).
    """
    _ask(by, opening)
    donor, parts = position_of(donor_place), Parts.of(act_id, "donor swap")
    read: Said = {"minutes": minutes, "cycles": cycles, "is_confirmed": is_confirmed}
    told: Said = {"for_swap_id": for_swap_id, "donor_place": donor.pk, "unit_id": unit_id}
    told |= {"when": when, "opening": opening, "log_page": log_page, **read}
    if not claim(act_id, "rob_unit", told, by=by, at=at, earlier=parts.earlier):
        return parts.before()
    new, off = robbery(lock_swap(for_swap_id), donor), unit_id or only_unit(donor)
    swap = open_swap(by=by, new=new, act_id=parts.swap, at=at)
    # To the minute, as the pages of what came off and went on say it: the order is that of the record.
    read |= {"when": when or When(at.replace(second=0, microsecond=0)), "unit_id": off}
    read |= {"to": PlaceAt(Place.STORE, station_id=new.station_id), "log_page": log_page}
    good = TagFact("serviceable", "removed_good", new.reason)
    moved = record_removal(by=by, swap_id=swap.pk, tag=good, act_id=parts.removal, at=at, **read)
    return Robbed(swap, moved, _left_open(swap, opening, by=by, act_id=parts.item, at=at))


def _left_open(
    swap: Swap, opening: Opening | None, *, by: User, act_id: UUID, at: datetime
) -> OpenItem | None:
    if opening is None:
        return None
    return open_item(by=by, opening=opening, act_id=act_id, at=at, swap_id=swap.pk)


def _ask(by: User, opening: Opening | None) -> None:
    """Who takes a unit off may not always say by what its position stays open."""
    ask(by, "open_swap")
    if opening is not None:
        ask(by, "open_item")


@dataclass(frozen=True, slots=True)
class Robbery:
    """A unit taken off another aircraft for a swap, and by what its position there stays open."""

    for_swap_id: int = number("The swap", name="swap")
    donor_place: int | PlaceAt = part("The position that it is taken from", PlaceAt, name="place")
    opening: Opening | None = part(
        "By what its position there stays open",
        Opening,
        default=None,
        help="By whoever may open an item; without one the donor is not releasable.",
    )
    unit_id: int | None = unit_row("The unit", default=None, help="None: the one recorded there.")
    when: When | None = part("When it came off", When, default=None)
    log_page: str = text("Log page of that aircraft", 40, default="")
    is_confirmed: bool = yes_no(
        "It is really so: record it as it is", help="Though it was asked about (`confirm_first`)."
    )


# --- declared ---------------------------------------------------------------------------------

ROB_UNIT = Act(
    name="rob_unit",
    who="open_swap",
    does=rob_unit,
    said=Robbery,
    tag="Swaps",
    summary="Take a unit from another aircraft",
    description="Takes a unit off another position for an open swap: the donor's removal is a swap of "
    "its own, its position is left open by a document, and the unit lies in the station's store. All of "
    "it or nothing.",
    address="swaps/<int:for_swap_id>/robbery",
    in_address=("for_swap_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6c0a",
        "place": PLACE_SENT,
        "happened_at": "2024-03-03T14:05:00Z",
    },
)
