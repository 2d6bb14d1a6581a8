from __future__ import annotations

import pytest

from fleet.house.desks import ADMINISTRATOR, AUDITOR, CONTROLLER
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.acts.people import NewPerson, found_house, make_people

pytestmark = pytest.mark.django_db


def person(username: str, *roles: str, password: str = "a long one") -> NewPerson:
    return NewPerson(username, "Ada", "Lorne", password, roles)


@pytest.fixture
def administrator() -> User:
    return found_house(administrator=person("first", ADMINISTRATOR))


def test_makes_the_first_administrator_of_an_empty_house() -> None:
    founder = found_house(administrator=person("first", ADMINISTRATOR))

    assert founder.acting_roles == {ADMINISTRATOR}
    assert founder.check_password("a long one")


def test_nobody_founds_a_house_that_has_people(administrator: User) -> None:
    with pytest.raises(Refused) as refused:
        found_house(administrator=person("second", ADMINISTRATOR))

    assert refused.value.code == "house_is_founded"


def test_the_first_person_must_be_administrator() -> None:
    with pytest.raises(Refused) as refused:
        found_house(administrator=person("first", CONTROLLER))

    assert refused.value.code == "founder_no_administrator"


def test_an_administrator_makes_many_people_at_once(administrator: User) -> None:
    made = make_people(by=administrator, people=[person("a", CONTROLLER), person("b", AUDITOR)])

    assert [(p.username, p.roles) for p in made] == [("a", ["controller"]), ("b", ["auditor"])]


def test_only_an_administrator_makes_people(administrator: User) -> None:
    (controller,) = make_people(by=administrator, people=[person("c", CONTROLLER)])

    with pytest.raises(Refused) as refused:
        make_people(by=controller, people=[person("d", AUDITOR)])

    assert refused.value.code == "not_permitted"


@pytest.mark.parametrize(
    ("people", "code"),
    [
        ([person("same", AUDITOR), person("same", AUDITOR)], "username_in_use"),
        ([person("first", AUDITOR)], "username_in_use"),
        ([person(" ", AUDITOR)], "username_missing"),
        ([person("e", AUDITOR, password="")], "password_missing"),
        ([person("e")], "role_missing"),
        ([person("e", "pilot")], "unknown_role"),
        ([NewPerson("e", "", "", "x", (AUDITOR,), "QXXX")], "unknown_station"),
    ],
)
def test_refuses_all_of_them_for_one_that_will_not_do(
    administrator: User, people: list[NewPerson], code: str
) -> None:
    with pytest.raises(Refused) as refused:
        make_people(by=administrator, people=people)

    assert refused.value.code == code
    assert User.objects.count() == 1
