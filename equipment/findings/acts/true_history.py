"""What really happened at a position, put into the ledger so that the history of each unit comes out right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from equipment.common.texts import derived_act_id
from equipment.common.wording import PLACE_PARTS, movement_words, unit_words
from equipment.keeping.correct import annul_movements
from equipment.keeping.record import record_asked
from equipment.ledger.facts import AnnulmentFact, MovementFact, PlaceAt, When
from equipment.models import Movement, Place, Stay, Unit
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.words.said import dated_words

FITTED = (Place.AIRCRAFT, Place.INSIDE)


@dataclass(frozen=True, slots=True)
class Story:
    """A change that nobody recorded: ``recorded`` came off ``place`` and went ``to``, ``found`` went on.

    ``station_id`` is where it was done; ``until`` when it was found out. ``minutes`` and ``cycles``
    are the aircraft's, as read then.
    """

    by: User
    act_id: UUID
    at: datetime
    place: Place
    station_id: int
    recorded: Unit | None
    found: Unit | None
    happened: When
    until: datetime
    to: int | PlaceAt | None
    document: str
    minutes: int | None = None
    cycles: int | None = None
    log_page: str = ""


def tell(story: Story, *, annul_later: bool) -> int:
    """This will record the story, all of it or nothing, and give the movement that settles it.

    A unit recorded elsewhere then is taken off there first. What is recorded of it between then and
    when it was found cannot have happened: refused as ``later_movements`` unless ``annul_later``,
    which annuls it. Refuses as the ledger does where the story still contradicts the records.
    """
    if story.found is not None:
        _free(story, story.found, annul_later=annul_later)
    rows = [*_gone(story), *_come(story), *_gone_on(story)]
    if not rows:
        words = "The records say so already: settle it by the movement that was recorded since."
        raise Refused("recorded_already", words)
    done = record_asked(by=story.by, rows=rows, act_id=story.act_id, at=story.at, is_strict=True)
    settles = [each for each, row in zip(done, rows, strict=True) if row.to == story.place.pk]
    return (settles or done)[0].movement_id


def _free(story: Story, unit: Unit, *, annul_later: bool) -> None:
    """Takes the found unit out of where it is recorded then, and what is recorded of it since."""
    stay = _stay_of(unit, story.happened.at)
    later = _later(story, unit)
    if later and not annul_later:
        told = "; ".join(f"{movement_words(each)} on {_when(each)}" for each in later)
        words = f"{unit_words(unit)} is recorded since then as {told}. Say that this never happened, or give a later day."
        raise Refused("later_movements", words, "annul_later")
    if stay is not None and stay.place.sort in FITTED and stay.place_id != story.place.pk:
        store = PlaceAt(Place.STORE, station_id=story.station_id)
        _record(story, [_row(story, unit, "removed", store, "found's removal")])
    if later:
        reason = f"{unit_words(unit)} was elsewhere since {_day(story.happened)}: {story.document}"
        rows = [
            AnnulmentFact(
                each.pk, reason[:200], derived_act_id(story.act_id, f"annulment {each.pk}")
            )
            for each in later
        ]
        annul_movements(by=story.by, rows=rows, at=story.at)


def _gone(story: Story) -> list[MovementFact]:
    """The removal of the recorded unit; on its way to another position it is in the store."""
    unit = story.recorded
    if unit is None:
        return []
    store = PlaceAt(Place.STORE, station_id=story.station_id)
    assert story.to is not None
    to = store if _is_position(story.to) else story.to
    return [_row(story, unit, "removed", to, "recorded's removal")]


def _come(story: Story) -> list[MovementFact]:
    unit = story.found
    if unit is None or _is_there(story, unit):
        return []
    return [_row(story, unit, "installed", story.place.pk, "found's installation")]


def _gone_on(story: Story) -> list[MovementFact]:
    if story.recorded is None or story.to is None or not _is_position(story.to):
        return []
    unit, to = story.recorded, story.to
    return [_row(story, unit, "installed", to, "recorded's installation")]


def _is_there(story: Story, unit: Unit) -> bool:
    stay = _stay_of(unit, story.happened.at)
    return stay is not None and stay.place_id == story.place.pk


def _is_position(to: int | PlaceAt) -> bool:
    if isinstance(to, PlaceAt):
        return to.sort in FITTED
    return Place.objects.filter(pk=to, sort__in=FITTED).exists()


def _stay_of(unit: Unit, at: datetime) -> Stay | None:
    """Where the records, as they are now, say that a unit was at an instant."""
    stays = Stay.objects.filter(unit=unit, known__upper_inf=True, valid__contains=at)
    return stays.select_related("place").first()


def _later(story: Story, unit: Unit) -> list[Movement]:
    """What is recorded of a unit after the story and before it was found out, and holds."""
    held = Movement.objects.of_unit(unit.pk).filter(
        is_conforming=True,
        corrected_by=None,
        annulment=None,
        happened_at__gt=story.happened.at,
        happened_at__lte=story.until,
    )
    return list(held.select_related(*(f"to_place__{part}" for part in PLACE_PARTS)))


def _row(story: Story, unit: Unit, sort: str, to: int | PlaceAt, what: str) -> MovementFact:
    """What came off comes before what went on, in a day of which no more is known."""
    return MovementFact(
        unit_id=unit.pk,
        sort=sort,
        to=to,
        when=story.happened,
        day_order=int(sort == "installed"),
        aircraft_minutes=story.minutes,
        aircraft_cycles=story.cycles,
        log_page=story.log_page,
        document=story.document,
        reason="recorded afterwards",
        act_id=derived_act_id(story.act_id, what),
    )


def _record(story: Story, rows: Sequence[MovementFact]) -> None:
    record_asked(by=story.by, rows=rows, act_id=story.act_id, at=story.at, is_strict=True)


def _day(when: When) -> str:
    return dated_words(when.day, when.precision)


def _when(movement: Movement) -> str:
    return _day(When(movement.happened_at, movement.precision, movement.zone))
