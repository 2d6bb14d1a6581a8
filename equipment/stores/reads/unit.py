"""A unit as the stores see it: where it lies, whether it may be used, its papers, what is done next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch

from equipment.common.wording import PLACE_PARTS, place_words, unit_words
from equipment.models import (
    Attachment,
    Certificate,
    IncomingInspection,
    Movement,
    Place,
    Reservation,
    ShopOrder,
    StrayPaper,
    Unit,
    UnitPrice,
    UnitTag,
)
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision, why_not_use
from equipment.segregation.shop_first import counting_tag

from .clerk_day import why_quarantined
from .inside import Inner, inside_of
from .scans import next_of
from .stock import WORDS, state_of


@dataclass(frozen=True, slots=True)
class PaperTold:
    """A certificate with its files."""

    paper: Certificate
    files: tuple[Attachment, ...]


@dataclass(frozen=True, slots=True)
class StrayTold:
    """A certificate that came with it and names another unit, with its files."""

    paper: StrayPaper
    files: tuple[Attachment, ...]


@dataclass(frozen=True, slots=True)
class UnitTold:
    """A unit with all that the stores' pages say of it."""

    unit: Unit
    words: str
    where: str
    state: str
    reasons: tuple[str, ...]
    papers: tuple[PaperTold, ...]
    inspections: tuple[IncomingInspection, ...]
    tag: UnitTag | None
    order: ShopOrder | None
    reservation: Reservation | None
    inside: tuple[Inner, ...]
    strays: tuple[StrayTold, ...]
    prices: tuple[UnitPrice, ...]
    put_there: str
    next_link: str
    next_act: str

    @property
    def is_in_quarantine(self) -> bool:
        return self.unit.place is not None and self.unit.place.sort == Place.QUARANTINE

    @property
    def is_in_stock(self) -> bool:
        return self.unit.place is not None and self.unit.place.sort in (
            Place.STORE,
            Place.QUARANTINE,
        )

    @property
    def may_be_sent(self) -> bool:
        """Whether a shop could have it: it is here, and not at a shop already."""
        return self.is_in_stock and self.order is None


def told(unit: Unit, today: date, at: datetime) -> UnitTold:
    """This will tell a unit in a fixed number of questions."""
    use = uses_of([unit.pk], Asked(today, at))[unit.pk]
    parts = (f"place__{part}" for part in PLACE_PARTS)
    held = Reservation.objects.filter(unit=unit, ended_at=None).select_related(
        "reserved_by", "issued_by", *parts
    )
    link, act = next_of(unit)
    return UnitTold(
        unit,
        unit_words(unit),
        place_words(unit.place),
        WORDS[state_of(use)] if _is_in_stock(unit) else "",
        tuple(each.message for each in (*why_not_use(use), *asks_decision(use))),
        _papers(unit),
        tuple(IncomingInspection.objects.filter(unit=unit).order_by("-signed_at", "-pk")[:5]),
        counting_tag(unit.pk, at),
        ShopOrder.objects.filter(unit=unit, returned=None).first(),
        held.first(),
        tuple(inside_of(unit)),
        _strays(unit),
        tuple(UnitPrice.objects.filter(unit=unit).order_by("-paid_on", "-pk")[:3]),
        why_quarantined([unit.pk]).get(unit.pk, ""),
        link,
        act,
    )


def _strays(unit: Unit) -> tuple[StrayTold, ...]:
    rows = StrayPaper.objects.filter(unit=unit).order_by("pk")
    files = Prefetch("attachments", Attachment.objects.defer("content").order_by("pk"))
    return tuple(
        StrayTold(each, tuple(each.attachments.all())) for each in rows.prefetch_related(files)
    )


def _is_in_stock(unit: Unit) -> bool:
    return unit.place is not None and unit.place.sort in (Place.STORE, Place.QUARANTINE)


def received_with(unit: Unit) -> list[Unit]:
    """The other units of the same receipt, in their order."""
    came = Movement.objects.of_unit(unit).filter(sort__in=("received", "returned")).last()
    if came is None or came.act_id is None:
        return []
    rows = Movement.objects.filter(act_id=came.act_id, sort=came.sort).exclude(unit=unit)
    rows = rows.select_related(
        "unit__part_number", *(f"unit__place__{part}" for part in PLACE_PARTS)
    )
    return [row.unit for row in rows.order_by("pk")]


def _papers(unit: Unit) -> tuple[PaperTold, ...]:
    """Its certificates with their files; a scan kept with another unit's line of the same paper is its own too."""
    rows = list(Certificate.objects.filter(unit=unit).order_by("-issued_on", "-pk"))
    files: dict[tuple[str, ...], list[Attachment]] = {}
    numbers = [row.tracking_number for row in rows]
    kept = Attachment.objects.filter(certificate__tracking_number__in=numbers)
    for each in kept.defer("content").select_related("certificate").order_by("pk"):
        assert each.certificate is not None
        files.setdefault(_same_paper(each.certificate), []).append(each)
    return tuple(PaperTold(row, tuple(files.get(_same_paper(row), ()))) for row in rows)


def _same_paper(row: Certificate) -> tuple[str, ...]:
    """What makes two lines one paper."""
    return row.form, row.tracking_number, row.issuer, str(row.issued_on)


def reservation_context(key: int, unit: Unit, today: date, at: datetime) -> dict[str, Any]:
    """A unit set aside: for what, by whom, and why it may not be issued now, if it may not."""
    parts = (f"place__{part}" for part in PLACE_PARTS)
    people = ("reserved_by", "issued_by", "ended_by")
    held = Reservation.objects.select_related(*people, *parts).get(pk=key)
    asked = Asked(max(today, held.need_on), at, place_id=held.place_id)
    use = uses_of([unit.pk], asked)[unit.pk]
    wrong = [each.message for each in why_not_use(use) if each.code != "unit_of_another_owner"]
    return {
        "unit": told(unit, today, at),
        "held": held,
        "need": place_words(held.place),
        "wrong": wrong,
        "to_decide": [each.message for each in asks_decision(use)],
        "is_open": held.ended_at is None,
        "is_to_issue": held.ended_at is None and held.issued_at is None,
    }
