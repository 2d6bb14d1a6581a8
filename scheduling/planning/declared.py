"""What people do about the plan: each act once, with the ways to it."""

from __future__ import annotations

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse

from equipment.models import PartNumber
from fleet.aircraft.planned import not_over, planned_checks
from fleet.house.pages import today
from fleet.models import AircraftType, Station
from fleet.offers.api import Api
from fleet.offers.offer import Offer
from fleet.offers.page import About, Page
from fleet.words.said import day_words
from scheduling.models import DueItem, LifePrice, OpeningPrice

from .acts.hangars import STATE_HANGAR
from .acts.placements import PLACE_ITEM
from .acts.rules import PRICE_LIFE, PRICE_OPENING, STATE_PLANNING_RULE
from .facts.ground import prices_now
from .facts.hangars import capacities
from .pages.forms import PlacementForm, place_meant, places_for

TEMPLATE = "scheduling/planning/act.html"


def _of_rule(request: HttpRequest) -> About:
    now = prices_now()
    starts = {
        "margin_days": now.margin_days,
        "opening_price": now.opening_price,
        "life_price": now.life_price,
        "document": now.document,
    }
    return About(starts=starts, back=reverse("scheduling:plan"), back_label="The plan")


def _of_part(request: HttpRequest, part_id: int) -> About:
    part = get_object_or_404(PartNumber, pk=part_id)
    last = LifePrice.objects.filter(part_number=part).order_by("-pk").first()
    return About(
        given={"part_id": part.pk},
        subject=f"{part.number}, {part.description}",
        starts={"price": last.price if last else prices_now().life_price},
        back=reverse("scheduling:plan"),
        back_label="The plan",
    )


def _of_access(request: HttpRequest, type_id: int, group: str) -> About:
    of_type = get_object_or_404(AircraftType, pk=type_id)
    last = OpeningPrice.objects.filter(aircraft_type=of_type, access_group=group).order_by("-pk")
    now = last.first()
    return About(
        given={"aircraft_type_id": of_type.pk, "access_group": group},
        subject=f"{of_type.code} {group}",
        starts={"price": now.price if now else prices_now().opening_price},
        back=reverse("scheduling:plan"),
        back_label="The plan",
    )


def _of_hangar(request: HttpRequest, station_id: int) -> About:
    station = get_object_or_404(Station, pk=station_id)
    said = capacities().get(station.pk, [])
    last = said[-1] if said else None
    return About(
        given={"station_id": station.pk},
        subject=f"{station.code}, {station.name}",
        starts={"slots": last.slots, "people": last.people, "document": last.document}
        if last
        else {},
        back=reverse("scheduling:hangars"),
        back_label="Hangars",
    )


def _of_item(request: HttpRequest, item_id: int) -> About:
    rows = DueItem.objects.select_related("limit", "work", "aircraft", "unit__part_number")
    item = get_object_or_404(rows.exclude(aircraft=None), pk=item_id)
    checks = planned_checks().filter(not_over(today()), aircraft=item.aircraft_id)
    in_order = list(checks.select_related("station").order_by("starts_on", "pk"))
    unit = f"{item.unit.part_number.number} S/N {item.unit.serial_number}, " if item.unit else ""
    return About(
        given={"item_id": item.pk},
        subject=f"{item.aircraft} {unit}{item.work.name}, last day {day_words(item.due_on)}",
        starts={"places": places_for(item, in_order)},
        back=f"{reverse('scheduling:plan')}?aircraft={item.aircraft}&months=4",
        back_label="The plan",
    )


RULE = Page(
    address="plan/rules/",
    name="plan_rules",
    heading="Margin and prices",
    lead="Each work is placed at the last check that begins so long before its last day. Works behind one"
    " access are brought together where the openings saved cost more than the life thrown away.",
    button="Save",
    done="The plan follows these from now on.",
    about=_of_rule,
    template=TEMPLATE,
)
LIFE = Page(
    address="plan/prices/parts/<int:part_id>/",
    name="plan_life_price",
    heading="Price of a part number's life",
    button="Save",
    done="The price is saved.",
    about=_of_part,
    known=("part",),
    template=TEMPLATE,
)
OPENING = Page(
    address="plan/prices/types/<int:type_id>/<path:group>/",
    name="plan_opening_price",
    heading="Price of an opening",
    button="Save",
    done="The price is saved.",
    about=_of_access,
    known=("aircraft_type", "access_group"),
    template=TEMPLATE,
)
HANGAR = Page(
    address="plan/hangars/<int:station_id>/",
    name="plan_hangar",
    heading="What the hangar holds",
    lead="From a day on, until another day of which something is said. Checks that are planned stay as they are: where"
    " they are more than it holds, that is shown.",
    button="Save",
    done="What the hangar holds is saved.",
    about=_of_hangar,
    known=("station",),
    begins_today=("from_on",),
    template=TEMPLATE,
)
PLACEMENT = Page(
    address="plan/items/<int:item_id>/",
    name="plan_place",
    heading="Put a work elsewhere",
    lead="It stays there until it is done, whatever the rule says; never at a check after its last day.",
    button="Save",
    done="The work is placed.",
    about=_of_item,
    form=PlacementForm,
    find=place_meant,
    template=TEMPLATE,
)

OFFERS: tuple[Offer, ...] = (
    Offer(STATE_PLANNING_RULE, Api(sent="PlanningRuleSent", name="api-plan-rules"), RULE),
    Offer(PRICE_LIFE, Api(sent="LifePriceSent"), LIFE),
    Offer(PRICE_OPENING, Api(sent="OpeningPriceSent"), OPENING),
    Offer(STATE_HANGAR, Api(sent="HangarSent", name="api-plan-hangars"), HANGAR),
    Offer(PLACE_ITEM, Api(sent="PlacementSent", name="api-plan-placements"), PLACEMENT),
)
