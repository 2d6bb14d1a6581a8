"""Which part and which unit a line of a receipt means: scanned, typed, known, or looking like another."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Q

from equipment.codes.near import near_matches, shape_of
from equipment.codes.read import read_mark
from equipment.common.wording import PLACE_PARTS, place_words, transit_words
from equipment.models import Maker, MakerAlias, Movement, PartNumber, Place, ShopOrder, Unit
from fleet.house.refusals import Refused
from fleet.words.said import day_words

from .facts import ReceiptLine

MOST_NUMBER = 40


@dataclass(frozen=True, slots=True)
class Meant:
    """A line with its part found, and the unit if it is on record."""

    line: ReceiptLine
    part: PartNumber
    unit: Unit | None
    standard_id: int | None = None

    @property
    def words(self) -> str:
        return f"{self.part.number} S/N {self.line.serial_number}"


def resolve_line(line: ReceiptLine, *, on: date) -> Meant:
    """This will read a line. Refuses what cannot be read or is not on record, what differs from the
    scanned code, and (``near_match``) a serial that looks like another's until it is confirmed."""
    line = _with_scan(line, on)
    if not line.part_number:
        raise Refused(
            "part_number_missing",
            "Scan or type the part number as it stands on the plate.",
            "part_number",
        )
    if not line.serial_number:
        words = "Scan or type the serial number; of a lot, its batch number."
        raise Refused("serial_number_missing", words, "serial_number")
    _refuse_long(line)
    part = _part(line)
    if line.quantity < 1 or (line.quantity > 1 and not part.is_lot):
        words = (
            "This part has a serial number each: one line for each unit."
            if line.quantity > 1
            else "Give how many came, at least one."
        )
        raise Refused("quantity_wrong", words, "quantity")
    unit = _unit(part, line)
    if unit is None and not line.is_confirmed:
        _refuse_near(part, line)
    return Meant(line, part, unit, _standard(part, line.standard))


def _standard(part: PartNumber, code: str) -> int | None:
    """The part's modification standard of this code; none where the plate names none."""
    if not code.strip():
        return None
    known = dict(part.standards.order_by("code").values_list("code", "pk"))
    found = {name.upper(): key for name, key in known.items()}.get(code.strip().upper())
    if found is None:
        says = f"the records know {', '.join(known)}" if known else "the records know none of it"
        words = f"{part.number} has no modification standard {code.strip()[:24]}: {says}."
        raise Refused("unknown_standard", words, "standard")
    return found


def _refuse_long(line: ReceiptLine) -> None:
    for field in ("part_number", "serial_number"):
        text = getattr(line, field)
        if len(text) > MOST_NUMBER or not text.isprintable():
            words = f"This is no number of a plate: at most {MOST_NUMBER} printed characters."
            raise Refused("number_not_read", words, field)


def _with_scan(line: ReceiptLine, on: date) -> ReceiptLine:
    """The line with what its code says; upper case, as plates are."""
    typed = replace(
        line,
        part_number=line.part_number.strip().upper(),
        serial_number=line.serial_number.strip().upper(),
        maker=line.maker.strip(),
    )
    if not line.scanned.strip():
        return typed
    mark = read_mark(line.scanned, year=on.year)
    said = {
        "part_number": mark.keyed_part_number or "",
        "serial_number": mark.serial or mark.lot or "",
        "maker": mark.maker_code or "",
    }
    if mark.is_misread or not (said["part_number"] or said["serial_number"]):
        doubts = " ".join(doubt.message for doubt in mark.doubts)
        words = f"The code cannot be read. {doubts} Scan it again, or type both numbers."
        raise Refused("code_not_read", words.replace("  ", " "), "scanned")
    for field in ("part_number", "serial_number"):
        code, hand = said[field].upper(), getattr(typed, field)
        if code and hand and code != hand:
            name = field.replace("_", " ")
            words = f"The code says {name} {code}, but {hand} is typed. Look at the plate and correct it."
            raise Refused("scan_differs", words, field)
        said[field] = code or hand
    said["maker"] = typed.maker or said["maker"]
    if mark.manufactured is not None and line.manufactured_on is None:
        made = mark.manufactured
        typed = replace(
            typed,
            manufactured_on=made.on.replace(day=1) if made.is_month else made.on,
            manufactured_precision="month" if made.is_month else "day",
        )
    return replace(typed, **said)  # type: ignore[arg-type]


