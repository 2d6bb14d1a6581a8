"""What is asked before it is recorded, and recorded as it is once it is confirmed."""

from __future__ import annotations

from collections.abc import Sequence

from fleet.house.refusals import Refusal, Refused

#: Said last, at the field by which it is answered.
CONFIRM = Refusal(
    "confirm_first",
    "Look again. If it is really so, confirm it, and it is recorded as it is.",
    "is_confirmed",
)


def ask_first(asked: Sequence[Refusal]) -> None:
    """This will refuse, with each question, what has to be confirmed before it is recorded."""
    if asked:
        raise Refused.all_of([*asked, CONFIRM])
