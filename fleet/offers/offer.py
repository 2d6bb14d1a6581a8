"""One act with the ways to it, as a room lists it; and what is made of the list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Model
from django.urls import URLPattern, reverse

from fleet.acts.act import Act
from fleet.house.desks import may
from fleet.intake.registry import SheetKind

from .api import Api, api_path
from .page import Page, page_path
from .sheet import Sheet, sheet_of

#: The door is all made from the act's declaration.
DECLARED = Api()


@dataclass(frozen=True, slots=True)
class Offer:
    """An act and the ways to it. ``api`` None: no program does it; ``page`` and ``sheet`` None: it has
    none, or one that is written out elsewhere."""

    act: Act
    api: Api | None = DECLARED
    page: Page | None = None
    sheet: Sheet | None = None


def api_paths(offers: Iterable[Offer]) -> list[URLPattern]:
    """The addresses of the doors for programs."""
    return [api_path(each.act, each.api) for each in offers if each.api is not None]


@dataclass(frozen=True, slots=True)
class Ways:
    """Address and words of each act offered of a thing: those that suit it, and ``more`` that are rarely meant."""

    suited: tuple[tuple[str, str], ...]
    more: tuple[tuple[str, str], ...]


def ways_on(offers: Iterable[Offer], app: str, page: str, thing: Model, user: Any) -> Ways:
    """The acts whose pages stand on this page and which the person who looks at it may do, of this thing."""
    shown = [
        each.page
        for each in offers
        if each.page is not None and each.page.stands_on == page and may(user, each.act.row)
    ]
    told = [(one, (reverse(f"{app}:{one.name}", args=[thing.pk]), one.heading)) for one in shown]
    suited = {one.name for one in shown if one.suits(thing)}
    return Ways(
        tuple(way for one, way in told if one.name in suited),
        tuple(way for one, way in told if one.name not in suited),
    )


def page_paths(offers: Iterable[Offer]) -> list[URLPattern]:
    """The addresses of the pages."""
    return [page_path(each.act, each.page) for each in offers if each.page is not None]


def sheet_kinds(offers: Iterable[Offer]) -> list[SheetKind]:
    """The kinds of sheet."""
    return [sheet_of(each.act, each.sheet) for each in offers if each.sheet is not None]
