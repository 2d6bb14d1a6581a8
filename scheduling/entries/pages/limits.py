"""Programmes and their limits in sentences."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from fleet.house.pages import reader


@require_safe
@reader
def limits(request: HttpRequest) -> HttpResponse:
    """Every limit in force, by kind."""
    return render(request, "scheduling/entries/limits.html", {})
