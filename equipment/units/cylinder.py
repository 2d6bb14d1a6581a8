"""A unit as a cylinder: what is stamped on it, what lacks, and which published period it leads to."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.availability.bottles import is_bottle
from equipment.availability.stamped import Stamped, stamped_on
from equipment.models import Unit

from .ports import Published, published_periods_of

NOT_KNOWN = "its specification"


@dataclass(frozen=True, slots=True)
class Cylinder:
    """``stamped``: None where nothing on record says its specification; ``lacks`` then says so."""

    stamped: Stamped | None
    lacks: tuple[str, ...]
    published: tuple[Published, ...]

    @property
    def chosen(self) -> Published | None:
        """The period that its specification and marks choose, if any has one."""
        return next((each for each in self.published if each.months), None)


def cylinder_of(unit: Unit) -> Cylinder | None:
    """A unit as a cylinder; None of what nothing on record shows to be one."""
    stamped = stamped_on(unit)
    if stamped is None:
        return Cylinder(None, (NOT_KNOWN,), ()) if is_bottle(unit) else None
    published = published_periods_of(stamped.specification, stamped.marks)
    lacks = stamped.lacks
    if not published:
        lacks = (*lacks, f"a published period of {stamped.specification}")
    return Cylinder(stamped, lacks, published)
