"""What is on record of a lot holds of every piece of it: what is split off has the same papers, tags and holds."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar
from uuid import UUID, uuid5

from django.db.models import Model

from equipment.models import (
    Attachment,
    Certificate,
    Hold,
    LifeStatement,
    Title,
    Unit,
    UnitPrice,
    UnitTag,
)
from equipment.units.ports import works_of_lot_follow
from fleet.models import User

Row = TypeVar("Row", bound=Model)


def follow_lot(*, lot: Unit, new: Unit, by: User, act_id: UUID, at: datetime) -> None:
    """This will say of a new lot what is on record of the one that it was split from: certificates with their scans,
    whose it is, what it cost, stated totals, the tag that stands, holds of it alone, and works done.

    A hold of the whole lot, its certificate or supplier reaches the new one by itself.
    """
    _papers(lot, new, act_id)
    _copied(Title.objects.filter(unit=lot).order_by("pk"), new, act_id)
    _copied(UnitPrice.objects.filter(unit=lot).order_by("pk"), new, act_id)
    stated = LifeStatement.objects.filter(unit=lot, corrected_by=None).order_by("pk")
    _copied(stated, new, act_id, corrects_id=None)
    tags = UnitTag.objects.filter(unit=lot).standing().order_by("-tagged_at", "-pk")
    # Of its own: what a swap gave a tag to is the lot.
    _copied(tags[:1], new, act_id, swap_id=None)
    _copied(Hold.objects.filter(unit=lot, ended=None).order_by("pk"), new, act_id)
    works_of_lot_follow(lot.pk, new.pk, by, act_id, at)


def _papers(lot: Unit, new: Unit, act_id: UUID) -> None:
    of = {}
    papers = list(Certificate.objects.filter(unit=lot).order_by("pk"))
    for paper, copy in zip(papers, _copied(papers, new, act_id), strict=True):
        of[paper.pk] = copy.pk
    for scan in Attachment.objects.filter(certificate__in=of).order_by("pk"):
        _copied([scan], new, act_id, certificate_id=of[scan.certificate_id or 0])


def _copied(rows: Iterable[Row], new: Unit, act_id: UUID, **changed: int | None) -> list[Row]:
    """The same rows of the new lot, each under an id made of the act's and of the row's own."""
    made = []
    for row in rows:
        columns = [field.attname for field in row._meta.concrete_fields if not field.primary_key]
        facts = {name: getattr(row, name) for name in columns}
        if "act_id" in facts:
            facts["act_id"] = uuid5(act_id, f"{row._meta.model_name} {row.pk}")
        if "unit_id" in facts and facts["unit_id"] is not None:
            facts["unit_id"] = new.pk
        made.append(type(row)._default_manager.create(**facts | changed))
    return made
