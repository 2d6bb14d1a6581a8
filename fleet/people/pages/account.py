"""A person's own account: the password, where they are signed in, what acts in their name, what was done."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from fleet.house.pages import reader
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User
from fleet.people.acts.passwords import change_password
from fleet.people.acts.sessions import end_other_sessions, end_own_session, note_signed_in
from fleet.people.acts.tokens import withdraw_token
from fleet.people.jobs import jobs_of
from fleet.people.proofs import prove
from fleet.people.reads import acts_about, authorisations_of, sessions_of

from .arriving import ChosenPassword, new_password


class OwnPassword(ChosenPassword):
    """The present password, and the new one twice."""

    present = new_password("Present password", "current-password")
    field_order = ("present", "password", "password_again")


@sensitive_post_parameters()
@reader
def account(request: HttpRequest) -> HttpResponse:
    """What is a person's own; a new password is taken here."""
    person, form = _person(request), OwnPassword(request.POST or None)
    if request.method == "POST" and form.is_valid() and _is_changed(request, person, form):
        messages.success(request, "The password is changed. Sessions elsewhere have ended.")
        return redirect("fleet:account")
    now = timezone.now()
    page = {
        "form": form,
        "sessions": sessions_of(person, now, here=request.session.session_key),
        "authorisations": authorisations_of(person),
        "tokens": person.api_tokens.select_related("made_by").order_by("-created_at", "-pk"),
        "jobs": [each for each in jobs_of(person) if each.waits],
        "acts": acts_about(person),
        "now": now,
    }
    return render(request, "fleet/people/account.html", page, status=422 if form.errors else 200)


def _is_changed(request: HttpRequest, person: User, form: OwnPassword) -> bool:
    """Whether the password could be changed; why not is told at its field."""
    now, given = timezone.now(), form.cleaned_data
    try:
        proof = prove(request, username=person.username, password=given["present"], at=now)
    except Refused as refused:
        form.add_error("present", refused.message)
        return False
    try:
        key = request.session.session_key
        changed = change_password(proof=proof, password=given["password"], this=key, at=now)
    except Refused as refused:
        show_on_form(form, refused)
        return False
    update_session_auth_hash(request, changed)
    note_signed_in(user=changed, request=request, at=now)
    return True


@require_POST
@reader
def session_end(request: HttpRequest, signed_in_id: int) -> HttpResponse:
    """Ends one of the own sessions."""
    end_own_session(by=_person(request), signed_in_id=signed_in_id, at=timezone.now())
    messages.success(request, "That session has ended: there the password is asked for again.")
    return redirect("fleet:account")


@require_POST
@reader
def sessions_end(request: HttpRequest) -> HttpResponse:
    """Ends the own sessions but the one that asks."""
    key = request.session.session_key
    ended = end_other_sessions(by=_person(request), this=key, at=timezone.now())
    messages.success(request, f"Ended: {ended}. There the password is asked for again.")
    return redirect("fleet:account")


@require_POST
@reader
def own_token_withdraw(request: HttpRequest, token_id: int) -> HttpResponse:
    """Ends a token that acts in the person's own name."""
    person = _person(request)
    if person.api_tokens.filter(pk=token_id).exists():
        token = withdraw_token(by=person, token_id=token_id, at=timezone.now())
        messages.success(request, f"The token “{token.label}” is withdrawn.")
    return redirect("fleet:account")


def _person(request: HttpRequest) -> User:
    assert isinstance(request.user, User)
    return request.user
