"""An aircraft is released after a check: one signature over what it rests on."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from equipment.common.digests import digest_of
from equipment.judging.release.signing import RELEASE, authorisation_for, why_not_release
from equipment.swaps.acts.signature import authorisation_words
from equipment.swaps.reads.contents import with_signer
from equipment.swaps.reads.people import authorisations_of, person_of
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.pages import zone
from fleet.house.refusals import Reasons, Refused
from fleet.models import Authorisation, User
from fleet.people.proofs import Proof, refuse_stale
from fleet.words.said import moment_words
from scheduling.models import CheckReleased

from ..reads.handed import Handed
from ..reads.release import RestsOn, rests_on
from .closing import content_of
from .held import handed, lock_check


@transaction.atomic
def release_check(*, proof: Proof, check_id: int, act_id: UUID, at: datetime) -> CheckReleased:
    """This will release an aircraft after a check that is closed, by the statement of the rules in force.

    Refuses, each by name, whatever grounds the aircraft (open swaps, limits passed, what does not
    conform, deferrals past their last day); a check not closed, or released already; and whoever has no
    authorisation to release that type that day.
    """
    ask(proof.user, "release_check")
    refuse_stale(proof, at)
    given = CheckReleased.objects.filter(act_id=act_id)
    told = {"check_id": check_id, "signer": proof.user.pk}
    if not claim(act_id, "release_check", told, by=proof.user, at=at, earlier=[given]):
        return what_was_done(given)
    check, day = lock_check(check_id), at.astimezone(zone()).date()
    package = handed(check)
    _refuse_state(package)
    rests = rests_on(package, day)
    craft, mine = check.aircraft.aircraft_type.code, authorisations_of(proof.user)
    reasons = Reasons()
    for each in rests.obstacles:
        reasons.add(each.code, each.sentence)
    person = person_of(proof.user)
    for why in why_not_release(person, mine, day, aircraft_type=craft, kind=None):
        reasons.found.append(why.as_refusal())
    if rests.rules is None:
        reasons.add("no_rule_set", "No rules of signing are in force: have them entered first.")
    reasons.refuse()
    held = authorisation_for(RELEASE, craft, None, mine, day)
    assert held is not None  # or it was refused
    named = Authorisation.objects.get(pk=held.id)
    return CheckReleased.objects.create(
        act_id=act_id, signed_at=at, **_signed(package, rests, proof.user, named, at)
    )


def _refuse_state(package: Handed) -> None:
    check = package.check
    if package.closed is None:
        words = f"{check.name} is not closed yet: the hangar closes it first."
        raise Refused("check_not_closed", words, "check")
    if package.release is not None:
        words = (
            f"{package.release.name} released {check.aircraft} after {check.name} on"
            f" {moment_words(package.release.signed_at)}."
        )
        raise Refused("released_already", words, "check")


def _signed(
    package: Handed, rests: RestsOn, user: User, held: Authorisation, at: datetime
) -> dict[str, Any]:
    """The columns of the release: who signs what, under which authorisation, copied."""
    rules = rests.rules
    assert rules is not None and package.closed is not None
    name, under = user.shown_name[:120], authorisation_words(held)
    content = with_signer(content_signed(package, rests, user.pk), name, under, at)
    return {
        "closed": package.closed,
        "rule_set": rules,
        "by": user,
        "name": name,
        "statement": rules.release_statement,
        "authorisation": held,
        "authorisation_words": under,
        "content": content,
        "digest": digest_of(content),
    }


def content_signed(package: Handed, rests: RestsOn, by: int) -> dict[str, Any]:
    """The facts that the release holds: the check as it was closed, and what it rests on."""
    check, rules = package.check, rests.rules
    assert rules is not None
    return {
        "act": "release_check",
        "by": by,
        "check": check.pk,
        "name": check.name,
        "aircraft": check.aircraft.registration,
        "statement": rules.release_statement,
        "rules": f"{rules} ({rules.document})",
        "closed": content_of(package),
        "swaps": [asdict(each) for each in rests.swaps],
        "deferred": list(rests.deferred),
    }
