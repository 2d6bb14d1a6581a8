"""A position where a swap may begin: what is there, which units may go there, and what speaks against each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Case, Q, QuerySet, Value, When
from django.utils import timezone

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.judging.release.on_card import HoldPoint, hold_points_of
from equipment.ledger.facts import PlaceAt
from equipment.models import Fit, Place, Reservation, Step, StepList, Swap, Unit
from equipment.segregation.facts import Asked, aircraft_names, uses_of
from equipment.segregation.rule import UnitUse, asks_decision, why_not_use
from fleet.house.pages import today
from fleet.models import AircraftPosition

from .ink import as_card_steps

MOST = 12
IN_HAND = (Place.STORE, Place.QUARANTINE)
KINDS = (
    "aircraft_position__type_position__kind",
    "aircraft_position__aircraft__station",
    "part_position__kind",
)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A unit that may go there, with each reason why not yet."""

    unit_id: int
    words: str
    more: str
    why_not: tuple[str, ...] = ()
    is_reserved: bool = False


@dataclass(frozen=True, slots=True)
class StartShown:
    """All that the start of a swap shows."""

    place: int | PlaceAt
    registration: str
    position_code: str
    position_name: str
    station_id: int | None
    unit_off: Candidate | None
    title: str
    document: str
    candidates: tuple[Candidate, ...]
    open_swap_id: int | None
    open_by: str


def start_of(
    asked: int | PlaceAt, on: date, work: str = "", unit_id: int | None = None
) -> StartShown | None:
    """The start of a swap at a place, or at a position where nothing ever was; None if there is none. Of a
    ``work`` in place no unit is to go on; ``unit_id`` tells which of several there it is done on."""
    place = _place_of(asked)
    if place is None:
        return None
    off = unit_at(place, unit_id) if place.pk else None
    steps = step_list_of(place, [off], on, work)
    position = place.aircraft_position
    swaps = Swap.objects.filter(place=place.pk, end__isnull=True).select_related("opened_by")
    going_on = swaps.first() if place.pk else None
    return StartShown(
        place=place.pk or asked,
        registration=position.aircraft.registration if position else "",
        position_code=position.type_position.code if position else place_words(place),
        position_name=position.type_position.name if position else "",
        station_id=position.aircraft.station_id if position else None,
        unit_off=Candidate(off.pk, unit_words(off), off.part_number.description) if off else None,
        title=steps.title if steps else "No step list is in force for this position",
        document=f"{steps.document} revision {steps.document_revision}" if steps else "",
        candidates=() if work else tuple(candidates_at(place, but=off.pk if off else None)),
        open_swap_id=going_on.pk if going_on else None,
        open_by=going_on.opened_by.shown_name if going_on else "",
    )


def _place_of(asked: int | PlaceAt) -> Place | None:
    places = Place.objects.select_related(*PLACE_PARTS, *KINDS)
    if isinstance(asked, int):
        return places.filter(pk=asked, sort__in=(Place.AIRCRAFT, Place.INSIDE)).first()
    key = asked.aircraft_position_id
    found = places.filter(sort=Place.AIRCRAFT, aircraft_position=key).first()
    if found is not None:
        return found
    positions = AircraftPosition.objects.select_related(
        "aircraft__station", "aircraft__aircraft_type", "type_position__kind"
    )
    position = positions.filter(pk=key or 0).first()
    return Place(sort=Place.AIRCRAFT, aircraft_position=position) if position else None


def candidates_at(place: Place, but: int | None) -> list[Candidate]:
    """The units in stores that may go there: what is reserved for it first, then what is free."""
    units = _that_fit(place).filter(merged_into=None, place__sort__in=IN_HAND).exclude(pk=but or 0)
    reserved = set(
        Reservation.objects.filter(place=place.pk, ended_at=None).values_list("unit", flat=True)
    )
    wanted = units.select_related("part_number", *(f"place__{part}" for part in PLACE_PARTS))
    first = list(wanted.filter(pk__in=reserved).order_by("pk")[:MOST])
    free = wanted.exclude(pk__in=reserved).annotate(is_far=_is_far(place))
    rest = list(free.order_by("-place__sort", "is_far", "serial_number", "pk")[:MOST])
    shown = [*first, *rest][:MOST]
    uses = uses_of([unit.pk for unit in shown], _asked(place))
    found = [_candidate(unit, uses[unit.pk], unit.pk in reserved) for unit in shown]
    found.sort(key=lambda each: (not each.is_reserved, bool(each.why_not)))
    return found


