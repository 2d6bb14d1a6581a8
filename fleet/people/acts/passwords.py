"""The own password, changed by whoever knows it."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.db import transaction

from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.passwords import why_not_password
from fleet.people.proofs import Proof, refuse_stale

from .ledger import note
from .sessions import end_all_sessions


@transaction.atomic
def change_password(*, proof: Proof, password: str, this: str | None, at: datetime) -> User:
    """This will give the person who is proven by the present password another one; sessions elsewhere end,
    that of the key ``this`` goes on.

    Refuses a proof older than two minutes, and a password that will not do or is the present one.
    """
    ask(proof.user, "read")
    refuse_stale(proof, at)
    person = User.objects.select_for_update(of=("self",)).get(pk=proof.user.pk)
    if refusals := why_not_password(password, person):
        raise Refused.all_of(refusals)
    if person.check_password(password):
        words = "This is the password that you have. Choose another."
        raise Refused("password_unchanged", words, "password")
    person.password, person.link_made_at = make_password(password), None
    person.save(update_fields=["password", "link_made_at"])
    end_all_sessions(person, but=this)
    note("password_changed", [person], by=person, at=at)
    return person
