"""What judging answers with: a verdict, a problem with what was typed, or a question back."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal

from fleet.house.refusals import Refusal
from fleet.words.said import MINUS, count_words

Verdict = Literal["in", "out", "cannot_judge", "none"]


@dataclass(frozen=True, slots=True)
class Problem:
    """Why something cannot be taken as it is: a stable code, a sentence, the field if known."""

    code: str
    sentence: str
    field: str | None = None

    def as_refusal(self, field: str | None = None) -> Refusal:
        """This will say the same in the house's own form."""
        return Refusal(self.code, self.sentence, field or self.field)


@dataclass(frozen=True, slots=True)
class Judgement:
    """One verdict on one value: within tolerance, out of it, not to be judged, or nothing to judge.

    ``by`` says how far off, with its unit (``3 in-lb too low``); empty unless ``out``.
    """

    verdict: Verdict
    sentence: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """Asked before a value is kept that is hardly meant: one right in another unit, or no value at all.

    ``instead`` is the value in the other unit; empty if no unit would make it right. ``answer`` is
    what to send back in ``answer_field`` to keep the value as typed; it names that value, so an
    answer given for one value never lets another pass.
    """

    sentence: str
    instead: str
    answer: str
    field: str = "value"

    @property
    def answer_field(self) -> str:
        """The field that ``answer`` is sent back in."""
        return answer_field_of(self.field)


def answer_field_of(field: str) -> str:
    """The field in which the answer to a question about ``field`` is sent back."""
    return "confirmed" if field == "value" else f"{field}_confirmed"


def instead_field_of(field: str) -> str:
    """The field in which somebody says that another unit was meant, as the value in that unit."""
    return "instead" if field == "value" else f"{field}_instead"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one entry: judged, or problems by field, or a question; never two of them.

    ``values`` are the entry's values read and converted, plain enough for JSON (numbers as
    strings); ``beside`` are sentences to show with the verdict, such as what the gas itself says.
    """

    judgement: Judgement | None = None
    problems: dict[str, Problem] = field(default_factory=dict)
    question: Question | None = None
    values: dict[str, Any] = field(default_factory=dict)
    beside: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        """The verdict, or the question, or the first problem: what a person reads."""
        if self.judgement:
            return self.judgement.sentence
        if self.question:
            return self.question.sentence
        return next(iter(self.problems.values())).sentence if self.problems else ""


def number_words(number: Decimal) -> str:
    """``2 871``, ``15.253``, ``0.003``: six figures at most, no exponent, no zeros at the end."""
    is_whole = number == number.to_integral_value()
    figures = +number if is_whole else _rounded(number, 6)
    whole, _, rest = f"{abs(figures):f}".partition(".")
    rest = rest.rstrip("0")
    sign = MINUS if figures < 0 else ""
    return sign + count_words(int(whole)) + (f".{rest}" if rest else "")


def _rounded(number: Decimal, figures: int) -> Decimal:
    """To so many figures, but no coarser than whole and no finer than a millionth of a millionth."""
    place = min(number.adjusted() - figures + 1, 0)
    return number.quantize(Decimal(1).scaleb(max(place, -12)))


def amount_words(number: Decimal, unit: str) -> str:
    """A number with its unit: ``25 N·m``."""
    return f"{number_words(number)} {unit}".strip()


def off_words(number: Decimal, unit: str) -> str:
    """How far off, to three figures: what is beyond them helps nobody."""
    return amount_words(_rounded(number, 3), unit)


def within(low: Decimal | None, value: Decimal, high: Decimal | None, unit: str) -> str | None:
    """How far a value is off an inclusive range, in words; None if it is inside."""
    if low is not None and value < low:
        return f"{off_words(low - value, unit)} too low"
    if high is not None and value > high:
        return f"{off_words(value - high, unit)} too high"
    return None


def range_words(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """``20 to 25 in-lb``, ``at least 10 min``, ``at most 6 s``; one value where both ends are that."""
    if low is None and high is None:
        return "any value"
    if low is None or high is None:
        bound = high if low is None else low
        assert bound is not None
        return f"{'at most' if low is None else 'at least'} {amount_words(bound, unit)}"
    return (
        amount_words(high, unit)
        if low == high
        else f"{number_words(low)} to {amount_words(high, unit)}"
    )
