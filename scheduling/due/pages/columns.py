"""The columns of the due list: which there are, which a person chose, and how they are remembered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

COOKIE, ASKED = "due-columns", "columns"
A_YEAR = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its code, its head, the sort it stands for, and whether it stands there unless chosen
    otherwise. ``is_fixed``: without it a row says nothing, so that it is always there."""

    code: str
    label: str
    sort: str = ""
    is_usual: bool = True
    is_fixed: bool = False

    @property
    def is_number(self) -> bool:
        return self.code == "remaining"


COLUMNS = (
    Column("band", "Band", "urgency", is_fixed=True),
    Column("aircraft", "Aircraft", "aircraft"),
    Column("station", "Station", is_usual=False),
    Column("position", "Position", "position"),
    Column("unit", "P/N S/N", "part"),
    Column("description", "Description", is_usual=False),
    Column("work", "Work", "work", is_fixed=True),
    Column("limit", "Limit", is_usual=False),
    Column("due", "Due", "due", is_fixed=True),
    Column("at", "Due at", "due", is_usual=False),
    Column("remaining", "Remaining", "due"),
    Column("check", "Check", "check"),
    Column("line", "Life line"),
)
CODES = tuple(column.code for column in COLUMNS)
USUAL = tuple(column.code for column in COLUMNS if column.is_usual)
FIXED = frozenset(column.code for column in COLUMNS if column.is_fixed)


def chosen(codes: Iterable[str]) -> tuple[str, ...]:
    """The columns of these codes in their order on the page; what nobody drew is left out, what a row
    cannot do without is there."""
    wanted = set(codes) | FIXED
    return tuple(code for code in CODES if code in wanted)


def columns_of(request: HttpRequest) -> tuple[str, ...]:
    """The columns that are asked for (``?columns=…``), else those remembered in this browser."""
    asked = request.GET.getlist(ASKED)
    if asked:
        return chosen(code for text in asked for code in text.split("."))
    kept = request.COOKIES.get(COOKIE, "")
    return chosen(kept.split(".")) if kept else USUAL


def remember(request: HttpRequest, response: HttpResponse, codes: tuple[str, ...]) -> None:
    """This will keep in the browser which columns were chosen."""
    if ASKED in request.GET:
        response.set_cookie(
            COOKIE, ".".join(codes), A_YEAR, path=request.path, httponly=True, samesite="Lax"
        )