def _asked(place: Place) -> Asked:
    """The need: this position, now. One that no unit was ever at has no key, and no reservation."""
    return Asked(today(), timezone.now(), place.pk or 0, aircraft_names(place))


def _is_far(place: Place) -> Case:
    """Nought for what lies at the aircraft's own station: it is there at once."""
    position = place.aircraft_position
    here = position.aircraft.station_id if position else None
    return Case(When(place__station=here, then=Value(0)), default=Value(1))


def _that_fit(place: Place) -> QuerySet[Unit]:
    """What is listed for the position governs; where nothing is listed, its kind does."""
    position, inner = place.aircraft_position, place.part_position
    if position is not None:
        listed = Fit.objects.filter(type_position=position.type_position_id)
        kind: int | None = position.type_position.kind_id
    else:
        listed = Fit.objects.filter(part_position=inner)
        kind = inner.kind_id if inner else None
    parts = list(listed.values_list("part_number", flat=True))
    return Unit.objects.filter(Q(part_number__in=parts) if parts else Q(part_number__kind=kind))


def is_without_fits(asked: int | PlaceAt) -> bool:
    """Whether nothing is listed for a position: then any part of its kind counts as fit, of either
    hand, and whoever proposes one says so."""
    place = _place_of(asked)
    if place is None:
        return False
    position, inner = place.aircraft_position, place.part_position
    if position is not None:
        return not Fit.objects.filter(type_position=position.type_position_id).exists()
    return inner is not None and not Fit.objects.filter(part_position=inner).exists()


def _candidate(unit: Unit, use: UnitUse, is_reserved: bool) -> Candidate:
    why = tuple(each.message for each in (*why_not_use(use), *asks_decision(use)))
    more = f"{'set aside for this position, ' if is_reserved else ''}{place_words(unit.place)}"
    return Candidate(unit.pk, unit_words(unit), more, why, is_reserved)


def expected_at(place: Place) -> Unit | None:
    """The unit that the records say is there; None if none is, or if there are several."""
    found = list(Unit.objects.filter(place=place, merged_into=None).order_by("pk")[:2])
    return found[0] if len(found) == 1 else None


def unit_at(place: Place, unit_id: int | None) -> Unit | None:
    """The unit there that is named, if it is there; without a name the one that the records say is there."""
    if unit_id is None:
        return expected_at(place)
    return Unit.objects.filter(pk=unit_id, place=place, merged_into=None).first()


def step_list_of(
    place: Place, units: Iterable[Unit | None], day: date, work: str = ""
) -> StepList | None:
    """The steps for one of these units' part numbers, else for the position's kind, in force that day:
    of a change, or of a ``work`` done in place."""
    position = place.aircraft_position
    kind = position.type_position.kind if position else getattr(place.part_position, "kind", None)
    listed = StepList.objects.filter(from_on__lte=day, for_work=work)
    in_force = listed.order_by("-from_on", "-pk")
    for unit in units:
        if unit is not None:
            own = in_force.filter(Q(part_number=unit.part_number_id), kind=kind).first()
            if own is not None:
                return own
    return in_force.filter(kind=kind, part_number=None).first()


def hold_points_at(asked: int | PlaceAt, on: date) -> list[HoldPoint]:
    """The hold points of the list that a change at a place is worked by on a day."""
    place = _place_of(asked)
    listed = step_list_of(place, [expected_at(place) if place.pk else None], on) if place else None
    needed = (
        Step.objects.filter(step_list=listed, is_needed=True) if listed else Step.objects.none()
    )
    return hold_points_of(as_card_steps(needed))
