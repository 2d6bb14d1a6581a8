"""What a scanned or typed code leads to: the one next act for the unit that it means."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.urls import reverse

from equipment.codes.mark import Dated, Mark
from equipment.codes.read import read_mark
from equipment.common import scanned
from equipment.common.wording import PLACE_PARTS, place_words, transit_words, unit_words
from equipment.models import Loan, Place, Reservation, ShopOrder, Transfer, Unit
from fleet.words.said import day_words, month_words

from .coded import Meaning, other_meanings

MOST_CODE = 1000


@dataclass(frozen=True, slots=True)
class Read:
    """What was read of a code: facts as label and value, doubts, and the unit if it is on record."""

    facts: tuple[tuple[str, str], ...]
    doubts: tuple[str, ...]
    is_mark: bool
    part_number: str
    serial_number: str
    unit: Unit | None
    where: str
    next_link: str
    next_act: str


def next_page(code: str, today: date) -> str:
    """The address of the one next act: of the unit, order, bin, certificate or person that the code means; a choice
    where it may mean several; receiving, with the code, for what is not with us."""
    found = meanings(code, today)
    if len(found) == 1:
        return found[0].link
    name = "stores_which" if found else "stores_receive"
    return f"{reverse(f'equipment:{name}')}?{urlencode({'code': code[:MOST_CODE]})}"


def meanings(code: str, today: date) -> list[Meaning]:
    """All that a code may mean, units first. A unit that is not with us means nothing: it is received."""
    units = scanned.units_of(code, today.year)
    found = []
    for unit in units:
        link, act = next_of(unit)
        if link:
            found.append(Meaning("unit", unit_words(unit), act, link))
    text = scanned.plain(code)
    return found + (other_meanings(text) if text else [])


def next_of(unit: Unit) -> tuple[str, str]:
    """(address, words) of what is done next with a unit that is with us or at a shop; else empty."""
    order = ShopOrder.objects.filter(unit=unit, returned=None).first()
    if order is not None:
        return reverse("equipment:stores_order", args=[order.pk]), "Record its return from the shop"
    place = unit.place
    if transit_words(place):
        return _next_in_transit(unit)
    if place is None or place.sort in (Place.PARTY, Place.GONE):
        lent = Loan.objects.filter(unit=unit, ended=None).first()
        if lent is not None:
            return reverse("equipment:stores_loan", args=[lent.pk]), "Record it back"
        return "", ""
    if place.sort == Place.QUARANTINE:
        return reverse("equipment:stores_inspect", args=[unit.pk]), "Inspect it"
    return _next_in_store(unit, place)


def _next_in_transit(unit: Unit) -> tuple[str, str]:
    sent = Transfer.objects.filter(unit=unit, received=None).first()
    if sent is None:
        return "", ""
    return reverse("equipment:stores_transfer", args=[sent.pk]), "Receive its transfer"


def _next_in_store(unit: Unit, place: Place) -> tuple[str, str]:
    """Of what lies in a store, or was handed over from it: issued, brought back, or looked at."""
    held = Reservation.objects.filter(unit=unit, ended_at=None).first()
    if held is not None and held.issued_at is None:
        return reverse("equipment:stores_reservation", args=[held.pk]), "Issue it"
    if held is not None and place.sort == Place.STORE:
        return reverse("equipment:stores_bring_back", args=[held.pk]), "Bring it back"
    return reverse("equipment:stores_unit", args=[unit.pk]), "See what it is and where"


def read(code: str, today: date) -> Read | None:
    """What a code says, with the unit it means; None where nothing was scanned."""
    if not code.strip():
        return None
    mark = read_mark(code[:MOST_CODE], year=today.year)
    units = scanned.units_of(code, today.year)
    parts = (f"place__{part}" for part in PLACE_PARTS)
    unit = None
    if len(units) == 1:
        unit = Unit.objects.select_related("part_number", *parts).get(pk=units[0].pk)
    link, act = next_of(unit) if unit else ("", "")
    number, serial = mark.keyed_part_number or "", mark.serial or mark.lot or ""
    is_mark = bool(number or serial)
    if not is_mark:
        number, serial = _typed(code)
    return Read(
        _facts(mark),
        tuple(each.message for each in mark.doubts),
        is_mark,
        number,
        serial,
        unit,
        f"{unit_words(unit)}: {place_words(unit.place)}" if unit else "",
        link,
        act,
    )


def _typed(code: str) -> tuple[str, str]:
    """Part and serial number as typed one after the other; a single word is a serial number."""
    words = code.replace("\x00", "").split()
    if len(words) == 1:
        return "", words[0][:40]
    return (words[0][:40], words[1][:40]) if len(words) == 2 else ("", "")


def _facts(mark: Mark) -> tuple[tuple[str, str], ...]:
    said = (
        ("Maker's code", mark.maker_code),
        ("Part number", mark.shown_part_number),
        ("Original part number", _original(mark)),
        ("Serial number", mark.serial),
        ("Lot", mark.lot),
        ("Manufactured", _day(mark.manufactured)),
        ("Expires", _day(mark.expires)),
    )
    return tuple((label, value) for label, value in said if value)


def _original(mark: Mark) -> str | None:
    """What the unit is known by, where that is not what it is now."""
    return None if mark.keyed_part_number == mark.shown_part_number else mark.keyed_part_number


def _day(found: Dated | None) -> str:
    if found is None:
        return ""
    return month_words(found.on) if found.is_month else day_words(found.on)
