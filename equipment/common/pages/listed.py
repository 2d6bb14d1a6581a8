"""A list sent as a file: paper, workbook or CSV, by whom it was printed and when."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from equipment.common.listing import FORMS, XLSX, Listing, file_of
from equipment.common.pages.person import person
from fleet.words.said import moment_words

TYPES = {"pdf": "application/pdf", "xlsx": XLSX, "csv": "text/csv; charset=utf-8"}


def printed_by(request: HttpRequest) -> str:
    """``Printed by O. Lind, 30 Nov 2026 17:40 UTC``."""
    return f"Printed by {person(request).shown_name}, {moment_words(timezone.now())}."


def is_demonstration() -> bool:
    return bool(getattr(settings, "SHOWS_DEMONSTRATION", True))


def listed(request: HttpRequest, form: str, listing: Callable[[], Listing]) -> HttpResponse:
    """The list as a file of this form; 404 of a form that there is not."""
    if form not in FORMS:
        raise Http404("There is no such file.")
    made = listing()
    content = file_of(made, form, printed=printed_by(request), is_demonstration=is_demonstration())
    return sent(content, form, f"{made.name}.{form}")


def sent(content: bytes, form: str, name: str) -> HttpResponse:
    """A file that a browser shows by its kind alone, whatever its name says."""
    answer = HttpResponse(content, content_type=TYPES[form])
    plain = name.encode("ascii", "replace").decode().replace('"', "'").replace("?", "_")
    how = "inline" if form == "pdf" else "attachment"
    answer["Content-Disposition"] = f'{how}; filename="{plain}"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
