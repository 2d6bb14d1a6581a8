"""The pages of people: the list, each person, and what an administrator does about them."""

from __future__ import annotations

import functools
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from fleet.house.desks import ask, may
from fleet.house.pages import View, reader, today
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.acts.of_person import OfPerson
from fleet.people.acts.people import INVITE_PERSON, Invitation, name_operator
from fleet.people.jobs import jobs_of
from fleet.people.links import good_until, link_of
from fleet.people.reads import (
    acts_about,
    authorisations_of,
    people_rows,
    roles_words,
    sessions_of,
    state_words,
)
from fleet.screens.act_forms import form_of
from fleet.screens.act_pages import performed

#: Whose new address the next page shows, once: kept in the session until then.
NEW_LINK = "new_link"
InvitationForm = form_of(Invitation)
NothingMore = form_of(OfPerson, without=("person",))


def managers(view: View) -> View:
    """This will keep the page for those who manage people; the acts ask again."""

    @functools.wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            ask(signed_in_person(request), "manage_people")
        except Refused as refused:
            raise PermissionDenied(refused.message) from refused
        return view(request, *args, **kwargs)

    return reader(guarded)


# --- reading ----------------------------------------------------------------------------------


@require_safe
@reader
def people(request: HttpRequest) -> HttpResponse:
    """Everybody, by name; those who no longer sign in below."""
    page = {
        "rows": people_rows(is_active=True),
        "gone": people_rows(is_active=False),
        "may_manage": may(signed_in_person(request), "manage_people"),
    }
    return render(request, "fleet/people/list.html", page)


@require_safe
@reader
def person(request: HttpRequest, person_id: int) -> HttpResponse:
    """One person: the facts, what they may sign, where they are signed in, what was done about them."""
    found, now = found_person(person_id), timezone.now()
    is_manager = may(signed_in_person(request), "manage_people")
    page = {
        "person": found,
        "roles": roles_words(found),
        "state": state_words(found),
        "link": _link_once(request, found),
        "link_until": good_until(found),
        "is_link_open": link_of(found) is not None and (good_until(found) or now) > now,
        "authorisations": authorisations_of(found),
        "jobs": jobs_of(found),
        "sessions": sessions_of(found, now) if is_manager else [],
        "tokens": found.api_tokens.select_related("made_by").order_by("-created_at", "-pk"),
        "acts": acts_about(found),
        "may_manage": is_manager,
        "may_hand_on": may(signed_in_person(request), "hand_on_jobs"),
        "may_authorise": may(signed_in_person(request), "enter_authorisation"),
        "form": NothingMore(),
        "today": today(),
        "now": now,
    }
    return render(request, "fleet/people/person.html", page)


def _link_once(request: HttpRequest, found: User) -> str:
    """The whole new address, on the one page after it was made."""
    if request.session.get(NEW_LINK) != found.pk:
        return ""
    del request.session[NEW_LINK]
    link = link_of(found)
    return request.build_absolute_uri(f"/join/{link}/") if link else ""


# --- acts -------------------------------------------------------------------------------------


@managers
def invite(request: HttpRequest) -> HttpResponse:
    """Makes a person; the page of that person then shows the address, once."""
    form = InvitationForm(request.POST or None)
    made = performed(request, INVITE_PERSON, form)
    if made is not None:
        request.session[NEW_LINK] = made.pk
        return redirect("fleet:people_person", made.pk)
    return render(
        request, "fleet/people/invite.html", {"form": form}, status=422 if form.errors else 200
    )


@require_POST
@managers
def operator(request: HttpRequest) -> HttpResponse:
    """The operator's name over every screen."""
    try:
        name = request.POST.get("name", "")
        name_operator(by=signed_in_person(request), name=name, at=timezone.now())
        messages.success(request, "The name is kept.")
    except Refused as refused:
        messages.error(request, refused.message)
    return redirect("fleet:people")


def found_person(person_id: int) -> User:
    found = User.objects.filter(pk=person_id).select_related("home_station").first()
    if found is None:
        raise Http404("There is no such person.")
    return found


def signed_in_person(request: HttpRequest) -> User:
    assert isinstance(request.user, User)
    return request.user
