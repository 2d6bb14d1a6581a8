"""The door of lines that a program sends one by one, of any kind of sheet: stations, limits, aircraft."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from fleet.doors.door import Door, answer
from fleet.doors.fields import Shape, StrictText
from fleet.doors.schema import described
from fleet.house.pages import today
from fleet.house.refusals import Refusal, Refused
from fleet.intake.registry import kind_named, kind_nearest
from fleet.intake.words import folded

from .acts.lines import SheetLine, enter_lines

LINE = {"sheet": "Kinds", "cells": {"Code": "SLIDE", "Name": "Door slide", "Chapter": "25-66"}}


class SheetLineSent(Shape):
    """One line: the kind of sheet, and its cells by heading as the template has them."""

    sheet = StrictText(max_length=40, help_text="A kind of sheet, as the template names it.")
    cells = serializers.DictField(
        child=StrictText(max_length=32_000, allow_blank=True), help_text="By heading."
    )


class SheetLinesSent(Shape):
    """Lines of any kinds of sheet, all or none; what is on record word for word is known."""

    lines = serializers.ListField(child=SheetLineSent(), min_length=1, max_length=500)


class SheetLinesShown(serializers.Serializer[Any]):
    """What became of each line, in their order."""

    outcomes = serializers.ListField(child=serializers.ChoiceField(["accepted", "known"]))


class SheetLines(Door):
    @described(
        tag="Loads",
        name="enter_lines",
        summary="Enter lines",
        description="Enters lines as their sheets would bring them, all or none: stations, aircraft types, "
        "positions, programmes, limits, clocks and every other kind of the template. Each kind asks who may.",
        takes=SheetLinesSent,
        sent={"lines": [LINE]},
        answer=SheetLinesShown,
        example={"outcomes": ["accepted"]},
        act="load_sheets",
    )
    def post(self, request: Request) -> Response:
        sent = self.brought(SheetLinesSent)["lines"]
        lines = [_line(at, each["sheet"], each["cells"]) for at, each in enumerate(sent)]
        try:
            outcomes = enter_lines(by=self.person, lines=lines, at=timezone.now(), today=today())
        except Refused as refused:
            raise Refused.all_of([_at(each, len(lines)) for each in refused.refusals]) from refused
        return answer({"outcomes": outcomes}, is_new="accepted" in outcomes)


def _line(at: int, sheet: str, cells: dict[str, str]) -> SheetLine:
    kind = kind_named(sheet)
    if kind is None:
        near = kind_nearest(sheet)
        hint = f" Did you mean “{near}”?" if near else ""
        words = f"There is no kind of sheet “{sheet[:40]}”.{hint}"
        raise Refused("unknown_sheet", words, f"lines.{at}.sheet")
    by_heading = {word: column.field for column in kind.columns for word in column.headings}
    found: dict[str, str] = {}
    for heading, cell in cells.items():
        name = by_heading.get(folded(heading))
        if name is None:
            words = f"“{heading[:40]}” is no column of the sheet {kind.name}. Leave it out."
            raise Refused("unknown_column", words, f"lines.{at}.cells")
        found[name] = cell
    return SheetLine(kind, found)


def _at(refusal: Refusal, count: int) -> Refusal:
    """The same reason, at its place in the body."""
    field = refusal.field or ""
    place, _, name = ("0", "", field) if count == 1 else field.partition(".")
    at = f"lines.{place}.cells.{name}".removesuffix(".cells.") if place else "lines"
    return Refusal(refusal.code, refusal.message, at)
