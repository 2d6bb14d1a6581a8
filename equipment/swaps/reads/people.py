"""The people of a swap and their authorisations, as the pure rules of signing take them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from equipment.judging.release.signing import AuthorisationFact, Person, RuleSet
from equipment.models import RuleSet as StoredRules
from equipment.models import Signature, Step
from fleet.models import Authorisation, User

from .rows import SwapRows


def person_of(user: User) -> Person:
    return Person(user.pk, user.shown_name)


def rules_of(stored: StoredRules) -> RuleSet:
    """The rules of signing that a swap began under."""
    return RuleSet(
        stored.code,
        stored.revision,
        stored.may_reinspect,
        same_mistake_warning=stored.warns_same_mistake,
    )


def authorisations_of(user: User) -> list[AuthorisationFact]:
    """A person's authorisations, each with its last good day, an early end told."""
    found = Authorisation.objects.filter(user=user).select_related("ended").order_by("pk")
    return [_fact(each) for each in found]


def _fact(stored: Authorisation) -> AuthorisationFact:
    ended = getattr(stored, "ended", None)
    until = stored.until_on
    if ended is not None:
        until = min(until, ended.ended_on - timedelta(days=1))
    return AuthorisationFact(
        stored.pk,
        stored.number,
        stored.sort,
        frozenset(stored.acts),
        frozenset(stored.aircraft_types),
        frozenset(stored.kinds),
        stored.from_on,
        until,
    )


def performers_of(rows: SwapRows, step: Step) -> list[User]:
    """Everybody who took part in a step: entered it, signed it, recorded its movement, or handed the
    swap over with the step in hand. None of them may inspect it."""
    found: list[User | None] = [each.entered_by for each in rows.entries.get(step.pk, [])]
    found += [each.by for each in rows.of_step(step.pk, Signature.STEP)]
    movement = rows.move_of(step)
    found.append(movement.recorded_by if movement else None)
    found += [
        each.by
        for each in rows.signatures
        if each.sort == Signature.HANDED and step.number in each.content.get("in_hand", ())
    ]
    return _once(found)


def _once(found: Iterable[User | None]) -> list[User]:
    return list({user.pk: user for user in found if user is not None}.values())
