"""An act done from its page: the form read, the act tried, its refusal at its field."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from fleet.acts.act import Act
from fleet.acts.repeats import recorded_before
from fleet.acts.same_again import SameAgain, asked_of_the_same
from fleet.house.pages import today
from fleet.house.refusals import Refused
from fleet.house.web import show_on_form
from fleet.models import User
from fleet.words.said import clock_words

from .act_forms import ActForm, SaidForm

Done = TypeVar("Done")


def attempt(request: HttpRequest, form: ActForm, act: Callable[[], Done]) -> Done | None:
    """What the act gave; None with its reasons on the form if it refuses.

    What this person said a moment ago under another id (a second tab, a page gone back to) is asked
    about first; what was sent under the same id before is told so.
    """
    at = timezone.now()
    try:
        with asked_of_the_same(form.act):
            made = act()
    except Refused as refused:
        if isinstance(refused, SameAgain):
            form.ask_for_another(refused)
        show_on_form(form, refused)
        return None
    if before := recorded_before(form.act, at):
        words = f"This form was sent before: what it said was recorded once, at {clock_words(before)}, and stands."
        messages.info(request, words)
    return made


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
    by = request.user
    assert isinstance(by, User)  # acts are done by who is signed in

    def do() -> Any:
        said = form.said(**given, **find())
        return ask(lambda: act.do(said, by=by, act_id=form.act, at=timezone.now(), today=today()))

    return attempt(request, form, do)
