"""Two at one moment: one of them is done, the other is told, nothing is half done."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.utils import timezone

from fleet.house.refusals import Refused
from fleet.models import PersonAct, User
from fleet.people.acts.changes import deactivate_person
from fleet.people.acts.links import choose_password
from fleet.people.acts.people import Invitation, NewPerson, found_house, invite_person
from fleet.people.links import link_of
from tests.at_once import people

from .desks import PASSWORD, a_member

pytestmark = pytest.mark.django_db(transaction=True)
ROUNDS = 5


def told_of(act):
    """The code of what refused it; blank if it was done."""

    def told():
        try:
            act()
        except Refused as refused:
            return refused.code
        return ""

    return told


def test_two_administrators_who_deactivate_each_other_leave_one():
    with people() as at_once:
        for round_ in range(ROUNDS):
            User.objects.filter(roles__contains=["administrator"]).update(is_active=False)
            pair = [a_member(f"{name}{round_}", "administrator") for name in ("ada", "bo")]

            def taking(by, other):
                return told_of(
                    lambda: deactivate_person(
                        by=by,
                        person_id=other.pk,
                        reason="Leaves.",
                        act_id=uuid4(),
                        at=timezone.now(),
                    )
                )

            told = at_once(taking(*pair), taking(*reversed(pair)))

            assert sorted(told) == ["", "last_administrator"]
            assert (
                User.objects.filter(is_active=True, roles__contains=["administrator"]).count() == 1
            )


def test_one_address_used_by_two_is_used_once():
    ada = a_member("ada", "administrator")
    invited = Invitation("d.follows", "Dagny", "Follows", ("technician",))
    at = timezone.now()
    link = link_of(invite_person(by=ada, person=invited, act_id=uuid4(), at=at))
    own, stolen = "another-gust-41", "stolen-cap-77"

    with people() as at_once:
        told = at_once(
            told_of(lambda: choose_password(link=link, password=own, at=timezone.now())),
            told_of(lambda: choose_password(link=link, password=stolen, at=timezone.now())),
        )

    assert sorted(told) == ["", "link_used"]
    kept = User.objects.get(username="d.follows")
    assert kept.check_password([own, stolen][told.index("")])
    assert PersonAct.objects.filter(act="password_chosen").count() == 1


def test_two_who_found_one_empty_house_are_one():
    def founding(name):
        first = NewPerson(name, "Ottoline", "Quarrell", PASSWORD, ("administrator",))
        return told_of(lambda: found_house(administrator=first, at=timezone.now()))

    with people() as at_once:
        told = at_once(founding("one"), founding("two"))

    assert sorted(told) == ["", "house_is_founded"]
    assert User.objects.count() == 1
