"""The administrator's page of tokens: which there are, make one, withdraw one."""

from __future__ import annotations

import functools
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from fleet.house.desks import ask
from fleet.house.pages import View, reader
from fleet.house.refusals import Refused
from fleet.models import ApiToken, User
from fleet.people.acts.tokens import MAKE_TOKEN, NewToken, withdraw_token
from fleet.people.reads import acts_of_token
from fleet.screens.act_forms import SaidForm, form_of
from fleet.screens.act_pages import performed


class TokenControls(SaidForm):
    """People by the names that they sign in with."""

    user = forms.ModelChoiceField(
        User.objects.filter(is_active=True).order_by("username", "pk"),
        label="Person answerable",
        to_field_name="username",
    )


TokenForm = form_of(NewToken, base=TokenControls)


def administrators(view: View) -> View:
    """This will keep the page for those who may manage tokens; the acts ask again."""

    @functools.wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            ask(request.user, "manage_tokens")  # type: ignore[arg-type]
        except Refused as refused:
            raise PermissionDenied(refused.message) from refused
        return view(request, *args, **kwargs)

    return reader(guarded)


@administrators
@never_cache
def tokens(request: HttpRequest) -> HttpResponse:
    """The tokens, and a form for another. A new secret is in this one answer and in no other."""
    form, secret = TokenForm(request.POST or None), ""
    made = performed(request, MAKE_TOKEN, form)
    if made is not None:
        secret, form = made.secret, TokenForm()
    rows = ApiToken.objects.select_related("user", "made_by").order_by("-created_at", "-pk")
    page = {"form": form, "secret": secret, "tokens": rows, "now": timezone.now()}
    return render(request, "fleet/people/tokens.html", page, status=422 if form.errors else 200)


@administrators
@require_safe
def token(request: HttpRequest, token_id: int) -> HttpResponse:
    """One token, and what programs did by it."""
    found = ApiToken.objects.select_related("user", "made_by").filter(pk=token_id).first()
    if found is None:
        raise Http404("There is no such token.")
    page = {"token": found, "acts": acts_of_token(found)}
    return render(request, "fleet/people/token.html", page)


@administrators
@require_POST
def withdraw(request: HttpRequest, token_id: int) -> HttpResponse:
    """This will end one token."""
    assert isinstance(request.user, User)
    try:
        token = withdraw_token(by=request.user, token_id=token_id, at=timezone.now())
    except Refused as refused:
        raise Http404(refused.message) from refused
    messages.success(request, f"The token “{token.label}” is withdrawn.")
    return redirect("api-tokens")
