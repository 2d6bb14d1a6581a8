"""What an administrator does about one person: an act on a page of its own, or by a button."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from fleet.acts.act import Act
from fleet.house.desks import ask
from fleet.house.pages import reader, today
from fleet.house.refusals import Refused
from fleet.models import Authorisation, User
from fleet.people.acts.authorisations import (
    END_AUTHORISATION,
    GRANT_AUTHORISATION,
    EarlyEnd,
    NewAuthorisation,
)
from fleet.people.acts.changes import (
    CHANGE_PERSON,
    DEACTIVATE_PERSON,
    REACTIVATE_PERSON,
    Deactivation,
    PersonChange,
)
from fleet.people.acts.links import MAKE_LINK
from fleet.people.acts.sessions import END_SESSIONS
from fleet.people.jobs import jobs_of
from fleet.screens.act_forms import SaidForm, form_of
from fleet.screens.act_pages import performed

from .people import NEW_LINK, NothingMore, found_person, signed_in_person

ChangeForm = form_of(PersonChange, without=("person",))
DeactivationForm = form_of(Deactivation, without=("person",))
EndForm = form_of(EarlyEnd, without=("authorisation",))


class AuthorisationControls(SaidForm):
    """Types and kinds are codes, written as they are on the paper."""

    aircraft_types = forms.CharField(
        label="Aircraft types", required=False, max_length=400, help_text="Codes; blank: any."
    )
    kinds = forms.CharField(
        label="Kinds of equipment", required=False, max_length=400, help_text="Codes; blank: any."
    )

    def clean_aircraft_types(self) -> list[str]:
        return _codes(self.cleaned_data["aircraft_types"])

    def clean_kinds(self) -> list[str]:
        return _codes(self.cleaned_data["kinds"])


AuthorisationForm = form_of(NewAuthorisation, without=("person",), base=AuthorisationControls)


def _codes(text: str) -> list[str]:
    return text.replace(",", " ").split()


@dataclass(frozen=True, slots=True)
class Deed:
    """One act about a person on a page of its own: its form, its words, whether it ends something."""

    act: Act
    form: type[SaidForm]
    title: str
    button: str
    done: str
    words: str = ""


CHANGED = Deed(CHANGE_PERSON, ChangeForm, "Change", "Keep the change", "The change is kept.")
DEACTIVATED = Deed(
    DEACTIVATE_PERSON,
    DeactivationForm,
    "Deactivate",
    "Deactivate",
    "Deactivated: sessions and tokens have ended.",
    "Nobody signs in or signs with this account any more, and its sessions and tokens end at once. All that was"
    " recorded and signed stays as it is, and the account can be made active again.",
)
AUTHORISED = Deed(
    GRANT_AUTHORISATION,
    AuthorisationForm,
    "Grant an authorisation",
    "Grant it",
    "The authorisation is on record.",
    "A role opens doors; an authorisation allows a signature, which copies it.",
)


@reader
def change(request: HttpRequest, person_id: int) -> HttpResponse:
    """Other names, roles, another home."""
    found = found_person(person_id)
    names = ("first_name", "last_name", "roles", "home_station")
    initial = {name: getattr(found, name) for name in names}
    return _deed(request, CHANGED, found, initial)


@reader
def deactivate(request: HttpRequest, person_id: int) -> HttpResponse:
    """Ends an account, with the jobs in hand before the eyes of who ends it."""
    found = found_person(person_id)
    return _deed(request, DEACTIVATED, found, jobs=jobs_of(found))


@reader
def authorise(request: HttpRequest, person_id: int) -> HttpResponse:
    """Grants a licence or an approval."""
    found = found_person(person_id)
    return _deed(request, AUTHORISED, found, given={"user_id": found.pk})


def _deed(
    request: HttpRequest,
    deed: Deed,
    found: User,
    initial: dict[str, Any] | None = None,
    given: dict[str, Any] | None = None,
    **more: Any,
) -> HttpResponse:
    _refuse_page(request, deed.act)
    form = deed.form(request.POST or None, initial=initial or {})
    given = {"person_id": found.pk} if given is None else given
    if performed(request, deed.act, form, **given) is not None:
        messages.success(request, deed.done)
        return redirect("fleet:people_person", found.pk)
    page = {"form": form, "deed": deed, "person": found, **more}
    return render(request, "fleet/people/act.html", page, status=422 if form.errors else 200)


@reader
def authorisation_end(request: HttpRequest, authorisation_id: int) -> HttpResponse:
    """Ends an authorisation before its last day."""
    rows = Authorisation.objects.select_related("user")
    held = rows.filter(pk=authorisation_id).first()
    if held is None:
        raise Http404("There is no such authorisation.")
    deed = Deed(END_AUTHORISATION, EndForm, f"End {held.number}", "End it", "It has ended.")
    return _deed(request, deed, held.user, {"ended_on": today()}, {"authorisation_id": held.pk})


BUTTONS = {
    "link": (MAKE_LINK, ""),
    "end-sessions": (END_SESSIONS, "Every session has ended: the password is asked for again."),
    "reactivate": (REACTIVATE_PERSON, "Active again, with the password and roles of before."),
}


@require_POST
@reader
def button(request: HttpRequest, person_id: int, what: str) -> HttpResponse:
    """An act that a button on the person's page does."""
    if what not in BUTTONS:
        raise Http404("There is no such act.")
    act, done = BUTTONS[what]
    _refuse_page(request, act)
    found, form = found_person(person_id), NothingMore(request.POST)
    made = performed(request, act, form, person_id=found.pk)
    if made is None:
        for fault in form.non_field_errors():
            messages.error(request, str(fault))
    elif act is MAKE_LINK:
        request.session[NEW_LINK] = found.pk
    else:
        messages.success(request, done)
    return redirect("fleet:people_person", found.pk)


def _refuse_page(request: HttpRequest, act: Act) -> None:
    """The page of an act is for those who may do it; the act itself asks again."""
    try:
        ask(signed_in_person(request), act.row)
    except Refused as refused:
        raise PermissionDenied(refused.message) from refused
