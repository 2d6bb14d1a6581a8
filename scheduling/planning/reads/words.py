"""How the plan says where a job stands, why, and what it needs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from fleet.words.said import days_words, weekday_words
from scheduling.placing.columns import State

from ..facts.ground import GroundTime

#: Code and word of each way in which a job stands; those of one code stand under one heading.
STATES: dict[State, tuple[str, str]] = {
    State.LAST: ("placed", "at its last check in time"),
    State.CHOSEN: ("chosen", "where the controller put it"),
    State.TOGETHER: ("together", "brought forward to share an opening"),
    State.BEYOND: ("beyond-plan", "after last planned check"),
    State.OWN_TIME: ("own-time", "extra ground time"),
    State.IN_MARGIN: ("in-margin", "only inside the margin"),
    State.TOO_LATE: ("too-late", "its check comes too late"),
    State.NO_CHECK: ("no-check", "no check can do it"),
    State.CHOSEN_LATE: ("chosen-late", "the check chosen does not serve"),
}


@dataclass(frozen=True, slots=True)
class Stands:
    """Where a job stands: its last day, its check or the one it could have, the first one behind its margin."""

    state: State
    last_on: date | None
    margin: int
    check: GroundTime | None = None
    last: GroundTime | None = None
    coming: GroundTime | None = None
    access: str = ""


def how_words(stands: Stands) -> str:
    """Why it is done at its check: nothing to say of what stands at its last one."""
    check, last = stands.check, stands.last
    if stands.state != State.TOGETHER or check is None or last is None:
        return ""
    days = days_words((last.starts_on - check.starts_on).days)
    return f"{days} before {last.name}, to open {stands.access} once"


def needed_words(stands: Stands) -> str:
    """What a job without a check needs, in the order of what is usually least trouble."""
    say = _NEEDED.get(stands.state)
    return say(stands, stands.last_on) if say is not None and stands.last_on is not None else ""


def _own(stands: Stands, last_on: date) -> str:
    """By then, where the day was named just before: no margin is kept."""
    by = f"by {weekday_words(last_on)}" if stands.margin else "by then"
    return f"extra ground time {by}"


def _latest(stands: Stands, last_on: date) -> str:
    return weekday_words(last_on - timedelta(days=stands.margin))


def _in_margin(stands: Stands, last_on: date) -> str:
    coming = stands.coming
    if coming is None:
        return ""
    days = (last_on - coming.starts_on).days
    before = f"{days_words(days)} before its last day" if days else "on its last day"
    return (
        f"{coming.name} begins {before}, the margin is {days_words(stands.margin)}: accept that and put it"
        f" there, or begin {coming.name} by {_latest(stands, last_on)}, or give it {_own(stands, last_on)}."
    )


def _too_late(stands: Stands, last_on: date) -> str:
    coming = stands.coming
    if coming is None:
        return ""
    late = days_words((coming.starts_on - last_on).days)
    return (
        f"{coming.name} begins {late} after its last day: begin it by {_latest(stands, last_on)},"
        f" or give it {_own(stands, last_on)}."
    )


def _no_check(stands: Stands, last_on: date) -> str:
    by = _latest(stands, last_on)
    return f"No planned check can do it: plan one that begins by {by}, or give it {_own(stands, last_on)}."


def _own_time(stands: Stands, last_on: date) -> str:
    return f"Give it extra ground time by {weekday_words(last_on)}."


def _chosen_late(stands: Stands, last_on: date) -> str:
    own = f"extra ground time by {weekday_words(last_on)}"
    return f"The check it was put at does not serve any more: choose another, or give it {own}."


def _beyond(stands: Stands, last_on: date) -> str:
    if stands.last is None:
        return ""
    return (
        f"No check is planned after {stands.last.name}, {weekday_words(stands.last.starts_on)}: plan one that"
        f" begins by {_latest(stands, last_on)}, or put it there."
    )


_NEEDED: dict[State, Callable[[Stands, date], str]] = {
    State.IN_MARGIN: _in_margin,
    State.TOO_LATE: _too_late,
    State.NO_CHECK: _no_check,
    State.OWN_TIME: _own_time,
    State.CHOSEN_LATE: _chosen_late,
    State.BEYOND: _beyond,
}
