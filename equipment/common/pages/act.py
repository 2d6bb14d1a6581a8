"""The page of one act: its heading, a sentence, its form, its button."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import page

EITHER = require_http_methods(["GET", "HEAD", "POST"])


@dataclass(frozen=True, slots=True)
class PageWords:
    """What a page of one act says: its heading, a sentence, the button, where it came from; of what it is."""

    heading: str
    lead: str
    button: str
    back: str
    back_label: str
    subject: str = ""


def act_page(request: HttpRequest, form: BaseForm, words: PageWords, **more: Any) -> HttpResponse:
    return page(request, "equipment/common/act.html", {"form": form, "words": words, **more}, form)
