"""By what works are placed at checks: the margin for a check that slips, and the operator's two prices."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from equipment.models import PartNumber
from fleet.acts.act import EXAMPLE_ID, Act
from fleet.acts.answers import shown
from fleet.acts.fields import coded, number, row, text
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import AircraftType, TypePosition, User
from scheduling.models import LifePrice, OpeningPrice, PlanningRule

MOST_DAYS = 365
MOST_PRICE = 1_000_000
WHOLE = "In whole units of your money; 0: it costs nothing."


@dataclass(frozen=True, slots=True)
class NewRule:
    """How works are placed: so many days before its limit at the latest, and what is worth bringing together."""

    margin_days: int = number(
        "Days kept for a check that slips",
        most=MOST_DAYS,
        hint="A work is placed at a check that begins at least so long before its last day.",
    )
    opening_price: int = number(
        "Opening an access costs",
        most=MOST_PRICE,
        help=WHOLE,
        hint=f"{WHOLE} Holds for each access without a price of its own.",
    )
    life_price: int = number(
        "A hundred days of life cost",
        most=MOST_PRICE,
        help=WHOLE,
        hint=f"{WHOLE} Holds for each part number without a price of its own.",
    )
    document: str = text("Document", 80, default="", help="Where the operator says so.")


@transaction.atomic
def state_planning_rule(*, by: User, rule: NewRule, act_id: UUID, at: datetime) -> PlanningRule:
    """This will say by what works are placed from now on, the whole fleet's."""
    ask(by, "plan_works")
    rows = PlanningRule.objects.filter(act_id=act_id)
    if done := done_before(act_id, "state_planning_rule", {"rule": rule}, rows, by=by, at=at):
        return done
    return PlanningRule.objects.create(
        act_id=act_id,
        margin_days=rule.margin_days,
        opening_price=rule.opening_price,
        life_price=rule.life_price,
        document=rule.document.strip(),
        stated_at=at,
        stated_by=by,
    )


@dataclass(frozen=True, slots=True)
class NewLifePrice:
    """What a hundred days of a part number's life cost."""

    part_id: int = row("Part number", PartNumber, "part number")
    price: int = number("A hundred days of life cost", most=MOST_PRICE, help=WHOLE)


@transaction.atomic
def price_life(*, by: User, life: NewLifePrice, act_id: UUID, at: datetime) -> LifePrice:
    """This will say what a part number's life costs from now on. Refuses an unknown part number."""
    ask(by, "plan_works")
    rows = LifePrice.objects.filter(act_id=act_id)
    if done := done_before(act_id, "price_life", {"life": life}, rows, by=by, at=at):
        return done
    if not PartNumber.objects.filter(pk=life.part_id).exists():
        raise Refused("unknown_part", "There is no such part number: look it up again.", "part")
    return LifePrice.objects.create(
        act_id=act_id, part_number_id=life.part_id, price=life.price, stated_at=at, stated_by=by
    )


@dataclass(frozen=True, slots=True)
class NewOpeningPrice:
    """What opening one access of an aircraft type costs: a panel, a door, a floor."""

    aircraft_type_id: int = coded(
        "Aircraft type", AircraftType, "code", "aircraft type", most=24, help="A type's code."
    )
    access_group: str = text("Access", 24, help="The access group of the layout's positions.")
    price: int = number("One opening costs", most=MOST_PRICE, help=WHOLE)


@transaction.atomic
def price_opening(
    *, by: User, opening: NewOpeningPrice, act_id: UUID, at: datetime
) -> OpeningPrice:
    """This will say what opening an access costs from now on. Refuses one that no position is behind."""
    ask(by, "plan_works")
    rows = OpeningPrice.objects.filter(act_id=act_id)
    if done := done_before(act_id, "price_opening", {"opening": opening}, rows, by=by, at=at):
        return done
    group = refuse_blank(opening.access_group, "Name the access.", "access_group", 24)
    behind = TypePosition.objects.filter(aircraft_type=opening.aircraft_type_id, access_group=group)
    if not behind.exists():
        words = f"No position of this type is behind an access {group}: check the layout."
        raise Refused("unknown_access", words, "access_group")
    return OpeningPrice.objects.create(
        act_id=act_id,
        aircraft_type_id=opening.aircraft_type_id,
        access_group=group,
        price=opening.price,
        stated_at=at,
        stated_by=by,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleShown:
    id: int
    margin_days: int
    opening_price: int
    life_price: int
    document: str
    stated_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class LifePriceShown:
    id: int
    part: int = shown("part_number_id")
    price: int
    stated_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningPriceShown:
    id: int
    aircraft_type: int = shown("aircraft_type_id", "Its id.")
    access_group: str
    price: int
    stated_at: datetime


# --- declared ---------------------------------------------------------------------------------

AT = "2027-03-01T10:00:00Z"
STATE_PLANNING_RULE = Act(
    name="state_planning_rule",
    who="plan_works",
    does=state_planning_rule,
    said=NewRule,
    as_="rule",
    tag="Plan",
    summary="State margin and prices",
    description="Says how many days are kept before a limit, and what opening an access and a hundred days "
    "of life cost: by these works are placed at checks.",
    address="plan/rules",
    example={
        "act_id": EXAMPLE_ID,
        "margin_days": 7,
        "opening_price": 350,
        "life_price": 120,
        "document": "Planning manual 4.2",
    },
    shows=RuleShown,
    answer={
        "id": 3,
        "margin_days": 7,
        "opening_price": 350,
        "life_price": 120,
        "document": "Planning manual 4.2",
        "stated_at": AT,
    },
)
PRICE_LIFE = Act(
    name="price_life",
    who="plan_works",
    does=price_life,
    said=NewLifePrice,
    as_="life",
    tag="Plan",
    summary="Price a part number's life",
    description="Says what a hundred days of a part number's life cost.",
    address="plan/life-prices",
    example={"act_id": EXAMPLE_ID, "part": 12, "price": 400},
    shows=LifePriceShown,
    answer={"id": 5, "part": 12, "price": 400, "stated_at": AT},
)
PRICE_OPENING = Act(
    name="price_opening",
    who="plan_works",
    does=price_opening,
    said=NewOpeningPrice,
    as_="opening",
    tag="Plan",
    summary="Price an opening",
    description="Says what opening one access of an aircraft type costs.",
    address="plan/opening-prices",
    example={
        "act_id": EXAMPLE_ID,
        "aircraft_type": "TERN-200",
        "access_group": "DOOR 1",
        "price": 900,
    },
    shows=OpeningPriceShown,
    answer={
        "id": 8,
        "aircraft_type": 2,
        "access_group": "DOOR 1",
        "price": 900,
        "stated_at": AT,
    },
)
