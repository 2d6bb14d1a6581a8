"""The fields of one entry, read one by one: values gathered, problems and a question kept aside."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.measuring.quantity import Quantity
from equipment.judging.measuring.questions import questioned
from equipment.judging.verdicts import Judgement, Outcome, Problem, Question

YES = frozenset({"yes", "true", "on", "1", "done", "pass", "passed"})
NO = frozenset({"no", "false", "off", "0", "not done", "fail", "failed"})
LONGEST_TEXT = 2000


class Typed:
    """One entry being read."""

    def __init__(self, typed: Mapping[str, Any]) -> None:
        self.typed = typed
        self.values: dict[str, Any] = {}
        self.problems: dict[str, Problem] = {}
        self.question: Question | None = None
        self.beside: list[str] = []

    def text(self, field: str) -> str:
        """What stands in a field, without the spaces around it."""
        value = self.typed.get(field)
        return "" if value is None else str(value).strip()

    def refuse(self, field: str, problem: Problem) -> None:
        self.problems[field] = problem

    def quantity(
        self, field: str, expected: str, unit: str = "", *, needed: bool = True
    ) -> Quantity | None:
        """A field's quantity in the unit expected; None if it is empty or cannot be read.

        An empty field is a problem only if it is needed.
        """
        text = self.text(field)
        if not text and not needed:
            return None
        read = read_quantity(text, unit, expected=expected)
        if isinstance(read, Problem):
            self.refuse(field, read)
            return None
        self.values[field] = read.as_json()
        return read

    def ask(
        self, quantity: Quantity, low: Decimal | None, high: Decimal | None, field: str = "value"
    ) -> None:
        """Keeps a question about a value, unless the person has answered it for this very value."""
        question = questioned(quantity, low, high, field)
        if question is not None:
            self.put(question)

    def put(self, question: Question) -> None:
        """Keeps a question, unless it is answered, or another was put before it."""
        if self.text(question.answer_field) == question.answer:
            self.values[question.answer_field] = question.answer
        elif self.question is None:
            self.question = question

    def choice(self, field: str, sentence: str) -> bool | None:
        """Yes or no; None with a problem for anything else."""
        word = self.text(field).casefold()
        if word in YES or word in NO:
            self.values[field] = word in YES
            return word in YES
        self.refuse(field, Problem("missing" if not word else "not_yes_or_no", sentence))
        return None

    def kept_text(self, field: str, sentence: str) -> str:
        """A text that must be there."""
        text = self.text(field)
        if not text:
            self.refuse(field, Problem("missing", sentence))
        elif len(text) > LONGEST_TEXT:
            problem = Problem("too_long", f"At most {LONGEST_TEXT} characters, please.")
            self.refuse(field, problem)
        else:
            self.values[field] = text
        return text

    def outcome(self, judgement: Judgement | None) -> Outcome:
        """The problems if there are any, else the question, else the judgement."""
        if self.problems or judgement is None:
            return Outcome(problems=self.problems)
        if self.question:
            return Outcome(question=self.question, values=self.values)
        return Outcome(judgement, values=self.values, beside=tuple(self.beside))


def read_so_far(typed: Mapping[str, Any], name: str, unit: str, expected: str) -> Decimal | None:
    """The number that stands in a field while a person still types; None if it cannot be read yet.

    ``unit`` names the field of its unit; ``expected`` is the unit of the answer.
    """
    text = str(typed.get(name) or "").strip()
    read = read_quantity(text, str(typed.get(unit) or ""), expected=expected) if text else None
    return read.value if isinstance(read, Quantity) else None
