"""A unit's hours and cycles in service, in words: since new and since its last overhaul."""

from __future__ import annotations

from fleet.words.said import count_words, day_words, hours_words

from .ports import LifeTotals, Overhauled


def since_new_words(life: LifeTotals) -> str:
    """``1 234:00 h, 567 cycles``; what is not known, and for lack of what."""
    return _words(life.minutes, life.cycles, life.lacks)


def since_overhaul_words(life: LifeTotals) -> str:
    """``12:00 h, 4 cycles, since 3 Mar 2027 (Form 1 C-4)``; or that no overhaul is on record."""
    last = life.overhaul
    if last is None:
        return "no overhaul on record"
    return f"{_words(last.minutes, last.cycles, last.lacks)}{_since(last)}"


def _since(last: Overhauled) -> str:
    on = f", since {day_words(last.on)}" if last.on else ""
    return f"{on} ({last.words})" if last.words else on


def _words(minutes: int | None, cycles: int | None, lacks: str) -> str:
    said = [f"{hours_words(minutes)} h"] if minutes is not None else []
    said += [f"{count_words(cycles)} cycles"] if cycles is not None else []
    known = ", ".join(said)
    if minutes is not None and cycles is not None:
        return known
    unknown = "the rest not known" if said else "not known"
    why = f", for lack of {lacks}" if lacks else ""
    return ", ".join(part for part in (known, f"{unknown}{why}") if part)


def lines_of(life: LifeTotals | None) -> list[tuple[str, str]]:
    """Both, each under its name."""
    if life is None:
        return []
    return [
        ("Since new", since_new_words(life)),
        ("Since overhaul", since_overhaul_words(life)),
    ]
