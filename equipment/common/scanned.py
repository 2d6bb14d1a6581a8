"""Which unit, or which position, a scanned or typed text means."""

from __future__ import annotations

import re
from datetime import datetime

from django.db.models import Q, QuerySet

from equipment.codes.read import read_mark
from equipment.ledger.nesting import inside_now
from equipment.models import Unit
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import AircraftPosition

MOST = 8
LONGEST = 200


def units_of(text: str, year: int) -> list[Unit]:
    """The units that a text may mean, most likely one: by its mark, or by its words.

    Of words, one may be the part number and one the serial number; a serial number alone will do. A code whose
    check digit is wrong means none: what else was read of it may be wrong as well.
    """
    units = Unit.objects.filter(merged_into=None).select_related("part_number", "original_part")
    mark = read_mark(plain(text), year=year)
    number, serial = mark.keyed_part_number, mark.serial or mark.asset
    if mark.is_misread:
        return []
    if serial:
        found = units.filter(serial_number__iexact=serial)
        if number:
            found = found.filter(_is_part(number))
        return list(found.order_by("pk")[:MOST])
    return _by_words(units, [word for word in re.split(r"[\s·|,;]+", plain(text)) if word])


def unit_meant(text: str, at: datetime, *, field: str, needed: str, word: str = "unit") -> Unit:
    """The one unit that a scanned or typed text means. Refuses at ``field`` a blank one (``needed`` says what is
    wanted), ``unknown_unit`` and ``unit_not_one``; ``word`` is what it is called there."""
    written = refuse_blank(text, needed, field, LONGEST)
    found = units_of(written, at.year)
    if not found:
        words = f"No {word} on record answers to “{written[:60]}”: give its part and serial number."
        raise Refused("unknown_unit", words, field)
    if len(found) > 1:
        words = f"{len(found)} units answer to “{written[:60]}”: give the part number too."
        raise Refused("unit_not_one", words, field)
    return found[0]


def _by_words(units: QuerySet[Unit], words: list[str]) -> list[Unit]:
    words = [word for word in words if word.upper() not in {"S/N", "SN", "P/N", "PN"}]
    if len(words) == 1:
        return list(units.filter(serial_number__iexact=words[0]).order_by("pk")[:MOST])
    if len(words) != 2:
        return []
    one, other = words
    both = Q(serial_number__iexact=other) & _is_part(one)
    turned = Q(serial_number__iexact=one) & _is_part(other)
    return list(units.filter(both | turned).order_by("pk")[:MOST])


def _is_part(number: str) -> Q:
    return Q(part_number__number__iexact=number) | Q(original_part__number__iexact=number)


def positions_of(text: str) -> list[AircraftPosition]:
    """The aircraft positions that a text names: ``QK-ANB D1L-SLIDE``, or an aircraft alone."""
    words = [word for word in re.split(r"[\s·|,;]+", plain(text)) if word][:3]
    if not words:
        return []
    found = AircraftPosition.objects.filter(aircraft__registration__iexact=words[0])
    if len(words) > 1:
        found = found.filter(type_position__code__icontains=words[1])
    found = found.select_related("aircraft", "type_position")
    return list(found.order_by("type_position__code", "pk")[:100])


def position_of(text: str) -> AircraftPosition | None:
    """The one position that a text names: by its whole code, or by a part of it that no other has."""
    found = positions_of(text)
    code = plain(text).upper().split()[-1:] or [""]
    whole = [each for each in found if each.type_position.code.upper() == code[0]]
    named = whole or found
    return named[0] if len(named) == 1 else None


def unit_named_at(text: str) -> tuple[AircraftPosition | None, Unit | None, str]:
    """The position that a text names, the unit that it names there, and what of it nothing answers to.

    ``Q7-VAE D1R-SLIDE`` names what stands in the position; ``Q7-VAE D1R-SLIDE LIGHT``, or with a serial
    number, a unit inside it: that one, and never what is around it.
    """
    words = [word for word in re.split(r"[\s·|,;/]+", plain(text)) if word]
    words = [word for word in words if word.upper() not in {"S/N", "SN", "S", "N"}]
    position = position_of(" ".join(words[:2]))
    if position is None or len(words) < 3:
        return position, None, ""
    there = Unit.objects.filter(place__aircraft_position=position, merged_into=None)
    inside = [
        unit for units in inside_now(there.values_list("pk", flat=True)).values() for unit in units
    ]
    named = words[-1]
    found = Unit.objects.filter(pk__in=inside).filter(
        Q(place__part_position__code__iexact=named) | Q(serial_number__iexact=named)
    )
    units = list(found.select_related("place", "part_number").order_by("pk")[:2])
    return position, units[0] if len(units) == 1 else None, named


def plain(text: str) -> str:
    """Without what no database takes."""
    return text.replace("\x00", "")[:LONGEST].strip()
