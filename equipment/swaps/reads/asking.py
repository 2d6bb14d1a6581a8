"""What is asked before a unit is recorded where it may not be: looked at again, it is kept if confirmed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from equipment.codes.near import is_one_off
from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import Fit, Place, Swap, Unit
from fleet.house.refusals import Refusal

IN_HAND = (Place.STORE, Place.QUARANTINE)


def expected_in(swap: Swap, role: str, recorded: Sequence[Unit]) -> list[Unit]:
    """The units that are meant to come off (those on record there), or to go on (the one planned)."""
    if role == "off":
        return list(recorded)
    return [swap.planned_on] if swap.planned_on is not None else []


def why_ask_of_unit(
    swap: Swap, role: str, unit: Unit, expected: Sequence[Unit], place: Place | None
) -> list[Refusal]:
    """What to ask of a unit on record: is another meant, is it the other hand's, is it from elsewhere?

    ``place`` is where it was before. Whether the records contradict it is told by the record itself.
    """
    hand = _hand(unit, swap.place) if role == "on" else []
    if unit.pk in {each.pk for each in expected}:
        return hand
    found = [*did_you_mean(unit.serial_number, expected), *hand]
    at = place.station if place is not None and place.sort in IN_HAND else None
    if at is not None and at.pk != swap.station_id:
        words = (
            f"{unit_words(unit)} is recorded in the {place_words(place)}, and this swap is done at "
            f"{swap.station.code}."
        )
        found.append(Refusal("at_another_station", words, "unit"))
    return found


def why_ask_of_plate(number: str, serial: str, expected: Sequence[Unit]) -> list[Refusal]:
    """What to ask of a plate that no unit on record has."""
    words = f"P/N {number.strip()} S/N {serial.strip()} is on no record."
    return [
        *did_you_mean(serial.strip(), expected),
        Refusal("unknown_unit", words, "unit"),
    ]


def did_you_mean(serial: str, expected: Iterable[Unit]) -> list[Refusal]:
    """The expected unit whose serial number is one character off the one given."""
    return [
        Refusal(
            "did_you_mean",
            f"S/N {serial} is one character off {unit_words(each)}, which is expected here: did you "
            "mean that?",
            "unit",
        )
        for each in expected
        if is_one_off(serial, each.serial_number)
    ]


def _hand(unit: Unit, place: Place) -> list[Refusal]:
    """Whether its part is listed for the other side alone."""
    position = place.aircraft_position.type_position if place.aircraft_position else None
    if position is None or position.side == "centre":
        return []
    listed = Fit.objects.filter(
        part_number=unit.part_number_id,
        type_position__aircraft_type=position.aircraft_type_id,
        type_position__kind=position.kind_id,
    )
    there = list(listed.values_list("type_position", "type_position__side", "type_position__code"))
    sides = {side for _, side, _ in there}
    if not there or position.side in sides or "centre" in sides:
        return []
    codes = ", ".join(sorted(code for *_, code in there))
    words = (
        f"Wrong hand: {unit_words(unit)} is listed for the {min(sides)} side ({codes}), and "
        f"{place_words(place)} is on the {position.side}."
    )
    return [Refusal("wrong_hand", words, "unit")]


def place_before(unit: Unit) -> Place | None:
    """Where a unit is recorded, as its place is named."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    row = Unit.objects.select_related(*parts).filter(pk=unit.merged_into_id or unit.pk).first()
    return row.place if row is not None else None
