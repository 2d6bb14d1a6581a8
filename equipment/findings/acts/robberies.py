"""What a robbery, and a removal that nothing replaces, are made of: a swap, its removal, an open item."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.db.models import QuerySet

from equipment.common.texts import derived_act_id
from equipment.common.wording import place_words
from equipment.models import OpenItem, Place, Swap, SwapMovement
from equipment.swaps.acts.facts import Moved, NewSwap
from equipment.swaps.acts.movements import moved_by
from equipment.swaps.reads.start import expected_at
from fleet.acts.repeats import what_was_done
from fleet.house.refusals import Refused


@dataclass(frozen=True, slots=True)
class Robbed:
    """What became of a robbery: the donor's own swap, its removal, the item that leaves it open, if
    whoever recorded it could say by what."""

    swap: Swap
    moved: Moved
    item: OpenItem | None


@dataclass(frozen=True, slots=True)
class Parts:
    """The ids of the acts that it is made of."""

    swap: UUID
    removal: UUID
    item: UUID

    @classmethod
    def of(cls, act_id: UUID, swap: str) -> Parts:
        """Made from the whole act's own; ``swap`` is what the swap is called there."""
        return cls(*(derived_act_id(act_id, part) for part in (swap, "removal", "open item")))

    @property
    def earlier(self) -> list[QuerySet[Swap]]:
        """The row by which the whole act is known to have been done."""
        return [Swap.objects.filter(act_id=self.swap)]

    def before(self) -> Robbed:
        """What the same act came to before."""
        item = OpenItem.objects.filter(act_id=self.item).first()
        moved = moved_by(self.removal, SwapMovement.OFF)
        return Robbed(what_was_done(self.earlier[0]), moved, item)


def robbery(target: Swap, donor: Place) -> NewSwap:
    """The donor's own swap. Refuses to take a unit from where it is to go (``robs_itself``)."""
    if donor.pk == target.place_id:
        words = (
            "The unit is taken from another position than the one it is for: choose the donor's."
        )
        raise Refused("robs_itself", words, "donor_place")
    return NewSwap(
        place=donor.pk,
        station_id=target.station_id,
        reason=f"robbed for swap {target.pk}, {place_words(target.place)}",
        sort="robbery",
        donor_of_id=target.pk,
    )


def only_unit(donor: Place) -> int:
    """The one unit that is recorded at the donor's position; refuses ``unknown_place``."""
    found = expected_at(donor)
    if found is None:
        words = (
            "Name one position of one aircraft at which one unit is recorded, as: Q7-VAB D1L-SLIDE."
        )
        raise Refused("unknown_place", words, "donor")
    return found.pk
