"""The page of an offered act: its form, what the act refuses at its fields, what is said once it is done.

What was typed is kept, the form carries the act's id, and whose role does not allow the act is told
who does it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import URLPattern, path
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from fleet.acts.act import Act
from fleet.house.desks import ACTS as WHO
from fleet.house.desks import ROLES, may
from fleet.house.pages import View, reader, today
from fleet.models import User
from fleet.screens.act_forms import SaidForm, form_of
from fleet.screens.act_pages import attempt, foreseen, performed
from fleet.words.said import day_words

from .ports import Kept, keep_in_draft, open_drafts_for

Shown = Mapping[str, Any]
#: What an act would change, were it done: given the doing, it takes all back and says it.
Foresee = Callable[[Callable[[], Any], "About", Shown], Any]


def _nothing(*said: Any) -> Shown:
    return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a page's address tells: which facts of the act, and what the page says of them.

    ``given`` has these facts by the attributes of what is said; ``subject`` is what the page is about,
    in words, ``lead`` the sentence over the form, ``starts`` what the form shows at first; ``back``
    is the address that one came from and goes to again. ``shown`` is what a template of the page's
    own shows besides.
    """

    given: Shown = field(default_factory=dict)
    subject: str = ""
    lead: str = ""
    starts: Shown = field(default_factory=dict)
    back: str = "/"
    back_label: str = "Back"
    shown: Callable[[], Shown] = dict


@dataclass(frozen=True, slots=True)
class Done:
    """An act just done from its page: what it gave, what the page was about, what the form said."""

    made: Any
    about: About
    typed: Shown


def _of_nothing(request: HttpRequest) -> About:
    return About()


def _always(thing: Any) -> bool:
    return True


def _back(done: Done) -> str:
    return done.about.back


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """The page of an act: where it is, and its words.

    ``address`` is under the app's own, ``name`` the one that links use; ``about`` says what the
    address tells (404 of what is not there), ``known`` names the fields that the form leaves out for
    it, ``begins_today`` the days that are today's unless changed, ``first`` those that stand first; ``form`` stands in for the form made of what is said.
    ``find`` looks up what a text of the form means, and may refuse. ``done`` is what is said once it
    is done, ``then`` where one goes, if not back. ``stands_on`` names the page that offers it
    (``unit``: the address takes the unit's id); of what ``suits`` does not name there it stands under *More*,
    so that a thing of which little is known keeps every way. ``foresee`` tells what the act would change: then it
    is shown first, and done by a second button (``save``) for just what was shown.
    """

    address: str
    name: str
    heading: str
    button: str
    done: str | Callable[[Done], str]
    lead: str = ""
    known: tuple[str, ...] = ()
    begins_today: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    form: type[SaidForm] | None = None
    about: Callable[..., About] = _of_nothing
    find: Callable[[Shown], Shown] = _nothing
    then: Callable[[Done], str] = _back
    template: str = "fleet/offers/act.html"
    stands_on: str = ""
    suits: Callable[[Any], bool] = _always
    foresee: Foresee | None = None


def page_path(act: Act, page: Page) -> URLPattern:
    """The address of the act's page."""
    return path(page.address, page_view(act, page), name=page.name)


