"""Which views a person is shown."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from fleet.models import User
from scheduling.models import DueView


def views_for(person: User) -> QuerySet[DueView]:
    """One's own views and those that are shared, by name."""
    rows = DueView.objects.filter(Q(kept_by=person) | Q(is_shared=True), ended_at=None)
    return rows.select_related("kept_by").order_by("name", "pk")
