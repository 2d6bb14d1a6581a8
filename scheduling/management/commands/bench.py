from __future__ import annotations

import json
import logging
import os
from datetime import date, datetime
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from fleet.bench import load_units
from fleet.house.pages import today
from scheduling.bench import figures, match_tables, matching, planning, swap_load, swaps
from scheduling.bench.scratch import fleet_of, settle

PLAIN = {
    "match_fleet": matching.match_fleet,
    "match_change": matching.match_change,
    "float_size": matching.float_size,
}
OF_FLEET = (
    "recompute_full",
    "recompute_touched",
    "swap_release",
    "due_page",
    "pdf_page",
    "plan_fleet",
    "what_if",
)
NAMES = (*OF_FLEET, "load_units", "swap_load", "match_tables", *PLAIN)
LEAST = 10_000


class Command(BaseCommand):
    """The figures of the README, one JSON line each: ``SCALE=1000000 manage.py bench``."""

    help = "Measure the program's figures on an invented fleet of SCALE due items."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--only", choices=NAMES, action="append", metavar="FIGURE")

    def handle(self, *args: Any, only: list[str] | None, **options: Any) -> None:
        logging.getLogger("request").setLevel(logging.WARNING)  # a line per figure, and no other
        wanted = only or list(NAMES)
        scale = _scale()
        day, now = today(), timezone.now()
        figures.serve_without_collected_files()
        if set(wanted) & set(OF_FLEET):
            with fleet_of(scale // 100, day):
                small = self._of_one_size(scale // 100, wanted, day, now, quietly=True)
            with fleet_of(scale, day):
                big = self._of_one_size(scale, wanted, day, now, quietly=False)
                self._compare(scale, small, big)
        if "load_units" in wanted:
            self._load_units()
        if "swap_load" in wanted:
            self._say(swap_load.measure(day, now), swap_load.TECHNICIANS, {})
        if "match_tables" in wanted:
            self._say(match_tables.match_tables(day, now), match_tables.NEEDS, {})
        for name, measure in PLAIN.items():
            if name in wanted:
                self._say(measure(), matching.NEEDS, {})

    def _of_one_size(
        self, items: int, wanted: list[str], day: date, now: datetime, quietly: bool
    ) -> dict[str, Any]:
        is_asked = "recompute_full" in wanted and not quietly
        full = figures.recompute_full(items, day, now, rounds=2 if is_asked else 1)
        if is_asked:
            night = figures.usual_night(day, now)
            self._say(full, items, {"nothing_changed": night})
        settle()
        found: dict[str, Any] = {}
        if "due_page" in wanted:
            found["pages"] = figures.apart(figures.seconds_of_pages)
        if "recompute_touched" in wanted:
            found["touched"] = figures.apart(figures.seconds_touched, day, now)
        if "swap_release" in wanted:
            found["released"] = figures.apart(swaps.seconds_of_release, day, now)
        if not quietly:
            self._say_of_fleet(items, wanted, day, now)
        return found

    def _say_of_fleet(self, items: int, wanted: list[str], day: date, now: datetime) -> None:
        """Paper and plan, of the larger fleet alone."""
        if "pdf_page" in wanted:
            self._say(figures.apart(figures.pdf_page, day)[0], items, {})
        if {"plan_fleet", "what_if"} & set(wanted):
            taken, peak = figures.apart(planning.seconds, day, now)
            for name, figure in planning.figures_of(taken, peak).items():
                if name in wanted:
                    self._say(figure, items, taken)

    def _compare(self, scale: int, small: dict[str, Any], big: dict[str, Any]) -> None:
        for key, name in (("touched", "recompute_touched"), ("released", "swap_release")):
            if key in big:
                (before, _), (after, peak) = small[key], big[key]
                detail = {"milliseconds": [round(before * 1000, 2), round(after * 1000, 2)]}
                self._say(_same(name, after / before, peak), scale, detail)
        if "pages" in big:
            self._compare_pages(scale, small["pages"][0], *big["pages"])

    def _compare_pages(
        self, scale: int, small: dict[str, Any], big: dict[str, Any], peak: int
    ) -> None:
        ratios = {name: big[name][0] / small[name][0] for name in big}
        worst = max(ratios, key=lambda name: ratios[name])
        detail = {
            "worst": worst,
            "milliseconds": {
                name: [round(small[name][0] * 1000, 1), round(big[name][0] * 1000, 1)]
                for name in big
            },
        }
        self._say(_same("due_page", ratios[worst], peak), scale, detail)
        counts = [{name: pages[name][1] for name in pages} for pages in (small, big)]
        most = max(counts[1].values())
        same = counts[0] == counts[1]
        self._say(
            figures.Figure("due_page_queries", most, "queries", "constant", same, peak), scale, {}
        )

    def _load_units(self) -> None:
        self._say(load_units.measure(), load_units.UNITS, {})

    def _say(self, figure: figures.Figure, scale: int, more: dict[str, Any]) -> None:
        line = {
            "name": figure.name,
            "value": figure.value,
            "unit": figure.unit,
            "target": figure.target,
            "ok": bool(figure.ok),
            "scale": scale,
            "peak_mib": figure.peak_mib,
            "measured_on": figures.measured_on(),
            **figure.detail,
            **more,
        }
        self.stdout.write(json.dumps(line))


def _same(name: str, ratio: float, peak: int) -> figures.Figure:
    target = figures.TARGET_SAME
    return figures.Figure(
        name, round(ratio, 3), "x at a hundredth", f"<= {target}", ratio <= target, peak
    )


def _scale() -> int:
    text = os.environ.get("SCALE", "1000000").replace("_", "")
    if not text.isdecimal() or int(text) < LEAST:
        raise CommandError(
            f"SCALE={text} is no size. Give a whole number of at least {LEAST}.", returncode=2
        )
    return int(text)
