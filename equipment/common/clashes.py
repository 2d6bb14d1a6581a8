"""A clash that only the database saw is told under its promise's name, in the rule's own words."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import IntegrityError

from fleet.house.refusals import Refused

TOLD = {
    "a_unit_is_in_one_place_at_a_time": (
        "unit_recorded_elsewhere",
        "The unit is recorded elsewhere in the same time: look it up again, then correct either.",
        "unit",
    ),
    "a_position_holds_no_more_than_its_places": (
        "position_full",
        "The position is full in the same time: look it up again, then correct either.",
        "place",
    ),
    "a_lot_is_no_larger_than_its_position": (
        "position_full",
        "The lot is larger than the position: split it first.",
        "place",
    ),
    "no_unit_is_inside_itself": (
        "inside_itself",
        "The unit would be inside itself: check which unit is inside which.",
        "place",
    ),
    "one_movement_of_a_unit_per_act": (
        "recorded_already",
        "This act has been recorded already: look the unit up again.",
        None,
    ),
    "one_unit_of_this_maker_part_and_serial": (
        "unit_on_record",
        "A unit of this maker, original part and serial number is on record: look it up.",
        "serial_number",
    ),
}


@contextmanager
def told_by_name() -> Iterator[None]:
    """This will turn a broken promise of the database into a refusal; other faults stay faults."""
    try:
        yield
    except IntegrityError as error:
        diagnostics = getattr(error.__cause__, "diag", None)
        told = TOLD.get(getattr(diagnostics, "constraint_name", None) or "")
        if told is None:
            raise
        raise Refused(*told) from error
