"""Every pin, lock and tool accounted for: what was fitted against what came back."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.judging.verdicts import Judgement
from fleet.words.said import count_words


@dataclass(frozen=True, slots=True)
class CountRule:
    """What is counted; ``number`` if the count is laid down; ``is_returned`` if it answers a fitting."""

    what: str
    number: int | None = None
    is_returned: bool = False


def judge_count(rule: CountRule, count: int, fitted: int | None = None) -> Judgement:
    """Whether a count is the number laid down and, of things returned, the number fitted.

    Things returned without a record of how many were fitted cannot be judged.
    """
    if rule.is_returned and fitted is None:
        sentence = f"It cannot be judged: how many {rule.what} were fitted is not recorded."
        return Judgement("cannot_judge", sentence)
    wanted = fitted if rule.is_returned else rule.number
    if wanted is None or count == wanted:
        accounted = ", all that were fitted" if rule.is_returned else ""
        return Judgement("in", f"{rule.what.capitalize()}: {count_words(count)}{accounted}.")
    off = count - wanted
    by = f"{count_words(abs(off))} {'too many' if off > 0 else 'missing'}"
    against = "were fitted" if rule.is_returned else "are laid down"
    sentence = f"{rule.what.capitalize()}: {count_words(count)}, but {count_words(wanted)} {against}: {by}."
    return Judgement("out", sentence, by)
