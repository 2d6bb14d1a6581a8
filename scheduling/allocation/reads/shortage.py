"""The shortage, family by family: a picture of the months, and for each short need what would cure it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from fleet.drawing.time import percent
from fleet.words.said import MONTHS, month_words
from scheduling.matching.telling.anew import MOST
from scheduling.matching.telling.cures import Cure
from scheduling.models import ProposalRun, ProposedNeed

from .curing import short_needs
from .lacking import Lacking, lacking_of
from .unlisted import unlisted_families, unlisted_words

#: Cures shown of each short need.
SHOWN = 3
HEIGHT = 100.0


@dataclass(frozen=True, slots=True)
class MonthShown:
    """One month of a family, and its bar: a foot for what is met, a top for what is short; a step of the
    line for what is on hand as it begins, a ring for what comes back in it. Places in percent."""

    month: date
    needs: int
    short: int
    on_hand: int
    coming_back: int
    x: str
    width: str
    middle: str
    met_y: str
    met_height: str
    short_y: str
    short_height: str
    hand_y: str
    back_y: str
    left: str
    right: str
    #: From which height the line of what is on hand comes; empty in the first month.
    hand_before_y: str

    @property
    def letter(self) -> str:
        """The month's short name, under its bar."""
        return MONTHS[self.month.month - 1]

    @property
    def year(self) -> str:
        """Its year, where the axis begins and at each January; else empty."""
        return str(self.month.year) if self.month.month == 1 or not self.hand_before_y else ""

    @property
    def words(self) -> str:
        return (
            f"{month_words(self.month)}: {self.needs} needed, {self.on_hand} on hand as it begins,"
            f" {self.coming_back} coming back, {self.short} short"
        )


@dataclass(frozen=True, slots=True)
class ShortNeed:
    """A need that no unit covers, and the single acts that would cure it, each solved anew, the cheapest first."""

    row: ProposedNeed
    cures: list[Cure]


@dataclass(frozen=True, slots=True)
class FamilyShown:
    """A family's months and what is short in it; ``unlisted`` says where no fits tell hands and doors apart."""

    name: str
    months: list[MonthShown]
    short: list[ShortNeed]
    lacking: int
    unlisted: str = ""

    @property
    def needs(self) -> int:
        return sum(month.needs for month in self.months)

    @property
    def short_words(self) -> str:
        """``1 in Mar 2027, 2 in Apr 2027``; empty where nothing is short."""
        return ", ".join(
            f"{month.short} in {month_words(month.month)}" for month in self.months if month.short
        )

    @property
    def words(self) -> str:
        """The picture for those who cannot see it."""
        first, last = month_words(self.months[0].month), month_words(self.months[-1].month)
        said = f"{self.name}, {first} to {last}: {self.needs} needed, "
        return said + (f"short {self.short_words}." if self.short_words else "none short.")


def families_shown(run: ProposalRun, most: int = MOST) -> list[FamilyShown]:
    """Families with something short first, by their first short month; then the others by name. ``most``: so many
    cures of each need."""
    cured = defaultdict(list)
    for row, cures in short_needs(run, most):
        cured[row.family].append(ShortNeed(row, cures))
    by_family: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for month in run.months:
        by_family[month["family"]].append(month)
    lacking = lacking_of(run)
    unlisted = unlisted_families(run)
    found = [
        FamilyShown(
            name,
            _months(months),
            cured[name],
            lacking.get(name, Lacking()).short,
            unlisted_words(unlisted.get(name, [])),
        )
        for name, months in by_family.items()
    ]
    return sorted(found, key=lambda one: (_first_short(one), one.name))


def _first_short(family: FamilyShown) -> date:
    return min((month.month for month in family.months if month.short), default=date.max)


def _months(kept: list[dict[str, Any]]) -> list[MonthShown]:
    top = max(max(m["needs"], m["on_hand"], m["coming_back"]) for m in kept) or 1
    step = 100.0 / len(kept)
    found = []
    for at, month in enumerate(kept):
        tall, none = month["needs"] * HEIGHT / top, month["short"] * HEIGHT / top
        found.append(
            MonthShown(
                month=date.fromisoformat(month["month"]),
                needs=month["needs"],
                short=month["short"],
                on_hand=month["on_hand"],
                coming_back=month["coming_back"],
                x=percent(at * step + step * 0.2),
                width=percent(step * 0.6),
                middle=percent(at * step + step / 2),
                met_y=percent(HEIGHT - tall + none),
                met_height=percent(tall - none),
                short_y=percent(HEIGHT - tall),
                short_height=percent(none),
                hand_y=_place(month["on_hand"], top),
                back_y=_place(month["coming_back"], top),
                left=percent(at * step),
                right=percent(at * step + step),
                hand_before_y=_place(kept[at - 1]["on_hand"], top) if at else "",
            )
        )
    return found


def _place(count: int, top: int) -> str:
    """How high so many stand, from above."""
    return percent(HEIGHT - count * HEIGHT / top)
