"""A browser left alone is locked; what it is shown is not kept by it; who signs in is noted."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth import SESSION_KEY, login, user_logged_in
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import timezone

from fleet.house.entry import AGAIN, asked_again, without_again
from fleet.house.refusals import Refused
from fleet.models import User
from fleet.people.acts.sessions import note_signed_in
from fleet.people.proofs import prove

SEEN = "seen_at"
#: The session says that somebody was here no more often than this.
EVERY = 60  # s
#: What a page asks for by itself, while nobody touches it, keeps no session awake.
BY_ITSELF = "X-By-Itself"

Answering = Callable[[HttpRequest], HttpResponseBase]


class Watched:
    """A session that nobody used for ``IDLE_MINUTES`` counts as signed out until the password is entered
    again; it keeps who it is. Pages are not stored by browsers that people share."""

    def __init__(self, answer: Answering) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        if SESSION_KEY in request.session:
            _look_at(request)
        answered = self.answer(request)
        if "no-store" not in answered.get("Cache-Control", ""):
            answered["Cache-Control"] = "no-store, private"
        return answered

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        """A form that comes again with name and password (see :mod:`fleet.house.entry`): signed in, it
        goes on as if nothing had been. The token against forgery has been looked at by now."""
        is_again = request.method == "POST" and f"{AGAIN}password" in request.POST
        if getattr(view, "csrf_exempt", False) or not is_again:
            return None
        # Who is signed in by now may be another than whose work it is.
        name = request.POST.get(f"{AGAIN}username", "")
        if not request.user.is_authenticated or name not in ("", request.user.get_username()):
            try:
                _sign_in_again(request)
            except Refused as refused:
                return asked_again(request, name=locked_name(request), fault=refused.message)
        request.POST = without_again(request)
        return None


def _sign_in_again(request: HttpRequest) -> None:
    """This will sign in by name and password; in a browser that is locked only whoever locked it, whose
    work it is. Refuses as :func:`fleet.people.proofs.prove` does."""
    own = locked_name(request)
    name, password = (request.POST.get(f"{AGAIN}{each}", "") for each in ("username", "password"))
    user = prove(request, username=own or name, password=password, at=timezone.now()).user
    login(request, user)


def _look_at(request: HttpRequest) -> None:
    now = int(timezone.now().timestamp())
    seen = request.session.get(SEEN)
    if seen is not None and is_idle(now - seen):
        request.locked_for = request.session[SESSION_KEY]  # type: ignore[attr-defined]
        request.user = AnonymousUser()
    elif BY_ITSELF not in request.headers and (seen is None or now - seen >= EVERY):
        request.session[SEEN] = now


def is_idle(seconds: int) -> bool:
    """Whether so long without anybody is too long; a setting of 0 is never."""
    return 0 < settings.IDLE_MINUTES * 60 <= seconds


def locked_name(request: HttpRequest) -> str:
    """The username of whoever locked this browser by leaving it; blank if it is not locked."""
    key = getattr(request, "locked_for", None)
    found = User.objects.filter(pk=key).values_list("username", flat=True).first() if key else None
    return found or ""


def note_sign_in(sender: Any, request: Any, user: User, **more: Any) -> None:
    """Hears of every signing in: the session is awake, and on the list of the person's own."""
    if not hasattr(request, "session"):
        return
    now = timezone.now()
    request.session[SEEN] = int(now.timestamp())
    note_signed_in(user=user, request=request, at=now)


user_logged_in.connect(note_sign_in, dispatch_uid="fleet.people.presence")
