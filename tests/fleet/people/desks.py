"""People at their browsers: what the tests of people's pages stand on."""

from __future__ import annotations

import re

from django.test import Client

from fleet.models import User

PASSWORD = "tern-slide-29"


def a_member(username: str, *roles: str, **more: object) -> User:
    """Somebody with a password, and a name."""
    names = {"first_name": "Dagny", "last_name": username.title()}
    return User.objects.create_user(
        username, password=PASSWORD, roles=list(roles), **{**names, **more}
    )


def signed_in(user: User, **more: str) -> Client:
    """A browser in which the person has signed in by the page."""
    browser = Client(**more)
    given = {"username": user.username, "password": PASSWORD}
    assert browser.post("/sign-in/", given).status_code == 302
    return browser


def text(answer) -> str:
    """What a page says, without its marks, white space as one blank."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", answer.content.decode())).strip()
