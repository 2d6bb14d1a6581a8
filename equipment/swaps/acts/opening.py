"""A swap begins: from a need, or as the correction of one that was released."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.common.doors.examples import PLACE_SENT
from equipment.common.wording import PLACE_PARTS, place_words
from equipment.keeping.places import place_ids
from equipment.ledger.facts import PlaceAt
from equipment.models import Place, RuleSet, Swap, SwapEnd, Unit
from equipment.segregation.rules_of_aircraft import rule_set_on
from equipment.swaps.reads.rows import day_of, moves_of
from fleet.acts.act import Act
from fleet.acts.repeats import done_before
from fleet.aircraft.planned import left_by
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Aircraft, Station, User
from fleet.words.said import moment_words

from .facts import MOST_REASON, NewSwap, WithReason
from .held import lock_openings_at, lock_swap, refuse_work, steps_for, unit_there

OPENED_AT_A_POSITION = (Place.AIRCRAFT, Place.INSIDE)


@transaction.atomic
def open_swap(
    *, by: User, new: NewSwap, act_id: UUID, at: datetime, sender_at: datetime | None = None
) -> Swap:
    """This will open a swap at a position, with the step list and rule set in force that day.

    Refuses an unknown position, station or unit, a position where a swap is open already
    (``swap_already_open``), and a kind for which no steps or rules are on record.
    """
    ask(by, "open_swap")
    place, rows = position_of(new.place), Swap.objects.filter(act_id=act_id)
    told = {"new": replace(new, place=place.pk)}
    if done := done_before(act_id, "open_swap", told, rows, by=by, at=at, sender_at=sender_at):
        return done
    lock_openings_at(place.pk)
    _refuse_shape(new)
    _refuse_there(place, at)
    off, on = unit_there(place, new), _planned(new.planned_on_id)
    sort = _sort_of(new, place)
    swap = Swap(
        act_id=act_id,
        sort=sort,
        place=place,
        aircraft=aircraft_of(place),
        station=station_of(new.station_id),
        expected_off=off,
        planned_on=on,
        reason=new.reason.strip(),
        due_item=new.due_item,
        work=new.work,
        donor_of=_donor(new.donor_of_id),
        opened_at=at,
        opened_by=by,
        sender_at=sender_at,
    )
    day = day_of(swap, at)
    swap.step_list = steps_for(swap, [off, on], day)
    swap.rule_set = rules_on(day, swap.aircraft)
    swap.save()
    return swap


def _refuse_there(place: Place, at: datetime) -> None:
    """Refuses a second swap at a position, and any on an aircraft that has left the fleet."""
    refuse_second(place)
    aircraft = aircraft_of(place)
    if aircraft is not None and aircraft.pk in left_by(at.astimezone(zone()).date()):
        words = f"{aircraft.registration} has left the fleet: nothing is changed on it."
        raise Refused("aircraft_left", words, "place")


def _sort_of(new: NewSwap, place: Place) -> str:
    """A swap at a position with nothing on it is a fitting."""
    has_units = Unit.objects.filter(place=place, merged_into=None).exists()
    return "fitting" if new.sort == "swap" and not has_units else new.sort


def position_of(at: int | PlaceAt) -> Place:
    """The position that is meant, with all that names it; refuses ``unknown_place``."""
    (key,) = place_ids([at])
    found = (
        Place.objects.select_related(
            *(f"{part}" for part in PLACE_PARTS),
            "aircraft_position__aircraft__aircraft_type",
            "aircraft_position__type_position__kind",
            "part_position__kind",
        )
        .filter(pk=key or 0)
        .first()
    )
    if found is None or found.sort not in OPENED_AT_A_POSITION:
        words = "Name a position of an aircraft, or one inside a unit: a swap is done there."
        raise Refused("unknown_place", words, "place")
    return found


def _refuse_shape(new: NewSwap) -> None:
    if new.sort not in dict(Swap.SORTS):
        sorts = ", ".join(sort for sort, _ in Swap.SORTS)
        raise Refused("unknown_sort", f"The sort of a swap is one of {sorts}.", "sort")
    refuse_blank(new.reason, "Say why it is changed.", "reason", MOST_REASON)
    refuse_work(new)
    if new.due_item is not None and not 0 <= new.due_item < 2**63:
        raise Refused("unknown_due_item", "There is no such due item.", "due_item")


def station_of(key: int) -> Station:
    """The station of this key; refuses ``unknown_station``."""
    station = Station.objects.filter(pk=key).first()
    if station is None:
        raise Refused("unknown_station", "Name the station where the work is done.", "station")
    return station


def _planned(key: int | None) -> Unit | None:
    if key is None:
        return None
    unit = Unit.objects.filter(pk=key).first()
    if unit is None:
        raise Refused("unknown_unit", "There is no such unit: look it up again.", "planned_on")
    return unit


def _donor(key: int | None) -> Swap | None:
    if key is None:
        return None
    swap = Swap.objects.filter(pk=key, end=None).first()
    if swap is None:
        words = "The swap that the unit is taken for is not open: look it up again."
        raise Refused("unknown_swap", words, "donor_of")
    return swap


def refuse_second(place: Place) -> None:
    """This will refuse ``swap_already_open`` where a swap is open at the place, naming whose."""
    other = Swap.objects.filter(place=place, end=None).select_related("opened_by").first()
    if other is not None:
        raise Refused(
            "swap_already_open",
            f"{other.opened_by.shown_name} has swap {other.pk} open at {place_words(place)} since"
            f" {moment_words(other.opened_at)}. Go on with that one.",
            "place",
        )


def aircraft_of(place: Place) -> Aircraft | None:
    """The aircraft of a position, or the one that the unit around it is on."""
    if place.aircraft_position is not None:
        return place.aircraft_position.aircraft
    return place.around.aircraft if place.around is not None else None


def rules_on(day: date, aircraft: Aircraft | None) -> RuleSet:
    """The rules of signing in force on a day, the aircraft's own first; refuses ``no_rule_set``."""
    found = rule_set_on(day, aircraft.pk if aircraft is not None else None)
    if found is None:
        words = "No rules of signing are in force: have them entered before a swap is begun."
        raise Refused("no_rule_set", words)
    return found


