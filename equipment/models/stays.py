"""What is derived from movements, and never typed: where a unit was, and on which aircraft."""

from __future__ import annotations

from django.contrib.postgres.fields import DateTimeRangeField
from django.db import models

from .movements import Movement, Place


class Stay(models.Model):
    """Derived: a unit was at a place for ``valid``, and so our records said during ``known``.

    Re-derived from the ledger, never typed. Constraints in a migration hold one unit in one place,
    no more in a position than it holds, and no unit inside itself, past included. ``quantity`` is
    how many the unit (a lot) was there; ``capacity`` is what the place holds, zero for any number.

    The place is held by ``a_stay_knows_what_its_place_holds``; the movements are looked at by no
    foreign key, since only the ledger derives these rows and ``check_whereabouts`` compares them:
    a load of 100,000 units would check each of them five times over.
    """

    unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="stays", db_constraint=False
    )
    place = models.ForeignKey(
        Place, on_delete=models.PROTECT, related_name="stays", db_constraint=False
    )
    capacity = models.PositiveSmallIntegerField()
    quantity = models.PositiveIntegerField(default=1)
    valid = DateTimeRangeField()
    known = DateTimeRangeField()
    begun_by = models.ForeignKey(
        Movement, on_delete=models.PROTECT, related_name="+", db_constraint=False, db_index=False
    )
    ended_by = models.ForeignKey(
        Movement,
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )


class FittedPeriod(models.Model):
    """Derived from what is known now: a unit was on an aircraft, itself or inside another, for ``valid``.

    ``root_position`` is the aircraft position of the outermost unit; ``line_unit`` the unit that
    comes off on the line with it (itself, or the nearest one around it that does). Totals are
    those read at the movements, null where none was read. Without foreign keys, as stays.
    """

    unit = models.ForeignKey(
        "equipment.Unit",
        on_delete=models.PROTECT,
        related_name="fitted_periods",
        db_constraint=False,
        db_index=False,
    )
    aircraft = models.ForeignKey(
        "fleet.Aircraft",
        on_delete=models.PROTECT,
        related_name="+",
        db_constraint=False,
        db_index=False,
    )
    root_position = models.ForeignKey(
        "fleet.AircraftPosition", on_delete=models.PROTECT, related_name="+", db_constraint=False
    )
    place = models.ForeignKey(
        Place, on_delete=models.PROTECT, related_name="+", db_constraint=False, db_index=False
    )
    line_unit = models.ForeignKey(
        "equipment.Unit", on_delete=models.PROTECT, related_name="+", db_constraint=False
    )
    depth = models.PositiveSmallIntegerField(default=0)
    from_at = models.DateTimeField()
    to_at = models.DateTimeField(null=True)
    from_minutes = models.BigIntegerField(null=True)
    from_cycles = models.BigIntegerField(null=True)
    to_minutes = models.BigIntegerField(null=True)
    to_cycles = models.BigIntegerField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["unit", "from_at"], name="fitted_period_of_unit"),
            models.Index(fields=["aircraft", "from_at"], name="fitted_period_on_aircraft"),
            models.Index(fields=["aircraft", "to_at"], name="fitted_until_on_aircraft"),
        ]
