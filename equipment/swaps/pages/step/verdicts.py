"""What became of a value, as a step's page says it: a shape, a word, sentences, ways to answer."""

from __future__ import annotations

from dataclasses import dataclass

from equipment.judging.verdicts import Outcome, Question, instead_field_of

VERDICTS = {
    "in": ("in", "In tolerance", "in"),
    "out": ("out", "Off tolerance", "out"),
    "cannot_judge": ("unjudged", "Cannot be judged", "asks"),
    "none": ("in", "Kept", "in"),
}


@dataclass(frozen=True, slots=True)
class Answer:
    """A way to answer a question, as a button of the step's form."""

    name: str
    value: str
    label: str
    is_first: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of a value, as a shape, a word and sentences."""

    code: str = "nothing"
    word: str = ""
    shape: str = ""
    sentences: tuple[str, ...] = ()
    answers: tuple[Answer, ...] = ()


def verdict_of(outcome: Outcome | None, *, is_typing: bool = False) -> Verdict:
    """The verdict on what is typed; while typing, what is only missing yet is no fault."""
    if outcome is None:
        return Verdict()
    if outcome.question:
        return _asking(outcome.question)
    if outcome.problems:
        told = [
            each for each in outcome.problems.values() if not is_typing or each.code != "missing"
        ]
        sentences = tuple(dict.fromkeys(each.sentence for each in told))
        return Verdict("asking", "Cannot be read", "asks", sentences) if sentences else Verdict()
    found = outcome.judgement
    if found is None:
        return Verdict()
    code, word, shape = VERDICTS[found.verdict]
    if found.verdict != "cannot_judge" and "value" not in outcome.values:
        # Nothing was measured: the sentence itself is the verdict.
        return Verdict(code, found.sentence.rstrip("."), shape, outcome.beside)
    by = f"{word}: {found.by}" if found.by else word
    return Verdict(code, by, shape, (found.sentence, *outcome.beside))


def _asking(question: Question) -> Verdict:
    instead = instead_field_of(question.field)
    really = Answer(question.answer_field, question.answer, f"It really is {question.answer}")
    if not question.instead:
        return Verdict("asking", "Is this right?", "asks", (question.sentence,), (really,))
    return Verdict(
        "asking",
        "Is this the right unit?",
        "asks",
        (question.sentence,),
        (
            Answer(instead, question.instead, f"It is {question.instead}", is_first=True),
            really,
        ),
    )
