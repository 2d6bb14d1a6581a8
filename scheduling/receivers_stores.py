"""What scheduling answers the stores, and does when a certificate certifies works. Inside their acts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.dispatch import receiver

from equipment.stores.clerk_day import ToSetAside, to_set_aside_asked
from equipment.stores.signals import (
    CertifiedWork,
    KnownWork,
    LimitStart,
    NestedWork,
    limit_starts_asked,
    scope_asked,
    usability_asked,
    works_asked,
    works_certified,
)
from fleet.models import User
from fleet.refusals import Refused

from . import stores
from .actions.works import NewWork, record_certified
from .allocation.to_set_aside import to_set_aside
from .models import Work


@receiver(usability_asked, dispatch_uid="scheduling_usability")
def what_has_run_out(
    sender: Any, *, inside: Mapping[int, Sequence[int]], on: date, **kwargs: Any
) -> dict[int, list[str]]:
    """Every limit of these units, or of what is inside them, that is past its last good day."""
    return stores.run_out(inside, on)


@receiver(works_certified, dispatch_uid="scheduling_works_certified")
def works_are_recorded(
    sender: Any, *, by: User, works: Sequence[CertifiedWork], at: datetime, **kwargs: Any
) -> int:
    """The works that a certificate certifies restart their limits; refuses ``unknown_work``."""
    codes = {each.code.upper() for each in works}
    known = {
        work.code.upper(): work.pk for work in Work.objects.all() if work.code.upper() in codes
    }
    for each in works:
        if each.code.upper() not in known:
            words = f"There is no work “{each.code[:24]}”: give one that is on record."
            raise Refused("unknown_work", words, "works")
    rows = [
        NewWork(
            work_id=known[each.code.upper()],
            unit_id=each.unit_id,
            done_on=each.done_on,
            act_id=each.act_id,
            precision=each.precision,
            shop_released_on=each.released_on,
            method=each.method,
            total_minutes=each.total_minutes,
            total_cycles=each.total_cycles,
            who=each.who[:80],
            document=each.document[:80],
            certificate=each.certificate[:40],
        )
        for each in works
    ]
    return len(record_certified(by=by, rows=rows, now=at))


@receiver(limit_starts_asked, dispatch_uid="scheduling_limit_starts")
def what_limits_start_from(
    sender: Any, *, unit_id: int, on: date, **kwargs: Any
) -> list[LimitStart]:
    return stores.starts_of(unit_id, on)


@receiver(scope_asked, dispatch_uid="scheduling_scope")
def what_else_falls_due(
    sender: Any, *, unit_id: int, works: Sequence[str], done_on: date, **kwargs: Any
) -> list[NestedWork]:
    return stores.scope_of(unit_id, works, done_on)


@receiver(works_asked, dispatch_uid="scheduling_known_works")
def what_works_there_are(sender: Any, **kwargs: Any) -> list[KnownWork]:
    rows = Work.objects.order_by("name", "pk").values_list("code", "name", "certified_by")
    return [KnownWork(code, name, tuple(terms)) for code, name, terms in rows]


@receiver(to_set_aside_asked, dispatch_uid="scheduling_to_set_aside")
def what_is_proposed(sender: Any, *, station: str, **kwargs: Any) -> list[ToSetAside]:
    """The needs whose proposed unit may be set aside now."""
    return to_set_aside(station)
