from __future__ import annotations

from django.db import models


class CalendarAddress(models.Model):
    """A secret address from which a calendar reads checks and due dates, for one person. The secret is kept as a
    digest only; withdrawn, the address answers no more."""

    act_id = models.UUIDField(unique=True)
    user = models.ForeignKey(
        "fleet.User", on_delete=models.PROTECT, related_name="calendar_addresses"
    )
    label = models.CharField(max_length=80)
    aircraft = models.ForeignKey(
        "fleet.Aircraft", null=True, on_delete=models.PROTECT, related_name="+"
    )
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True)
