"""Signing in: on its page, and in place, over a page whose person was away too long."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone

from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.presence import locked_name
from fleet.people.proofs import prove

#: Sent by the script that asks over a page: it wants to be told, not led on.
IN_PLACE = "X-In-Place"


class SignInForm(AuthenticationForm):
    """Name and password; failures are counted and slowed as those of signing a record."""

    def clean(self) -> dict[str, Any]:
        name, password = self.cleaned_data.get("username"), self.cleaned_data.get("password")
        if name is not None and password:
            try:
                proof = prove(self.request, username=name, password=password, at=timezone.now())
            except Refused as refused:
                raise forms.ValidationError(refused.message, code=refused.code) from refused
            self.user_cache = proof.user
        return self.cleaned_data


class SignIn(LoginView):
    """The page; the script over another page is told whether it worked, and not led on."""

    template_name = "fleet/people/entry/sign_in.html"
    form_class = SignInForm

    @property
    def is_in_place(self) -> bool:
        return IN_PLACE in self.request.headers

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        # Over a page whoever looks at it may still be signed in: that is no reason to lead on.
        self.redirect_authenticated_user = not self.is_in_place
        return super().dispatch(request, *args, **kwargs)

    def get_initial(self) -> dict[str, Any]:
        return {**super().get_initial(), "username": locked_name(self.request)}

    def get_context_data(self, **more: Any) -> dict[str, Any]:
        is_empty = not User.objects.exists()
        return super().get_context_data(is_empty=is_empty, **more)

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        answer = super().form_valid(form)
        return HttpResponse(status=204) if self.is_in_place else answer

    def form_invalid(self, form: AuthenticationForm) -> HttpResponse:
        if not self.is_in_place:
            return super().form_invalid(form)
        faults = [str(each) for found in form.errors.values() for each in found]
        return JsonResponse({"fault": " ".join(faults)}, status=422)
