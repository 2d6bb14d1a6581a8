"""An act done from its page: the form read, the act tried, its refusal at its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from fleet.acts.act import Act
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User

from .act_forms import SaidForm


def performed(
    request: HttpRequest,
    act: Act,
    form: SaidForm,
    find: Callable[[], Mapping[str, Any]] = dict,
    **given: Any,
) -> Any | None:
    """What the act gave; None if the form was not sent, cannot be read, or the act refuses, with its
    reasons on the form. ``given`` is what the page's own address says; ``find`` looks up what a text
    of the form means, and may refuse.
    """
    return foreseen(request, act, form, lambda do: do(), find, **given)


def foreseen(
    request: HttpRequest,
    act: Act,
    form: SaidForm,
    ask: Callable[[Callable[[], Any]], Any],
    find: Callable[[], Mapping[str, Any]] = dict,
    **given: Any,
) -> Any | None:
    """What ``ask`` says of the act, which it is given to do; None as :func:`performed` says."""
    if request.method != "POST" or not form.is_valid():
        return None
    user = request.user
    assert isinstance(user, User)  # acts are done by who is signed in
    try:
        said = form.said(**given, **find())
        return ask(lambda: act.do(said, by=user, act_id=form.act, at=timezone.now(), today=today()))
    except Refused as refused:
        show_on_form(form, refused)
        return None
