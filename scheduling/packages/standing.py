"""How an item of a package stands by what is recorded, and what keeps its check from being closed. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fleet.house.refusals import Refusal
from fleet.words.said import day_words

OPEN, BEGUN, CARRIED, DONE = "open", "begun", "carried", "done"
WORDS = {OPEN: "not done", BEGUN: "begun", CARRIED: "carried forward", DONE: "done"}


@dataclass(frozen=True, slots=True)
class Asked:
    """One work of an item: its name, on what (sort and key), the works that restart its limit, and the limit's code."""

    name: str
    subject: tuple[str, int]
    restarted_by: frozenset[str]
    limit: str = ""


@dataclass(frozen=True, slots=True)
class Recorded:
    """A work that was recorded since the package was handed over: what it was done on, when, by whom, shown by what.
    ``limit``: the only one that it restarts; empty: all."""

    code: str
    subject: tuple[str, int]
    done_on: date
    is_month: bool
    words: str
    limit: str = ""
    is_failed: bool = False


@dataclass(frozen=True, slots=True)
class Standing:
    """How an item stands: its state, what is said of it, and the swap it was done or is begun by."""

    state: str
    words: str
    swap_id: int | None = None

    @property
    def word(self) -> str:
        return WORDS[self.state]


def standing_of(
    asked: Sequence[Asked],
    recorded: Sequence[Recorded],
    since: date,
    *,
    off: Standing | None,
    carried: str,
) -> Standing:
    """The state of one item. Nobody ticks it: it is done once its unit is off, or every work of it is recorded
    as done since it was handed over. ``off`` is how the change of its unit stands, where it has begun."""
    if off is not None and off.state == DONE:
        return off
    last = [_last(each, recorded, since) for each in asked]
    shown = [each.words if each and not each.is_failed else "" for each in last]
    if shown and all(shown):
        return Standing(DONE, " ".join(dict.fromkeys(shown)))
    if carried:
        return Standing(CARRIED, carried)
    if off is not None:
        return off
    failed = [f"Failed: {each.words}" for each in last if each and each.is_failed]
    if done := [word for word in shown if word]:
        left = ", ".join(each.name for each, word in zip(asked, shown, strict=True) if not word)
        words = " ".join(dict.fromkeys([*done, *failed, f"Not done yet: {left}."]))
        return Standing(BEGUN, words)
    return Standing(OPEN, " ".join(dict.fromkeys(failed)))


def _last(asked: Asked, recorded: Sequence[Recorded], since: date) -> Recorded | None:
    """The last record of a work, passed or failed; None where there is none."""
    for each in reversed(recorded):
        first = since.replace(day=1) if each.is_month else since
        if (
            each.subject == asked.subject
            and each.code in asked.restarted_by
            and each.limit in ("", asked.limit)
            and each.done_on >= first
        ):
            return each
    return None


def why_not_close(
    items: Sequence[tuple[int, str, Standing]], findings: Sequence[str]
) -> list[Refusal]:
    """Every item neither done nor carried forward, and every finding that is not settled."""
    found = []
    for number, words, standing in items:
        if standing.state in (DONE, CARRIED):
            continue
        begun = f" {standing.words}".rstrip() if standing.state == BEGUN else ""
        sentence = f"Item {number}, {words}, is {standing.word}.{begun}"
        found.append(
            Refusal("item_open", f"{sentence} Do it, or carry it forward.", f"item-{number}")
        )
    found += [
        Refusal("finding_open", f"Found and not settled: {words.rstrip('.')}.", None)
        for words in findings
    ]
    return found


def why_not_carry(due_on: date | None, closing_on: date, next_on: date | None) -> list[Refusal]:
    """What is past its last day is not carried anywhere, nor to a check that begins after it: that takes an
    extension or another approval of the limit itself."""
    if due_on is None:
        return []
    if due_on < closing_on:
        words = (
            f"Its last day was {day_words(due_on)}: do it, or have an extension recorded first."
            " Carrying it forward moves no limit."
        )
        return [Refusal("past_its_limit", words, "item")]
    if next_on is not None and next_on > due_on:
        words = (
            f"That check begins on {day_words(next_on)}, after its last day, {day_words(due_on)}: choose an"
            " earlier one, or have an extension recorded first."
        )
        return [Refusal("carried_beyond_limit", words, "to_check")]
    return []
