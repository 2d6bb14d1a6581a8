"""The operator's rules that hold for an aircraft, and whether they ask for papers of both authorities."""

from __future__ import annotations

from datetime import date

from equipment.models import RuleSet
from equipment.segregation.ports import programme_followed_by
from fleet.models import Aircraft


def rule_set_on(day: date, aircraft_id: int | None) -> RuleSet | None:
    """The rules in force on a day: the aircraft's own, else those of the programme that it follows, else
    the house's; None if there are none."""
    begun = RuleSet.objects.filter(from_on__lte=day).order_by("-from_on", "-pk")
    found = None
    if aircraft_id is not None:
        found = begun.filter(aircraft=aircraft_id).first()
        if found is None and (programme := programme_followed_by(aircraft_id, day)):
            found = begun.filter(aircraft=None, programme__iexact=programme).first()
    return found or begun.filter(aircraft=None, programme="").first()


def dual_release_asked(aircraft: tuple[str, ...], day: date) -> str:
    """The rules, by name, that ask for a certificate released under both authorities' rules of what goes
    on an aircraft (registration and MSN); empty if none do. One question where no rules ever did."""
    if not aircraft or not RuleSet.objects.filter(needs_dual_release=True).exists():
        return ""
    key = Aircraft.objects.filter(registration=aircraft[0]).values_list("pk", flat=True).first()
    rules = rule_set_on(day, key)
    return f"{rules} ({rules.document})" if rules is not None and rules.needs_dual_release else ""
