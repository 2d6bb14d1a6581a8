"""Days on which a shop takes nothing: somebody says so once, and nobody sends anything there meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.models import ShopDays
from equipment.stores.reads.shop_loop import known_shops
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import Heading, choice, day, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank, refuse_long
from fleet.models import User
from fleet.words.said import day_words


@transaction.atomic
def say_shop_days(*, by: User, days: ShopSaid, act_id: UUID, at: datetime) -> ShopDays:
    """This will say that a shop is closed from a day on, or open again. Refuses a shop without a name, an unknown sort, and
    a last day before the first.
    """
    ask(by, "send_to_shop")
    rows = ShopDays.objects.filter(act_id=act_id)
    if done := done_before(act_id, "say_shop_days", {"days": days}, rows, by=by, at=at):
        return done
    if days.sort not in dict(ShopDays.SORTS):
        raise Refused("unknown_sort", "Say whether it is closed or open again.", "sort")
    if days.until_on is not None and days.until_on < days.from_on:
        words = f"That is before {day_words(days.from_on)}: check both days."
        raise Refused("days_backwards", words, "until_on")
    is_closed = days.sort == ShopDays.CLOSED
    return ShopDays.objects.create(
        act_id=act_id,
        shop=refuse_blank(days.shop, "Name the shop.", "shop", 80),
        sort=days.sort,
        from_on=days.from_on,
        until_on=days.until_on if is_closed else None,
        words=refuse_long(days.words, "words", 200),
        recorded_at=at,
        recorded_by=by,
    )


def refuse_closed(shop: str, on: date) -> None:
    """This will refuse a shop that is closed on a day, at its field, in words."""
    # What holds from a later day does not undo what holds now.
    rows = ShopDays.objects.filter(shop__iexact=shop.strip(), from_on__lte=on)
    said = rows.select_related("recorded_by").order_by("-pk").first()
    if said is None or said.sort == ShopDays.OPEN:
        return
    if said.until_on is not None and said.until_on < on:
        return
    until = f"to {day_words(said.until_on)}" if said.until_on else "until further notice"
    why = f" ({said.words.rstrip('.')})" if said.words else ""
    words = (
        f"{said.shop} is closed from {day_words(said.from_on)} {until}{why}, as {said.recorded_by.shown_name} noted:"
        " name another shop, or note first that it is open again."
    )
    raise Refused("shop_closed", words, "shop")


@dataclass(frozen=True, slots=True)
class ShopSaid:
    """A shop is closed from a day on, or open again."""

    shop: str = text(
        "Shop",
        80,
        needed="Name the shop.",
        offers=known_shops,
        heading=Heading("Shop", "Its name, as orders have it."),
    )
    sort: str = choice(
        "It is",
        ShopDays.SORTS,
        heading=Heading("It is", "closed, or open again."),
    )
    from_on: date = day("From", heading=Heading("From", "The first day."))
    until_on: date | None = day(
        "Last day that it is closed",
        default=None,
        heading=Heading("Until", "The last day; blank: until further notice."),
    )
    words: str = text(
        "Why, in words", 200, default="", heading=Heading("Remarks", "Why, in words.")
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopDaysShown:
    id: int = shown("pk")
    shop: str
    sort: str
    from_on: date
    until_on: date | None
    words: str


# --- declared ---------------------------------------------------------------------------------

SAY_SHOP_DAYS = Act(
    name="say_shop_days",
    does=say_shop_days,
    said=ShopSaid,
    as_="days",
    who="send_to_shop",
    tag="Stores",
    summary="Say that a shop is closed, or open again",
    description="From a day on nothing is sent to a shop, to a last day or until further notice.",
    address="stores/shop-days",
    example={
        "act_id": EXAMPLE_ID,
        "shop": "Lee Shore Overhaul",
        "sort": "closed",
        "from_on": "2024-08-01",
        "until_on": "2024-08-21",
        "words": "Moving.",
    },
    shows=ShopDaysShown,
    answer={
        "id": 4,
        "shop": "Lee Shore Overhaul",
        "sort": "closed",
        "from_on": "2024-08-01",
        "until_on": "2024-08-21",
        "words": "Moving.",
    },
)
