"""A person's own notices: what became of what they decided."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from fleet.house.pages import reader
from fleet.house.refusals import Refused
from fleet.models import Notice, User
from fleet.people.acts.notices import read_notice

ROWS = 50


@require_safe
@never_cache
@reader
def notices(request: HttpRequest) -> HttpResponse:
    """What is to be read first, then what was read, the latest first."""
    own = Notice.objects.filter(to=_person(request), is_shown=True)
    read = Paginator(own.exclude(read_at=None).order_by("-at", "-pk"), ROWS)
    context = {
        "unread": list(own.filter(read_at=None).order_by("-at", "-pk")[:ROWS]),
        "read": read.get_page(request.GET.get("page")),
    }
    return render(request, "fleet/people/notices.html", context)


@require_POST
@reader
def notice_read(request: HttpRequest, notice_id: int) -> HttpResponse:
    """Marks one as read; then on to what it is about, if that was asked for."""
    try:
        read = read_notice(by=_person(request), notice_id=notice_id, at=timezone.now())
    except Refused as refused:
        messages.error(request, refused.message, extra_tags=refused.code)
        return redirect("fleet:notices")
    is_ours = url_has_allowed_host_and_scheme(read.link, None) and read.link.startswith("/")
    return redirect(read.link if "go" in request.POST and is_ours else "fleet:notices")


def _person(request: HttpRequest) -> User:
    assert isinstance(request.user, User)
    return request.user
