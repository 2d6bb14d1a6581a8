"""Units that only the shop can make serviceable again (deployed, discharged), or no later tag (condemned as
unsalvageable); and units that came straight from a shop."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db.models import Q

from equipment.common.wording import PLACE_PARTS, place_words
from equipment.models import Place, Stay, Unit, UnitTag
from fleet.words.said import day_words

SHOP_FIRST = Q(why__in=("deployed", "discharged"))
CONDEMNED = "unsalvageable"


def is_for_the_shop(tag: UnitTag) -> bool:
    """Whether a tag is one that only the shop may lift."""
    return tag.why in ("deployed", "discharged")


def condemnations_of(unit_id: int) -> list[UnitTag]:
    """The tags by which a unit, or a record of it, was condemned and which nobody took back, the first first."""
    tags = UnitTag.objects.standing().filter(
        unit__in=Unit.objects.same_as([unit_id]), sort=CONDEMNED
    )
    return list(tags.order_by("tagged_at", "pk"))


def condemned_by(unit_id: int) -> UnitTag | None:
    """The tag by which a unit is condemned: it stays so, whoever had it since."""
    return next(iter(condemnations_of(unit_id)), None)


def condemned_words(by: UnitTag) -> str:
    """``was tagged unsalvageable on 3 Mar 2027 (Girt torn)``."""
    because = f" ({by.words.rstrip('.')})" if by.words else ""
    return f"was tagged {by.get_sort_display()} on {day_words(by.tagged_at.date())}{because}"


def counting_tag(unit_id: int, at: datetime) -> UnitTag | None:
    """The tag of a unit, or of a record of it, that counts at an instant; None if it has none."""
    records = Unit.objects.same_as([unit_id]).values_list("pk", flat=True)
    return latest_tags(dict.fromkeys(records, unit_id), at).get(unit_id)


def not_back_from_shop(kept: Mapping[int, int]) -> dict[int, UnitTag]:
    """The latest such tag of each unit, unless the shop has had the unit since. Three questions at most.

    ``kept`` maps every unit, and every one that was merged into it, to the one it is now. The shop has
    had it when the unit came out of a shop after the tag, or the shop tagged it itself.
    """
    tags = UnitTag.objects.standing().filter(unit__in=kept)
    shop_first = tags.filter(SHOP_FIRST).order_by("tagged_at", "pk")
    found = {kept[tag.unit_id]: tag for tag in shop_first}
    if not found:
        return {}
    ids = [each for each, unit in kept.items() if unit in found]
    stays = Stay.objects.filter(unit__in=ids, place__sort=Place.SHOP, known__upper_inf=True)
    ended = stays.filter(valid__upper_inf=False).values_list("unit", "valid__endswith")
    by_shop = tags.filter(unit__in=ids, why="shop", sort="serviceable")
    for unit_id, at in [*ended, *by_shop.values_list("unit", "tagged_at")]:
        unit = kept[unit_id]
        if unit in found and at > found[unit].tagged_at:
            del found[unit]
    return found


def latest_tags(kept: Mapping[int, int], at: datetime) -> dict[int, UnitTag]:
    """The tag of each unit that counts at an instant: the latest, but for one that only the shop may lift,
    and for one that condemned it, which stays until it is taken back by name.

    ``kept`` maps every unit, and every one that was merged into it, to the one it is now. An untagged
    unit is missing.
    """
    tags = list(
        UnitTag.objects.standing()
        .filter(unit__in=kept, tagged_at__lte=at)
        .order_by("tagged_at", "pk")
    )
    found = {kept[tag.unit_id]: tag for tag in tags}
    for_the_shop = {kept[tag.unit_id] for tag in tags if is_for_the_shop(tag)}
    if for_the_shop:
        found |= not_back_from_shop(
            {each: unit for each, unit in kept.items() if unit in for_the_shop}
        )
    found |= {kept[tag.unit_id]: tag for tag in reversed(tags) if tag.sort == CONDEMNED}
    return found


def straight_from_shop(unit_ids: Iterable[int], at: datetime) -> str:
    """The shop that a unit (its merged ids) was at until an instant, in words; empty if at none.

    What comes back from a shop is received and inspected before it is used.
    """
    stays = Stay.objects.filter(unit__in=list(unit_ids), known__upper_inf=True)
    before = stays.filter(valid__startswith__lt=at).order_by("-valid__startswith", "-pk")
    last = before.select_related(*(f"place__{part}" for part in PLACE_PARTS)).first()
    return place_words(last.place) if last and last.place.sort == Place.SHOP else ""