def _part(line: ReceiptLine) -> PartNumber:
    parts = PartNumber.objects.select_related("maker", "kind")
    found = parts.filter(number__iexact=line.part_number).order_by("pk")
    if line.maker and len(found) != 1:
        found = found.filter(maker__in=_makers(line.maker))
    if len(found) == 1:
        return found[0]
    if found:
        names = " and ".join(part.maker.name for part in found)
        words = f"Part number {line.part_number} is made by {names}: give the maker."
        raise Refused("ambiguous_part_number", words, "maker")
    shape = shape_of(line.part_number)
    alike = [n for n in parts.values_list("number", flat=True) if shape_of(n) == shape]
    if alike:
        words = f"There is no part number {line.part_number} on record, but {alike[0]} looks like it: which is it?"
        raise Refused("near_match", words, "part_number")
    words = (
        f"There is no part number {line.part_number} on record. Check it, or have it entered first."
    )
    raise Refused("unknown_part_number", words, "part_number")


def _makers(name: str) -> list[int]:
    aliases = MakerAlias.objects.filter(alias__iexact=name).values_list("maker", flat=True)
    makers = Maker.objects.filter(Q(code__iexact=name) | Q(name__iexact=name))
    return [*makers.values_list("pk", flat=True), *aliases]


def _unit(part: PartNumber, line: ReceiptLine) -> Unit | None:
    """The unit of this part (as made, or as it is now) and serial, as kept."""
    rows = Unit.objects.filter(serial_number__iexact=line.serial_number)
    rows = rows.filter(Q(original_part=part) | Q(part_number=part))
    found = {row.merged_into_id or row.pk for row in rows}
    if len(found) > 1:
        words = (
            f"{part.number} S/N {line.serial_number} can be the unit made as this part or one that became"
            " it. Give the original part number."
        )
        raise Refused("ambiguous_unit", words, "part_number")
    return Unit.objects.get(pk=found.pop()) if found else None


def _refuse_near(part: PartNumber, line: ReceiptLine) -> None:
    known = Unit.objects.filter(Q(original_part=part) | Q(part_number=part))
    alike = near_matches(line.serial_number, known.values_list("serial_number", flat=True))
    if alike:
        words = (
            f"{part.number} S/N {alike[0]} is on record and looks like {line.serial_number}. Look at the"
            f" plate again: give {alike[0]} if it is that one, or confirm that it is another unit."
        )
        raise Refused("near_match", words, "serial_number")


def refuse_received(each: Meant, unit_id: int) -> None:
    """A unit that is with us, or that a shop has of us, is not received."""
    unit = Unit.objects.select_related(*(f"place__{part}" for part in PLACE_PARTS)).get(pk=unit_id)
    if order := ShopOrder.objects.filter(unit=unit, returned=None).first():
        words = f"{each.words} is at {order.shop} under order {order.number}: record its return from the shop."
        raise Refused("waiting_from_shop", words, "serial_number")
    place = unit.place
    if on_its_way := transit_words(place):
        words = f"{each.words} is {on_its_way}: receive its transfer, where it is listed."
        raise Refused("unit_in_transit", words, "serial_number")
    if place is None or place.sort in (Place.PARTY, Place.GONE):
        return
    came = Movement.objects.of_unit(unit).filter(is_conforming=True).last()
    since = f" since {day_words(came.happened_at.date())}" if came else ""
    who = f", recorded by {came.recorded_by.shown_name}" if came and came.recorded_by else ""
    words = f"{each.words} has been received: it is at {place_words(place)}{since}{who}."
    raise Refused("received_already", words, "serial_number")
