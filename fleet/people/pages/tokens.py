"""The administrator's page of tokens: which there are, make one, withdraw one."""

from __future__ import annotations

import functools
from datetime import datetime, time
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from fleet.house.desks import ROLES, ask
from fleet.house.pages import View, reader, refuse_far, zone
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import ApiToken, User
from fleet.people.acts.tokens import make_token, withdraw_token


class TokenForm(forms.Form):
    """Shape only: what a token may be is the act's to say."""

    user = forms.ModelChoiceField(
        User.objects.filter(is_active=True).order_by("username", "pk"),
        label="Person answerable",
        to_field_name="username",
    )
    role = forms.ChoiceField(choices=ROLES, label="Role")
    label = forms.CharField(max_length=80, label="What it is for")
    expires_on = forms.DateField(
        required=False,
        label="First day it no longer works",
        input_formats=["%Y-%m-%d"],
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        validators=[refuse_far],
    )

    def make(self, by: User, at: datetime) -> str:
        """This will make the token and return its secret. Only of a valid form."""
        given = self.cleaned_data
        day = given["expires_on"]
        return make_token(
            by=by,
            user=given["user"],
            label=given["label"],
            role=given["role"],
            at=at,
            expires_at=datetime.combine(day, time(), zone()) if day else None,
        ).secret


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
    assert isinstance(request.user, User)
    form, secret = TokenForm(request.POST or None), ""
    if form.is_valid():
        try:
            secret, form = form.make(request.user, timezone.now()), TokenForm()
        except Refused as refused:
            show_on_form(form, refused)
    rows = ApiToken.objects.select_related("user").order_by("-created_at", "-pk")
    page = {"form": form, "secret": secret, "tokens": rows, "now": timezone.now()}
    return render(request, "fleet/tokens.html", page, status=422 if form.errors else 200)


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
