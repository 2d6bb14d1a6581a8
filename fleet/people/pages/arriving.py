"""The pages of one-time addresses: the first person of an empty house, and whoever chooses a password."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters

from fleet.house.desks import ADMINISTRATOR
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User
from fleet.people.acts.links import choose_password
from fleet.people.acts.people import NewPerson, found_house
from fleet.people.links import person_of_link, refuse_first_link
from fleet.people.passwords import MOST
from fleet.screens.fields import text

BACKEND = "django.contrib.auth.backends.ModelBackend"


def new_password(label: str, name: str = "new-password") -> forms.CharField:
    """A password's field; the browser is told which one it is."""
    return forms.CharField(
        label=label,
        max_length=MOST,
        strip=False,
        error_messages={"required": "Choose a password."},
        widget=forms.PasswordInput(attrs={"autocomplete": name}),
    )


class ChosenPassword(forms.Form):
    """A new password, typed twice."""

    password = new_password("New password")
    password_again = new_password("The same again")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        first, again = given.get("password"), given.get("password_again")
        if first and again and first != again:
            self.add_error("password_again", "These two are not the same. Type both again.")
        return given


class FirstPerson(ChosenPassword):
    """Whose house this is, and who comes first."""

    operator = text("Operator’s name", 80, is_needed=True)
    first_name = text("Your first name", 150, is_needed=True)
    last_name = text("Your last name", 150, is_needed=True)
    username = text("Username, to sign in with", 150, is_needed=True)
    field_order = ("operator", "first_name", "last_name", "username", "password", "password_again")


@sensitive_post_parameters()
def first_person(request: HttpRequest, link: str) -> HttpResponse:
    """An empty house's first person gives the operator's name and the own, and is signed in."""
    now = timezone.now()
    try:
        refuse_first_link(link, now)
    except Refused as refused:
        return _closed(request, refused)
    form = FirstPerson(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        names = {name: given[name] for name in ("username", "first_name", "last_name", "password")}
        person = NewPerson(**names, roles=(ADMINISTRATOR,))
        try:
            made = found_house(administrator=person, operator=given["operator"], at=now)
        except Refused as refused:
            show_on_form(form, refused)
        else:
            login(request, made, BACKEND)
            words = "The house is yours to set up. Invite whoever works here, and give yourself the roles you work in."
            messages.success(request, words)
            return redirect("fleet:people")
    status = 422 if form.errors else 200
    return render(request, "fleet/people/entry/first.html", {"form": form}, status=status)


@sensitive_post_parameters()
def join(request: HttpRequest, link: str) -> HttpResponse:
    """An invited person, or one whose password is forgotten, chooses a new one and is signed in."""
    now = timezone.now()
    try:
        person = person_of_link(link, now)
    except Refused as refused:
        return _closed(request, refused)
    form = ChosenPassword(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = choose_password(link=link, password=form.cleaned_data["password"], at=now)
        except Refused as refused:
            show_on_form(form, refused)
        else:
            login(request, person, BACKEND)
            messages.success(request, f"Signed in as {person.shown_name}. The address is used up.")
            return redirect("/")
    page = {"form": form, "person": person, "is_new": person.is_waited_for}
    return render(request, "fleet/people/entry/join.html", page, status=422 if form.errors else 200)


def _closed(request: HttpRequest, refused: Refused) -> HttpResponse:
    page = {"words": refused.message, "is_empty": not User.objects.exists()}
    return render(request, "fleet/people/entry/closed.html", page, status=410)
