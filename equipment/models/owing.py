"""What is lent out, and what goes back of loans and exchanges, with what it costs."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

#: What a charge is for.
PER = (("once", "once"), ("day", "a day"), ("week", "a week"), ("month", "a month"))


class Loan(models.Model):
    """A unit of ours is lent to another party until a day, under an agreement and at a charge. Insert-only."""

    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="loans")
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    party = models.CharField(max_length=80)
    station = models.ForeignKey("fleet.Station", on_delete=models.PROTECT, related_name="+")
    agreement = models.CharField(max_length=80)
    lent_on = models.DateField()
    return_by = models.DateField()
    charge_amount = models.DecimalField(max_digits=12, decimal_places=2, null=True, blank=True)
    charge_per = models.CharField(max_length=5, choices=PER, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(return_by__gte=F("lent_on")), name="a_loan_ends_no_day_before_it_begins"
            ),
        ]


class LoanEnd(models.Model):
    """What was lent out is with us again. Insert-only."""

    loan = models.OneToOneField(Loan, on_delete=models.PROTECT, related_name="ended")
    act_id = models.UUIDField(unique=True)
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    returned_on = models.DateField()
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")


class SentBack(models.Model):
    """What a title owes went back: the unit itself, or a core for it. It closes that, and is insert-only."""

    WHAT = (("unit", "the unit itself"), ("core", "a core in exchange"))
    title = models.ForeignKey("equipment.Title", on_delete=models.PROTECT, related_name="sent_back")
    what = models.CharField(max_length=4, choices=WHAT)
    act_id = models.UUIDField(unique=True)
    unit = models.ForeignKey("equipment.Unit", on_delete=models.PROTECT, related_name="+")
    movement = models.OneToOneField(
        "equipment.Movement", on_delete=models.PROTECT, related_name="+"
    )
    waybill = models.CharField(max_length=40)
    sent_on = models.DateField()
    words = models.CharField(max_length=200, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey("fleet.User", on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["title", "what"], name="what_a_title_owes_goes_back_once"
            ),
        ]
