"""The page of one act: its heading, a sentence, its form, its button."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from equipment.common.pages.person import page
from equipment.common.wording import unit_words
from equipment.models import Unit

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


def _unit_or_404(unit_id: int) -> Unit:
    return get_object_or_404(Unit.objects.select_related("part_number"), pk=unit_id)


def _of_unit(unit: Unit, heading: str, lead: str, button: str) -> PageWords:
    return PageWords(
        heading, lead, button, f"/units/{unit.pk}/", "Back to the unit", unit_words(unit)
    )