@transaction.atomic
def correct_swap(*, by: User, swap_id: int, reason: str, act_id: UUID, at: datetime) -> Swap:
    """This will open a new swap that corrects a released one, which stays as it was signed.

    Nothing signed is taken over; its movements count until others are recorded in their place.
    Refuses a swap that is not released, and one that another corrects already, naming that.
    """
    ask(by, "correct_swap")
    told, rows = {"swap_id": swap_id, "reason": reason}, Swap.objects.filter(act_id=act_id)
    if done := done_before(act_id, "correct_swap", told, rows, by=by, at=at):
        return done
    wrong = refuse_blank(reason, "Say what was wrong.", "reason", MOST_REASON)
    first = lock_swap(swap_id)
    lock_openings_at(first.place_id)
    _refuse_unreleased(first)
    old = _last_abandoned(first)
    refuse_second(first.place)
    off = moves_of(first).get("off")
    made = Swap(
        act_id=act_id,
        sort=first.sort,
        place=first.place,
        aircraft=first.aircraft,
        station=first.station,
        step_list=first.step_list,
        reason=first.reason,
        expected_off=off.unit if off else first.expected_off,
        planned_on=first.planned_on,
        work=first.work,
        corrects=old,
        correction_reason=wrong,
        opened_at=at,
        opened_by=by,
        rule_set=rules_on(day_of(first, at), first.aircraft),
    )
    if made.step_list is None and made.sort != "removal":
        units = [made.expected_off, made.planned_on]
        made.step_list = steps_for(made, units, day_of(first, at))
    made.save()
    return made


def _refuse_unreleased(swap: Swap) -> None:
    if not SwapEnd.objects.filter(swap=swap, sort="released").exists():
        words = "Only a released swap is corrected: an open one is put right as it stands."
        raise Refused("swap_not_released", words, "swap")


def _last_abandoned(swap: Swap) -> Swap:
    """The swap itself, or the last of the corrections that were begun and given up."""
    later = Swap.objects.filter(corrects=swap).select_related("end").first()
    if later is None:
        return swap
    end = getattr(later, "end", None)
    if end is not None and end.sort == "abandoned":
        return _last_abandoned(later)
    raise Refused(
        "swap_corrected_already", f"Swap {later.pk} corrects this one: go on with that.", "swap"
    )


# --- declared ---------------------------------------------------------------------------------

OPEN_SWAP = Act(
    name="open_swap",
    does=open_swap,
    said=NewSwap,
    as_="new",
    takes_sender_at=True,
    tag="Swaps",
    summary="Open a swap",
    description="Begins the change of a unit at a position, with the step list and the rules of "
    "signing in force that day. Where a swap is open already, it is named.",
    address="swaps",
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b01",
        "place": PLACE_SENT,
        "station": "LYD",
        "reason": "Overhaul is due",
    },
)
CORRECT_SWAP = Act(
    name="correct_swap",
    does=correct_swap,
    said=WithReason,
    tag="Swaps",
    summary="Correct a released swap",
    description="Opens a new swap that corrects a released one, which stays as it was signed.",
    address="swaps/<int:swap_id>/correction",
    in_address=("swap_id",),
    example={
        "act_id": "0b8c0d1e-7c58-4d0c-8f3c-0f2f6d1f6b07",
        "reason": "Wrong wrench named.",
    },
)
