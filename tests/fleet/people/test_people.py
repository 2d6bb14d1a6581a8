from __future__ import annotations

import pytest

from fleet.house.desks import ADMINISTRATOR, AUDITOR, CONTROLLER
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.acts.people import NewPerson, found_house, make_people
from tests.builders import NOW

pytestmark = pytest.mark.django_db


def person(username: str, *roles: str, password: str = "tern-slide-29") -> NewPerson:
    return NewPerson(username, "Ada", "Lorne", password, roles)


@pytest.fixture
def administrator() -> User:
    return found_house(administrator=person("first", ADMINISTRATOR), at=NOW)


def test_makes_the_first_administrator_of_an_empty_house() -> None:
    founder = found_house(administrator=person("first", ADMINISTRATOR), at=NOW)

    assert founder.acting_roles == {ADMINISTRATOR}
    assert founder.check_password("tern-slide-29")


def test_nobody_founds_a_house_that_has_people(administrator: User) -> None:
    with pytest.raises(Refused) as refused:
        found_house(administrator=person("second", ADMINISTRATOR), at=NOW)

    assert refused.value.code == "house_is_founded"


def test_the_first_person_must_be_administrator() -> None:
    with pytest.raises(Refused) as refused:
        found_house(administrator=person("first", CONTROLLER), at=NOW)

    assert refused.value.code == "founder_no_administrator"


def test_an_administrator_makes_many_people_at_once(administrator: User) -> None:
    made = make_people(
        by=administrator, people=[person("a", CONTROLLER), person("b", AUDITOR)], at=NOW
    )

    assert [(p.username, p.roles) for p in made] == [("a", ["controller"]), ("b", ["auditor"])]


def test_only_an_administrator_makes_people(administrator: User) -> None:
    (controller,) = make_people(by=administrator, people=[person("c", CONTROLLER)], at=NOW)

    with pytest.raises(Refused) as refused:
        make_people(by=controller, people=[person("d", AUDITOR)], at=NOW)

    assert refused.value.code == "not_permitted"


@pytest.mark.parametrize(
    ("people", "code"),
    [
        ([person("same", AUDITOR), person("same", AUDITOR)], "username_in_use"),
        ([person("first", AUDITOR)], "username_in_use"),
        ([person(" ", AUDITOR)], "username_missing"),
        ([person("e", AUDITOR, password="")], "password_missing"),
        ([person("e", AUDITOR, password="a")], "password_too_short"),
        ([person("e", AUDITOR, password="password1")], "password_too_common"),
        ([person("e", AUDITOR, password="7301544026")], "password_entirely_numeric"),
        ([person("adalorne", AUDITOR, password="adalorne1")], "password_too_similar"),
        ([person("FIRST", AUDITOR)], "username_in_use"),
        ([person("two words", AUDITOR)], "username_unreadable"),
        ([person("e")], "role_missing"),
        ([person("e", "pilot")], "unknown_role"),
        ([NewPerson("e", "", "", "tern-slide-29", (AUDITOR,), "QXXX")], "unknown_station"),
    ],
)
def test_refuses_all_of_them_for_one_that_will_not_do(
    administrator: User, people: list[NewPerson], code: str
) -> None:
    with pytest.raises(Refused) as refused:
        make_people(by=administrator, people=people, at=NOW)

    assert refused.value.code == code
    assert User.objects.count() == 1