def page_view(act: Act, page: Page) -> View:
    """The view of the act's page: the form shown, or the act done. 422 if it was refused."""
    form_type = page.form or form_of(act.said, without=page.known, first=page.first)

    @require_http_methods(["GET", "HEAD", "POST"])
    @never_cache
    @reader
    def view(request: HttpRequest, **named: Any) -> HttpResponse:
        about = page.about(request, **named)
        form = form_type(request.POST or None, initial=_starts(page) | dict(about.starts))
        find = lambda: page.find(form.cleaned_data)  # noqa: E731
        told = made = None
        if page.foresee is not None and "keep" in request.POST:
            if kept := _kept(request, act, (page, about), form, find):
                messages.success(request, "It is kept in the draft, and not done.")
                return redirect(kept)
        elif page.foresee is not None and not is_shown(request):
            ask = page.foresee
            told = foreseen(
                request,
                act,
                form,
                lambda do: ask(do, about, form.cleaned_data),
                find,
                **about.given,
            )
        else:
            made = performed(request, act, form, find, **about.given)
        if made is not None:
            done = Done(made, about, form.cleaned_data)
            words = page.done if isinstance(page.done, str) else page.done(done)
            messages.success(request, words)
            return redirect(page.then(done))
        status = 422 if form.errors else 200
        context = _context(request, act, page, about, form) | _first(request, page, told)
        return render(request, page.template, context, status=status)

    view.__doc__ = page.lead or act.description
    return view


def is_shown(request: HttpRequest) -> bool:
    """Whether what is sent was sent before, and what it changes was shown: the second button."""
    return "save" in request.POST and request.POST.get("shown") == _said(request)


def _said(request: HttpRequest) -> str:
    """A digest of what was typed, whichever button sent it."""
    typed = sorted(
        (name, tuple(values))
        for name, values in request.POST.lists()
        if name not in ("csrfmiddlewaretoken", "act_id", "save", "show", "shown", "keep", "draft")
    )
    return hashlib.sha256(repr(typed).encode()).hexdigest()[:32]


def _first(request: HttpRequest, page: Page, told: Any) -> dict[str, Any]:
    """What is shown before an act is done, and the mark by which its second button knows that it was."""
    if page.foresee is None:
        return {}
    shown = _said(request) if told is not None else ""
    drafts = open_drafts_for(request.user) if isinstance(request.user, User) else None
    return {"shows_first": True, "foreseen": told, "shown_mark": shown, "drafts": drafts}


def _kept(
    request: HttpRequest,
    act: Act,
    on: tuple[Page, About],
    form: SaidForm,
    find: Callable[[], Shown],
) -> str | None:
    """The address of the draft in which the change is kept, foretold and not done; None with the reasons on
    the form."""
    page, about = on
    ask = page.foresee
    assert ask is not None and isinstance(request.user, User)
    by = request.user
    told = foreseen(
        request, act, form, lambda do: ask(do, about, form.cleaned_data), find, **about.given
    )
    if told is None:
        return None

    def keep() -> str:
        return keep_in_draft(
            Kept(
                draft=request.POST.get("draft", ""),
                act=act.name,
                said=form.said(**about.given, **find()),
                words=_words(page, about, form),
                foretold=told,
                act_id=form.act,
                by=by,
                at=timezone.now(),
                today=today(),
            )
        )

    return attempt(request, form, keep)


def _words(page: Page, about: About, form: SaidForm) -> str:
    """What was said on the form in a line: what the page is about, then each field that was filled."""
    said = []
    for shown in form.shown:
        value = form.cleaned_data.get(shown.name)
        if value in (None, "", False, [], ()):
            continue
        words = day_words(value) if isinstance(value, date) else value
        said.append(str(shown.label) if value is True else f"{shown.label} {words}")
    return f"{about.subject or page.heading}: {', '.join(said)}".replace("\u202f", " ")


def _starts(page: Page) -> dict[str, Any]:
    return dict.fromkeys(page.begins_today, today())


def _context(
    request: HttpRequest, act: Act, page: Page, about: About, form: SaidForm
) -> dict[str, Any]:
    roles = dict(ROLES)
    return {
        "form": form,
        "heading": page.heading,
        "lead": about.lead or page.lead,
        "button": page.button,
        "subject": about.subject,
        "back": about.back,
        "back_label": about.back_label,
        "may_act": may(request.user, act.row),  # type: ignore[arg-type]
        "who_may": ", ".join(sorted(roles[role].lower() for role in WHO[act.row])),
        "today": today(),
        **about.shown(),
    }
