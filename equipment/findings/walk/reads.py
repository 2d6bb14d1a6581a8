"""What a walk-round shows: the positions in the order of the cabin, what the records say, what was seen, what differs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Q, QuerySet

from equipment.common.wording import unit_words
from equipment.findings.acts.walk_rounds import NOTHING
from equipment.models import Discrepancy, Place, Sighting, WalkRound
from fleet.models import AircraftPosition

from .record import occupants

MOST = 50
WITH = ("aircraft__aircraft_type", "station", "started_by")


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One walk-round in the list of them."""

    id: int
    registration: str
    zone: str
    station: str
    started_at: datetime
    started_by: str
    looks: int
    differences: int


@dataclass(frozen=True, slots=True)
class Look:
    """What was read at a position, in one line."""

    words: str
    more: str
    at: datetime
    unit_id: int | None
    is_nothing: bool


@dataclass(frozen=True, slots=True)
class PositionShown:
    """One position: what the records say is there, what was seen, what differs and waits."""

    id: int
    number: int
    code: str
    name: str
    kind: str
    capacity: int
    recorded: tuple[str, ...]
    looks: tuple[Look, ...]
    differences: tuple[str, ...]
    missing: int

    @property
    def is_seen(self) -> bool:
        """Everything recorded there was looked at, or it was said that nothing (more) is there."""
        if not self.looks:
            return False
        return (
            self.missing == 0 or self.capacity == 1 or any(each.is_nothing for each in self.looks)
        )

    @property
    def agrees(self) -> bool:
        return self.is_seen and not self.differences


@dataclass(frozen=True, slots=True)
class RoundShown:
    """A walk-round with its positions in the order of the cabin, nose to tail, left to right."""

    walk_round: WalkRound
    positions: tuple[PositionShown, ...]

    @property
    def id(self) -> int:
        return self.walk_round.pk

    @property
    def seen(self) -> int:
        return sum(each.is_seen for each in self.positions)

    @property
    def left(self) -> int:
        return len(self.positions) - self.seen

    @property
    def differing(self) -> list[PositionShown]:
        return [each for each in self.positions if each.differences]

    def at(self, position_id: int) -> PositionShown | None:
        return next((each for each in self.positions if each.id == position_id), None)

    def next_after(self, position_id: int | None) -> PositionShown | None:
        """The next position not seen yet, from here on and then from the nose again."""
        here = next((each.number for each in self.positions if each.id == position_id), 0)
        unseen = [each for each in self.positions if not each.is_seen and each.id != position_id]
        return next((each for each in unseen if each.number > here), next(iter(unseen), None))


def rounds() -> list[RoundRow]:
    """The walk-rounds, the latest first."""
    found = WalkRound.objects.select_related(*WITH).annotate(
        looks=Count("sightings", distinct=True),
        open_ones=Count("discrepancies", filter=Q(discrepancies__settlement=None), distinct=True),
    )
    return [
        RoundRow(
            each.pk,
            each.aircraft.registration,
            each.zone,
            each.station.code,
            each.started_at,
            each.started_by.shown_name,
            each.looks,
            each.open_ones,
        )
        for each in found.order_by("-started_at", "-pk")[:MOST]
    ]


def round_shown(walk_round_id: int, at: datetime) -> RoundShown | None:
    """A walk-round as of an instant: six queries, however many positions."""
    walk_round = WalkRound.objects.select_related(*WITH).filter(pk=walk_round_id).first()
    if walk_round is None:
        return None
    positions = list(positions_of(walk_round))
    places = {
        place.aircraft_position_id: place.pk
        for place in Place.objects.filter(aircraft_position__in=positions)
    }
    held = occupants(places.values(), at)
    looks = _looks(walk_round)
    differences = _differences(places.values())
    shown = []
    for number, position in enumerate(positions, start=1):
        key = places.get(position.pk, 0)
        units = [stay.unit for stay in held.get(key, [])]
        seen = tuple(looks.get(key, ()))
        known = {each.unit_id for each in seen}
        layout = position.type_position
        shown.append(
            PositionShown(
                position.pk,
                number,
                layout.code,
                layout.name,
                layout.kind.name,
                layout.capacity,
                tuple(unit_words(unit) for unit in units),
                seen,
                tuple(differences.get(key, ())),
                sum(unit.pk not in known for unit in units),
            )
        )
    return RoundShown(walk_round, tuple(shown))


def positions_of(walk_round: WalkRound) -> QuerySet[AircraftPosition]:
    """The active positions that are walked, nose to tail, left to right."""
    found = AircraftPosition.objects.filter(aircraft=walk_round.aircraft_id, is_active=True)
    if walk_round.zone:
        found = found.filter(type_position__zone=walk_round.zone)
    return found.select_related("type_position__kind").order_by(
        "type_position__x_cm", "type_position__y_cm", "pk"
    )


def _looks(walk_round: WalkRound) -> dict[int, list[Look]]:
    found: dict[int, list[Look]] = defaultdict(list)
    for each in Sighting.objects.filter(walk_round=walk_round).order_by("seen_at", "pk"):
        found[each.place_id or 0].append(_look(each))
    return found


def _look(each: Sighting) -> Look:
    serial = f"S/N {each.serial_number_read}" if each.serial_number_read else ""
    plate = " ".join(part for part in (each.part_number_read, serial) if part)
    is_nothing = not plate and each.note.startswith(NOTHING)
    more = [
        f"gauge {each.gauge_read}" if each.gauge_read else "",
        f"pin {each.pin_read}" if each.pin_read else "",
    ]
    more += ["" if is_nothing else each.note]
    words = plate or (each.note if is_nothing else "plate not read")
    return Look(words, ", ".join(filter(None, more)), each.seen_at, each.unit_id, is_nothing)


def _differences(place_ids: Iterable[int]) -> dict[int, list[str]]:
    """What waits to be settled at each place, whoever found it."""
    found: dict[int, list[str]] = defaultdict(list)
    waiting = Discrepancy.objects.filter(place__in=list(place_ids), settlement=None)
    for place_id, words in waiting.order_by("found_at", "pk").values_list("place", "words"):
        found[place_id or 0].append(words)
    return found
