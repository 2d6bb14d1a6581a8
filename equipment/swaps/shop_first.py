"""Units that only the shop can make serviceable again: deployed, discharged, unsalvageable; and units
that came straight from a shop."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Q

from equipment.models import Place, Stay, UnitTag
from equipment.wording import PLACE_PARTS, place_words

SHOP_FIRST = Q(why__in=("deployed", "discharged")) | Q(sort="unsalvageable")


def is_for_the_shop(tag: UnitTag) -> bool:
    """Whether a tag is one that only the shop may lift."""
    return tag.why in ("deployed", "discharged") or tag.sort == "unsalvageable"


def not_back_from_shop(unit_ids: Iterable[int]) -> UnitTag | None:
    """The latest such tag of a unit (its merged ids), unless the shop has had the unit since.

    It has had it when the unit came out of a shop after the tag, or the shop tagged it itself.
    """
    ids = list(unit_ids)
    tags = UnitTag.objects.filter(unit__in=ids)
    tag = tags.filter(SHOP_FIRST).order_by("-tagged_at", "-pk").first()
    if tag is None or _was_in_shop(ids, tag.tagged_at):
        return None
    by_shop = tags.filter(why="shop", sort="serviceable", tagged_at__gt=tag.tagged_at)
    return None if by_shop.exists() else tag


def _was_in_shop(ids: list[int], since: datetime) -> bool:
    stays = Stay.objects.filter(unit__in=ids, place__sort=Place.SHOP, known__upper_inf=True)
    return stays.filter(valid__upper_inf=False, valid__endswith__gt=since).exists()


def straight_from_shop(unit_ids: Iterable[int], at: datetime) -> str:
    """The shop that a unit (its merged ids) was at until an instant, in words; empty if at none.

    What comes back from a shop is received and inspected before it is used.
    """
    stays = Stay.objects.filter(unit__in=list(unit_ids), known__upper_inf=True)
    before = stays.filter(valid__startswith__lt=at).order_by("-valid__startswith", "-pk")
    last = before.select_related(*(f"place__{part}" for part in PLACE_PARTS)).first()
    return place_words(last.place) if last and last.place.sort == Place.SHOP else ""
