"""What a page answers to somebody who is not signed in: nothing that was sent is lost by it.

A link leads to the sign-in page. A form that was sent comes back with all that it had, and asks for name and password
beside it. A script is told by 401 and asks in place: a page is never put where a part of one was asked for.
"""

from __future__ import annotations

from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

SIGNED_OUT = "X-Signed-Out"
#: How the fields of the page that asks again begin; all others are what was sent before.
AGAIN = "again-"


def asks_by_script(request: HttpRequest) -> bool:
    """Whether a script asked, htmx or one of ours, and puts the answer into a page."""
    return bool(getattr(request, "htmx", None)) or "X-Keep" in request.headers


def signed_out(request: HttpRequest) -> HttpResponse:
    """The answer to whoever is not signed in, or no longer."""
    if asks_by_script(request):
        words = "You are signed out. Enter your password to go on; what you typed is kept."
        return HttpResponse(words, status=401, headers={SIGNED_OUT: "1"})
    if request.method == "POST":
        return asked_again(request)
    return redirect_to_login(request.get_full_path())


def asked_again(request: HttpRequest, *, name: str = "", fault: str = "") -> HttpResponse:
    """The page that asks for name and password and keeps, unseen, what the form had; a file it cannot keep."""
    page = {
        "kept": list(fields_sent(request)),
        "files": sorted(request.FILES),
        "name": name,
        "fault": fault,
        "address": request.get_full_path(),
    }
    return render(request, "fleet/people/entry/again.html", page, status=401)


def fields_sent(request: HttpRequest) -> list[tuple[str, str]]:
    """What the form had, in its order, without what the page itself adds."""
    return [
        (name, str(value))
        for name, values in request.POST.lists()
        for value in values
        if name != "csrfmiddlewaretoken" and not name.startswith(AGAIN)
    ]


def without_again(request: HttpRequest) -> Any:
    """The form as it was before name and password were asked for beside it."""
    sent = request.POST.copy()
    for name in [name for name in sent if name.startswith(AGAIN)]:
        del sent[name]
    return sent
