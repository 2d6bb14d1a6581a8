"""The operator's rules that hold for an aircraft, and whether they ask for papers of both authorities."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from equipment.models import RuleSet
from equipment.segregation.ports import programme_followed_by
from fleet.models import Aircraft


@dataclass(frozen=True, slots=True)
class RuleSets:
    """Every revision of the rules, the latest first: read once, asked for any aircraft and any day."""

    rows: Sequence[RuleSet]

    @classmethod
    def read(cls) -> RuleSets:
        """One question; they are few."""
        return cls(list(RuleSet.objects.order_by("-from_on", "-pk")))

    @property
    def ever_dual(self) -> bool:
        return any(row.needs_dual_release for row in self.rows)

    def on(
        self, day: date, aircraft_id: int | None, programme: Callable[[], str]
    ) -> RuleSet | None:
        """The rules in force on a day: the aircraft's own, else those of the programme that it follows
        (asked only then; empty: none), else the house's; None if there are none."""
        begun = [row for row in self.rows if row.from_on <= day]
        if aircraft_id is not None:
            own = next((row for row in begun if row.aircraft_id == aircraft_id), None)
            if own is not None:
                return own
            if followed := programme().casefold():
                of_all = (row for row in begun if row.aircraft_id is None)
                of_it = next((row for row in of_all if row.programme.casefold() == followed), None)
                if of_it is not None:
                    return of_it
        return next((row for row in begun if row.aircraft_id is None and not row.programme), None)


def rule_set_on(day: date, aircraft_id: int | None) -> RuleSet | None:
    """The rules in force on a day for an aircraft (None: the house's); None if there are none."""
    return RuleSets.read().on(
        day, aircraft_id, lambda: programme_followed_by(aircraft_id or 0, day)
    )


def dual_words(rules: RuleSet | None) -> str:
    """The rules, by name, if they ask for a certificate of both authorities; else empty."""
    return f"{rules} ({rules.document})" if rules is not None and rules.needs_dual_release else ""


def dual_release_asked(aircraft: tuple[str, ...], day: date) -> str:
    """The rules, by name, that ask for a certificate released under both authorities' rules of what goes
    on an aircraft (registration and MSN); empty if none do. One question where no rules ever did."""
    if not aircraft or not RuleSet.objects.filter(needs_dual_release=True).exists():
        return ""
    key = Aircraft.objects.filter(registration=aircraft[0]).values_list("pk", flat=True).first()
    return dual_words(rule_set_on(day, key))
