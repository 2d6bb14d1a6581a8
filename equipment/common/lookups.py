"""What lines name of the equipment: makers by any of their names, parts, units."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from equipment.models import (
    Maker,
    MakerAlias,
    ModificationStandard,
    PartNumber,
    PartPosition,
    Unit,
)
from fleet.loading.batch import Batch


def makers(batch: Batch, name: str = "maker") -> list[int | None]:
    """Makers by code, name or alias, in any case."""
    return batch.found(name, batch.bringing.looked_up("makers", all_makers), "maker")


def all_makers() -> dict[str, int]:
    known = {
        alias.upper(): key for alias, key in MakerAlias.objects.values_list("alias", "maker_id")
    }
    for code, name, key in Maker.objects.values_list("code", "name", "pk"):
        known[name.upper()] = key
        known[code.upper()] = key
    return known


@dataclass(slots=True)
class Parts:
    """Part numbers by maker and number, and by number alone."""

    by_maker: dict[tuple[int, str], int] = field(default_factory=dict)
    by_number: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    makers: dict[int, str] = field(default_factory=dict)


def all_parts(batch: Batch) -> Parts:
    def find() -> Parts:
        parts = Parts()
        rows = PartNumber.objects.values_list("pk", "maker_id", "number", "maker__code")
        for key, maker_id, number, code in rows:
            parts.by_maker[maker_id, number.upper()] = key
            parts.by_number[number.upper()].append(key)
            parts.makers[key] = code
        return parts

    found: Parts = batch.bringing.looked_up("parts", find)
    return found


def parts(batch: Batch, under: str = "") -> list[int | None]:
    """The part number that each line names in ``<under>part``, of the maker in ``<under>maker``.

    A blank maker will do where one maker only has the number.
    """
    maker_ids, numbers = makers(batch, f"{under}maker"), batch[f"{under}part"]
    known = all_parts(batch)
    found: dict[tuple[int | None, str | None], int | None] = {}
    for pair in set(zip(maker_ids, numbers, strict=True)):
        maker_id, number = pair
        if number is None:
            found[pair] = None
        elif maker_id is not None:
            found[pair] = known.by_maker.get((maker_id, number))
        else:
            keys = known.by_number.get(number, [])
            found[pair] = keys[0] if len(keys) == 1 else None
    parts = [found[pair] for pair in zip(maker_ids, numbers, strict=True)]
    if None in parts:
        _refuse_unknown_parts(batch, under, parts, known)
    return parts


def _refuse_unknown_parts(batch: Batch, under: str, keys: list[int | None], known: Parts) -> None:
    for line, key in enumerate(keys):
        number = batch[f"{under}part"][line]
        if key is not None or number is None or not batch.is_good(line):
            continue
        several = known.by_number.get(number, [])
        if batch[f"{under}maker"][line] is None and len(several) > 1:
            names = " and ".join(known.makers[key] for key in several)
            batch.refuse(
                line,
                f"{under}maker",
                "ambiguous_part_number",
                f"Part number {number} is made by {names}. Give the maker.",
            )
        elif several:
            names = ", ".join(known.makers[key] for key in several)
            batch.refuse(
                line,
                f"{under}part",
                "unknown_part_number",
                f"Part number {number} is on record for {names}, not for this maker. Check the maker.",
            )
        else:
            batch.refuse_unknown(line, f"{under}part", number, known.by_number, "part number")


def standards(batch: Batch, part_ids: list[int | None], name: str = "standard") -> list[int | None]:
    """The modification standards that lines name, of the parts given."""
    known = batch.bringing.looked_up(
        "standards",
        lambda: {
            (part, code.upper()): key
            for part, code, key in ModificationStandard.objects.values_list(
                "part_number_id", "code", "pk"
            )
        },
    )
    return _of_part(batch, name, part_ids, known, "standard", of="of this part number")


def all_part_positions(batch: Batch) -> dict[tuple[int, str], int]:
    """Positions inside, by part number and code."""

    def find() -> dict[tuple[int, str], int]:
        rows = PartPosition.objects.values_list("part_number_id", "code", "pk")
        return {(part, code.upper()): key for part, code, key in rows}

    found: dict[tuple[int, str], int] = batch.bringing.looked_up("part positions", find)
    return found


def part_positions(
    batch: Batch, part_ids: list[int | None], name: str = "inside_position"
) -> list[int | None]:
    """The positions inside that lines name, of the parts given."""
    known = all_part_positions(batch)
    return _of_part(batch, name, part_ids, known, "position", of="inside this part number")


def _of_part(
    batch: Batch,
    name: str,
    part_ids: list[int | None],
    known: dict[tuple[int, str], int],
    what: str,
    *,
    of: str,
) -> list[int | None]:
    pairs = list(zip(part_ids, batch[name], strict=True))
    keys: dict[tuple[int | None, str | None], int] = dict(known.items())
    unknown = {pair for pair in set(pairs) - keys.keys() if None not in pair}
    if unknown:
        for line, pair in enumerate(pairs):
            if pair in unknown and batch.is_good(line):
                names = [code for part, code in known if part == pair[0]]
                batch.refuse_unknown(line, name, pair[1], names, what, of=of)
    return list(map(keys.get, pairs))


def units(batch: Batch, under: str = "") -> list[int | None]:
    """The unit that each line names by maker, part and serial number; merged ones as the one kept.

    The part number is the original one, or the present one where that names a single unit. A line
    that names none, or two, is refused; None where the three columns are blank.
    """
    part_ids, serials = parts(batch, under), batch[f"{under}serial"]
    originals, presents = _units(part_ids, serials)
    found: list[int | None] = []
    for line, key in enumerate(zip(part_ids, serials, strict=True)):
        candidates = presents.get(key, set()) | ({originals[key]} if key in originals else set())
        found.append(next(iter(candidates)) if len(candidates) == 1 else None)
        if found[-1] is not None or None in key or not batch.is_good(line):
            continue
        name = f"P/N {batch[f'{under}part'][line]} S/N {serials[line]}"
        if candidates:
            batch.refuse(
                line,
                f"{under}serial",
                "ambiguous_unit",
                f"{name} can be the unit received under this part number or one re-identified to it. "
                "Give the original part number.",
            )
        else:
            batch.refuse(
                line,
                f"{under}serial",
                "unknown_unit",
                f"There is no unit {name} on record. Bring it with the sheet 'Units', or check the number.",
            )
    return found


Named = tuple[int | None, str | None]


def _units(
    part_ids: list[int | None], serials: list[str | None]
) -> tuple[dict[Named, int], dict[Named, set[int]]]:
    """Units by original part and serial number, and by present part and serial number."""
    originals: dict[Named, int] = {}
    presents: dict[Named, set[int]] = defaultdict(set)
    wanted_parts, wanted = set(part_ids) - {None}, set(serials) - {None}
    columns = ("pk", "merged_into_id", "merged_into__merged_into_id", "serial_number")
    of_original = Unit.objects.filter(original_part__in=wanted_parts, serial_number__in=wanted)
    for key, kept, further, serial, part in of_original.values_list(*columns, "original_part_id"):
        originals[part, serial] = further or kept or key
    of_present = Unit.objects.filter(part_number__in=wanted_parts, serial_number__in=wanted)
    for key, kept, further, serial, part in of_present.values_list(*columns, "part_number_id"):
        presents[part, serial].add(further or kept or key)
    return originals, presents
