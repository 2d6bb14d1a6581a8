"""A unit's whole history as entries: what happened, when, when it was recorded, what corrects it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Q

from equipment.common.wording import PLACE_PARTS, happened_on_words, movement_words, place_words
from equipment.models import (
    Certificate,
    Identification,
    LifeStatement,
    Movement,
    RecordsLost,
    Sighting,
    Title,
    UnitCorrection,
    UnitMerge,
)
from fleet.people.reads import tokens_of_acts
from fleet.words.said import count_words, dated_words, day_words, hours_words, moment_words


@dataclass(frozen=True, slots=True)
class Entry:
    """One fact. ``on`` sorts it, ``said`` is its date no more exact than known; ``is_struck`` where
    a later fact replaced or annulled it, ``is_off`` where it does not conform (with why)."""

    on: date
    order: int
    said: str
    sort: str
    text: str
    details: tuple[str, ...]
    recorded_at: datetime
    recorded_by: str
    is_struck: bool = False
    is_off: bool = False


def entries_of(unit_ids: list[int]) -> list[Entry]:
    """Everything equipment knows of these units (one, and those merged into it), newest first."""
    found = [
        *_movements(unit_ids),
        *_statements(unit_ids),
        *_certificates(unit_ids),
        *_titles(unit_ids),
        *_sightings(unit_ids),
        *_identifications(unit_ids),
        *_merges(unit_ids),
        *_corrections(unit_ids),
        *_lost(unit_ids),
    ]
    return newest_first(found)


def newest_first(entries: Iterable[Entry]) -> list[Entry]:
    return sorted(entries, key=lambda e: (e.on, e.order, e.recorded_at), reverse=True)


def _person(user: object) -> str:
    return getattr(user, "shown_name", "") if user else ""


def _details(*parts: tuple[str, str] | None) -> tuple[str, ...]:
    """``log page 1234`` for each part that says something."""
    return tuple(f"{label} {value}".strip() for label, value in filter(None, parts) if value)


def _movements(unit_ids: list[int]) -> Iterator[Entry]:
    rows = Movement.objects.filter(unit__in=unit_ids).select_related(
        *(f"to_place__{part}" for part in PLACE_PARTS), "recorded_by", "corrected_by", "annulment"
    )
    found = list(rows.order_by("happened_at", "day_order", "pk"))
    tokens = tokens_of_acts(row.act_id for row in found)
    for row in found:
        on = row.happened_at.astimezone(ZoneInfo(row.zone))
        annulment = getattr(row, "annulment", None)
        later = getattr(row, "corrected_by", None)
        yield Entry(
            on=on.date(),
            order=row.day_order,
            said=moment_words(on) if row.precision == "instant" else happened_on_words(row),
            sort="movement",
            text=movement_words(row),
            details=_details(
                ("at", f"{hours_words(row.aircraft_minutes)} h" if row.aircraft_minutes else ""),
                ("at", f"{count_words(row.aircraft_cycles)} cycles" if row.aircraft_cycles else ""),
                ("log page", row.log_page),
                ("", row.document),
                ("", row.reason),
                ("quantity", str(row.quantity) if row.quantity > 1 else ""),
                ("corrects what was recorded", "before" if row.corrects_id else ""),
                ("annulled:", annulment.reason if annulment else ""),
                ("corrected on", day_words(later.recorded_at.date()) if later else ""),
                (
                    "does not conform:",
                    "" if row.is_conforming else " ".join(each["message"] for each in row.reasons),
                ),
            ),
            recorded_at=row.recorded_at,
            recorded_by=" ".join(filter(None, (_person(row.recorded_by), tokens.get(row.act_id)))),
            is_struck=bool(annulment or later),
            is_off=not row.is_conforming,
        )


def _statements(unit_ids: list[int]) -> Iterator[Entry]:
    rows = LifeStatement.objects.filter(unit__in=unit_ids)
    for row in rows.select_related("measure", "recorded_by", "corrected_by"):
        is_hours = row.measure.unit == "minutes"
        total = f"{hours_words(row.total)} h" if is_hours else count_words(row.total)
        yield Entry(
            on=row.stated_on,
            order=0,
            said=day_words(row.stated_on),
            sort="life statement",
            text=f"{row.measure.name} {row.get_since_display()}: {total}",
            details=(row.source, row.get_quality_display()),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
            is_struck=getattr(row, "corrected_by", None) is not None,
        )


def _certificates(unit_ids: list[int]) -> Iterator[Entry]:
    for row in Certificate.objects.filter(unit__in=unit_ids).select_related("recorded_by"):
        yield Entry(
            on=row.issued_on,
            order=0,
            said=day_words(row.issued_on),
            sort="certificate",
            text=f"{row.form} {row.tracking_number}: {row.status}",
            details=_details(("by", row.issuer), ("", row.remarks)),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _titles(unit_ids: list[int]) -> Iterator[Entry]:
    for row in Title.objects.filter(unit__in=unit_ids).select_related("recorded_by"):
        yield Entry(
            on=row.from_on,
            order=0,
            said=day_words(row.from_on),
            sort="title",
            text=f"{row.get_sort_display()}, {row.owner}",
            details=_details(
                ("return by", day_words(row.return_by)),
                ("core due back", day_words(row.core_due_on)),
                ("restriction:", row.restriction),
                ("customs:", row.customs),
                ("", row.document),
            ),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _sightings(unit_ids: list[int]) -> Iterator[Entry]:
    rows = Sighting.objects.filter(unit__in=unit_ids)
    for row in rows.select_related(
        "recorded_by", "reconciled_by", *(f"place__{part}" for part in PLACE_PARTS)
    ):
        read = f"{row.part_number_read} S/N {row.serial_number_read}".strip()
        yield Entry(
            on=row.seen_at.date(),
            order=0,
            said=dated_words(row.seen_at.date(), row.precision),
            sort="sighting",
            text=f"seen: {read}" + (f" at {place_words(row.place)}" if row.place else ""),
            details=_details(
                ("expiry read", day_words(row.expiry_read)),
                ("gauge read", row.gauge_read),
                ("pin", row.pin_read),
                ("", row.note),
                ("", "reconciled" if getattr(row, "reconciled_by", None) else "not yet reconciled"),
            ),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _identifications(unit_ids: list[int]) -> Iterator[Entry]:
    rows = Identification.objects.filter(unit__in=unit_ids)
    for row in rows.select_related("part_number", "standard", "recorded_by"):
        standard = f", standard {row.standard.code}" if row.standard else ""
        yield Entry(
            on=row.from_on,
            order=0,
            said=day_words(row.from_on),
            sort="identification",
            text=f"identified as {row.part_number.number}{standard}",
            details=_details(("", row.document)),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _merges(unit_ids: list[int]) -> Iterator[Entry]:
    rows = UnitMerge.objects.filter(Q(kept__in=unit_ids) | Q(absorbed__in=unit_ids))
    for row in rows.select_related("kept__part_number", "absorbed__part_number", "recorded_by"):
        yield Entry(
            on=row.recorded_at.date(),
            order=0,
            said=day_words(row.recorded_at.date()),
            sort="merge",
            text=f"{row.absorbed} turned out to be {row.kept}",
            details=_details(("", row.reason), ("", row.document)),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _corrections(unit_ids: list[int]) -> Iterator[Entry]:
    rows = UnitCorrection.objects.filter(unit__in=unit_ids).select_related("recorded_by")
    for row in rows:
        said = {
            name.replace("_", " "): (row.before.get(name), value)
            for name, value in row.after.items()
            if name != "manufactured_precision"
        }
        yield Entry(
            on=row.recorded_at.date(),
            order=0,
            said=day_words(row.recorded_at.date()),
            sort="correction",
            text="; ".join(
                f"{name} corrected from {old or 'not recorded'} to {new}"
                for name, (old, new) in said.items()
            )
            or "how exactly its date of manufacture is known was corrected",
            details=_details(("", row.reason), ("", row.document)),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )


def _lost(unit_ids: list[int]) -> Iterator[Entry]:
    rows = RecordsLost.objects.filter(unit__in=unit_ids).select_related("recorded_by")
    for row in rows:
        on = row.until_on or row.from_on or row.recorded_at.date()
        days = " to ".join(day_words(each) for each in (row.from_on, row.until_on) if each)
        yield Entry(
            on=on,
            order=0,
            said=days or day_words(on),
            sort="records lost",
            text=f"records lost: {row.lost}",
            details=_details(
                ("best estimate:", row.estimate),
                ("", row.document),
                ("submitted to", row.submitted_to),
            ),
            recorded_at=row.recorded_at,
            recorded_by=_person(row.recorded_by),
        )
