"""Hours and cycles of the whole fleet in one grid, typed or pasted; doubted against the usual, shown, saved."""

from __future__ import annotations

import hashlib
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from fleet.house.desks import ACTS, ROLES, may
from fleet.house.pages import reader, today
from fleet.house.refusals import Refusal, Refused
from fleet.loading.acts.lines import SheetLine, enter_lines
from fleet.models import User
from fleet.screens.days import day_typed
from fleet.utilisation.sheets.readings import READINGS
from fleet.words.said import day_words
from scheduling.entries.foretold.moves import Reach, foresee
from scheduling.entries.hours import Line, filled_from, lines_of_fleet

LONGEST = 20_000
#: What somebody answers with a tick: that the total is right as typed.
DOUBTS = frozenset({"total_questioned", "total_runs_backwards"})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@reader
def hours(request: HttpRequest) -> HttpResponse:
    """The grid; what it would move; then the readings recorded. 422 if something is wrong or doubted."""
    grid = _Grid(request)
    if request.method == "POST" and "fill" not in request.POST:
        answer = grid.sent()
        if answer is not None:
            return answer
    return render(
        request, "scheduling/entries/hours.html", grid.context(), status=422 if grid.is_bad else 200
    )


class _Grid:
    """What was typed into the grid, and what became of it."""

    def __init__(self, request: HttpRequest) -> None:
        self.request = request
        self.lines = lines_of_fleet()
        self.faults: list[str] = []
        self.unread: list[str] = []
        self.moves: Any = None
        post = request.POST
        self.day_text = post.get("read_on", day_words(today())).strip()[:20]
        self.source = post.get("source", "").strip()[:80]
        for line in self.lines:
            line.hours = post.get(f"hours_{line.aircraft.pk}", "").strip()[:40]
            line.cycles = post.get(f"cycles_{line.aircraft.pk}", "").strip()[:40]
            line.is_sure = (
                post.get(f"sure_{line.aircraft.pk}", "").strip() == line.as_typed.strip() != ""
            )
            line.is_correction = f"correction_{line.aircraft.pk}" in post
        self.pasted = post.get("pasted", "")[:LONGEST] if "fill" in post else ""
        if "fill" in post:
            self.unread = filled_from(self.lines, self.pasted)

    @property
    def is_bad(self) -> bool:
        lines = self.lines
        return bool(self.faults or any(line.faults or line.needs_answer for line in lines))

    @property
    def mark(self) -> str:
        said = [(li.aircraft.pk, li.hours, li.cycles, li.is_correction) for li in self.lines]
        whole = repr((self.day_text, self.source, said))
        return hashlib.sha256(whole.encode()).hexdigest()[:32]

    def sent(self) -> HttpResponse | None:
        """This will show what the grid moves, or record it where that was shown."""
        filled = [line for line in self.lines if line.is_filled]
        try:
            day_typed(self.day_text)
        except ValueError as fault:
            self.faults.append(str(fault))
            return None
        if not filled:
            self.faults.append("Nothing is typed yet: give the hours or cycles of one aircraft.")
            return None
        return self._recorded(filled)

    def _recorded(self, filled: list[Line]) -> HttpResponse | None:
        post = self.request.POST
        try:
            if "save" in post and post.get("shown") == self.mark and self._saved(filled):
                messages.success(self.request, f"Hours of {len(filled)} aircraft are recorded.")
                return redirect("scheduling:hours")
            for line in filled:
                line.questions = []
            reach = Reach(aircraft_ids=tuple(line.aircraft.pk for line in filled))
            moves = foresee(lambda: self._enter(filled), reach, [today()])
            self.moves = None if any(line.needs_answer for line in filled) else moves
        except Refused as refused:
            for each in refused.refusals:
                self._refuse(filled, each)
        return None

    def _saved(self, filled: list[Line]) -> bool:
        """This will record the lines, and none of them where one needs an answer first."""
        with transaction.atomic():
            self._enter(filled)
            is_doubted = any(line.needs_answer for line in filled)
            transaction.set_rollback(is_doubted)
        return not is_doubted

    def _enter(self, filled: list[Line]) -> None:
        assert isinstance(self.request.user, User)
        lines = [
            SheetLine(
                READINGS,
                {
                    "aircraft": line.aircraft.registration,
                    "read_on": self.day_text,
                    "hours": line.hours,
                    "cycles": line.cycles,
                    "source": self.source,
                    "correction": "yes" if line.is_correction else "",
                    "confirmed": "yes" if line.is_sure else "",
                },
            )
            for line in filled
        ]
        warned: list[Refusal] = []
        enter_lines(
            by=self.request.user, lines=lines, at=timezone.now(), today=today(), warned=warned
        )
        for each in warned:  # it would be kept, and counted by nobody
            self._refuse(filled, each)

    def _refuse(self, filled: list[Line], refusal: Refusal) -> None:
        field, message = refusal.field, refusal.message
        place, _, name = (field or "").partition(".")
        if len(filled) == 1:
            place, name = "0", field or ""
        if refusal.code in DOUBTS and place.isdecimal() and int(place) < len(filled):
            filled[int(place)].questions.append(message.partition(" To confirm it")[0])
        elif place.isdecimal() and int(place) < len(filled):
            filled[int(place)].faults.append((name, message))
        elif message not in self.faults:
            self.faults.append(message)

    def context(self) -> dict[str, Any]:
        roles = dict(ROLES)
        return {
            "lines": self.lines,
            "day_text": self.day_text,
            "source": self.source,
            "pasted": self.pasted,
            "unread": self.unread,
            "faults": self.faults,
            "foreseen": self.moves,
            "shown_mark": self.mark if self.moves else "",
            "shows_first": True,
            "button": "Save the hours",
            "may_act": may(self.request.user, "record_reading"),  # type: ignore[arg-type]
            "who_may": ", ".join(sorted(roles[one].lower() for one in ACTS["record_reading"])),
        }
