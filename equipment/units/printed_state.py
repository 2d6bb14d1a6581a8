"""How a unit stands as its label and its tag say it: by the one rule of segregation, never by a tag alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from equipment.models import IncomingInspection, Unit, UnitTag
from equipment.segregation.facts import Asked, uses_of
from equipment.segregation.rule import asks_decision, why_not_use

from .ports import Ending, ends_first

#: What a label says of a unit that may not be used, by the gravest reason against it.
WORDS = {
    "unit_quarantined": "Quarantine",
    "unit_at_shop": "Away at a shop",
    "unit_in_transit": "In transit",
    "unit_unserviceable": "Unserviceable",
    "unit_expired": "Past its limit",
    "unit_on_hold": "Held",
    "unit_of_another_owner": "Restricted",
    "no_certificate": "No certificate",
    "unit_incomplete": "Not complete",
    "limit_unknown": "Limit unknown",
}
#: A unit that is set aside may be used: by whom it was set aside for.
NO_MATTER = frozenset({"reserved_elsewhere", "part_does_not_fit"})
NOT_FOR_USE = "Not for use"


@dataclass(frozen=True, slots=True)
class PrintedState:
    """Whether a unit may be used, in one word what it is, every reason against it, what ends first of it
    and how it was preserved last.
    """

    may_be_used: bool
    word: str
    reasons: tuple[str, ...]
    ends: Ending | None
    preservation: str
    accepted_by: str


def state_of(unit: Unit, *, on: date, at: datetime) -> PrintedState:
    """The state of one unit, with all that is inside it, on a day."""
    use = uses_of([unit.pk], Asked(on, at))[unit.pk]
    # What is issued by a named decision only is not serviceable as it lies there.
    against = [
        each for each in (*why_not_use(use), *asks_decision(use)) if each.code not in NO_MATTER
    ]
    word = WORDS.get(against[0].code, NOT_FOR_USE) if against else "Serviceable"
    return PrintedState(
        may_be_used=not against,
        word=word,
        reasons=tuple(each.message for each in against),
        ends=ends_first(unit.pk, on),
        preservation=_preserved(unit),
        accepted_by=_accepted_by(unit),
    )


def _preserved(unit: Unit) -> str:
    rows = UnitTag.objects.filter(unit=unit).exclude(preservation="")
    return rows.order_by("-tagged_at", "-pk").values_list("preservation", flat=True).first() or ""


def _accepted_by(unit: Unit) -> str:
    """Who signed that it is accepted to stock, as it was signed last."""
    rows = IncomingInspection.objects.filter(unit=unit, result="accepted").order_by(
        "-signed_at", "-pk"
    )
    last = rows.first()
    return f"{last.name}, {last.signed_at:%Y-%m-%d %H:%M} UTC" if last else ""
