"""An empty house: nobody can sign in, and the first person comes in by a one-time address."""

from __future__ import annotations

import io

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.test import Client

from fleet.models import Operator, PersonAct, User

from .desks import PASSWORD, a_member, text

pytestmark = pytest.mark.django_db
GIVEN = {
    "operator": "Varrowmoor Airways",
    "first_name": "Ottoline",
    "last_name": "Quarrell",
    "username": "o.quarrell",
    "password": PASSWORD,
    "password_again": PASSWORD,
}


def printed(*arguments: str) -> str:
    out = io.StringIO()
    call_command("first_person", *arguments, stdout=out)
    return out.getvalue()


def path_in(words: str) -> str:
    return "/first/" + words.strip().rpartition("/first/")[2]


@pytest.fixture
def address(db):
    return path_in(printed())


def test_the_sign_in_page_says_that_nobody_is_here_and_where_the_address_was_printed(client):
    said = text(client.get("/sign-in/"))

    assert "Nobody is in this house yet." in said
    assert "manage.py first_person" in said


def test_once_somebody_is_here_the_sign_in_page_says_nothing_of_it(client):
    a_member("mira", "controller")

    assert "Nobody is in this house" not in text(client.get("/sign-in/"))


def test_the_first_person_is_signed_in_as_administrator_of_a_named_house(client, address):
    answer = client.post(address, GIVEN, follow=True)

    founder = User.objects.get()
    assert founder.roles == ["administrator"]
    assert Operator.objects.get().name == "Varrowmoor Airways"
    assert answer.redirect_chain == [("/people/", 302)]
    assert "Varrowmoor Airways" in text(answer)
    assert PersonAct.objects.get().act == "founded"


@pytest.mark.parametrize(
    ("more", "field"),
    [
        ({"password": "a", "password_again": "a"}, "password"),
        ({"password": "quarrell", "password_again": "quarrell"}, "password"),
        ({"password_again": "another-one-29"}, "password_again"),
        ({"operator": " "}, "operator"),
        ({"username": "two words"}, "username"),
        ({"last_name": ""}, "last_name"),
    ],
)
def test_what_will_not_do_is_said_at_its_field_and_nobody_is_made(client, address, more, field):
    answer = client.post(address, {**GIVEN, **more})

    assert (answer.status_code, set(answer.context["form"].errors)) == (422, {field})
    assert not User.objects.exists()
    assert not Operator.objects.exists()


def test_the_address_works_once(client, address):
    client.post(address, GIVEN)

    second = Client().post(address, {**GIVEN, "username": "second"})

    assert second.status_code == 410
    assert "Somebody can sign in here already." in text(second)
    assert User.objects.count() == 1


def test_the_address_works_for_a_day(client, db):
    with time_machine.travel("2027-03-03 09:00Z", tick=False):
        address = path_in(printed())
    with time_machine.travel("2027-03-04 09:01Z", tick=False):
        answer = client.post(address, GIVEN)

    assert answer.status_code == 410
    assert "was good until 4 Mar 2027 09:00" in text(answer)
    assert "manage.py first_person" in text(answer)
    assert not User.objects.exists()


def test_an_address_that_was_made_up_opens_nothing(client, address):
    for made_up in (address[:-3] + "/", "/first/x/", "/first/a:b/"):
        answer = client.get(made_up)
        assert answer.status_code == 410
        assert "not whole, or was not made here" in text(answer)


def test_the_command_says_nothing_where_somebody_is_here(db):
    a_member("mira", "controller")

    assert printed("--if-empty") == ""
    with pytest.raises(CommandError, match="Ask an administrator"):
        printed()


def test_createsuperuser_says_what_to_use(db):
    with pytest.raises(CommandError, match=r"manage\.py first_person"):
        call_command("createsuperuser", "--noinput", "--username", "root")
    a_member("mira", "administrator")
    with pytest.raises(CommandError, match=r"manage\.py person_link"):
        call_command("createsuperuser")

    assert not User.objects.filter(username="root").exists()
