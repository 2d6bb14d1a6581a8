"""The states a thing is shown in: one word, one shape, and only then a tone."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class State:
    """A state as shown. ``code`` names its shape in ``drawing/_shapes.html`` and its tone in the style
    sheet; ``word`` is what is read; ``is_loud`` is true where a person is needed."""

    code: str
    word: str
    meaning: str
    is_loud: bool = False


STATES: dict[str, State] = {
    state.code: state
    for state in (
        State(
            "unserviceable", "unserviceable", "fitted, and not serviceable: it comes off now", True
        ),
        State("overdue", "overdue", "past its limit", True),
        State("no-basis", "data missing", "cannot be computed: a fact is missing", True),
        State("out-of-phase", "before next check", "runs out before the next check begins", True),
        State("next-check", "at next check", "lasts until the next check, not until the one after"),
        State("later-check", "at later check", "lasts until a later check"),
        State("beyond-plan", "after last planned check", "no planned check is late enough"),
        State("before-return", "parked", "to be done before the aircraft returns to service"),
        State("not-fitted", "not fitted", "nothing is in this position", True),
        State("not-recorded", "nothing recorded", "no record says what is, or was, here", True),
        State("deactivated", "deactivated", "the position is deactivated by a document"),
        State("in-store", "off aircraft", "in a store, a shop or with another party"),
        State("quiet", "nothing due", "no limit applies to what is here"),
        State("stale", "being recomputed", "a fact changed after this was computed", True),
    )
}
# From the most urgent: the worst of several states is the first found here.
URGENCY = (
    "unserviceable",
    "overdue",
    "not-fitted",
    "no-basis",
    "not-recorded",
    "out-of-phase",
    "before-return",
    "next-check",
    "later-check",
    "beyond-plan",
    "in-store",
    "deactivated",
    "quiet",
)


def state_of(code: str) -> State:
    """The state of this code. KeyError for a code nobody drew."""
    return STATES[code]


def worst_of(codes: list[str], otherwise: str = "quiet") -> str:
    """The most urgent of several codes; ``otherwise`` if there are none."""
    return min(codes, key=URGENCY.index, default=otherwise)
