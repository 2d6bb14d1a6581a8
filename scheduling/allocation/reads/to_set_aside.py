"""What the clerk's day shows of the allocation: needs whose proposed unit lies in a store, not yet accepted."""

from __future__ import annotations

from urllib.parse import urlencode

from django.urls import reverse

from equipment.models import Place
from equipment.stores.ports import ToSetAside
from fleet.words.said import weekday_words

from .kept import Wanted, current, needs_listed

ACT = "Reserve"


def to_set_aside(station: str) -> list[ToSetAside]:
    """The soonest need first; of one station the units that lie there. Two questions."""
    run = current()
    if run is None:
        return []
    rows = needs_listed(run, Wanted(state="proposed")).filter(unit__place__sort=Place.STORE)
    if station:
        rows = rows.filter(unit__place__station__code=station)
    names = (
        "key",
        "on",
        "unit_id",
        "unit_words",
        "unit_off_id",
        "piece",
        "unit__place__station__code",
    )
    return [
        ToSetAside(
            f"{key} on {weekday_words(on)}",
            on,
            unit,
            words,
            where or "",
            ACT,
            f"{reverse('scheduling:allocation')}?{urlencode({'off': f'{off}-{piece}' if piece else off})}#need",
        )
        for key, on, unit, words, off, piece, where in rows.values_list(*names)
    ]
