"""How a lower app asks an upper one without importing it: a port is a question with exactly one answerer.

The lower app declares the question and asks it like a function; the upper app says, as it gets ready,
which function answers. Before the program does anything :func:`refuse_unanswered` looks through all of
them, so that *nobody was asked* is never taken for *there is no limit*. An act that the upper app must
do for the lower one is asked for in the same way. News, which anybody or nobody may hear, is told by
:mod:`fleet.house.signals`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, ParamSpec, TypeVar

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")


class PortFault(RuntimeError):
    """A question without its one answerer: a fault of the program, which none of its users can cause."""


class Port(Generic[Asked, Answer]):
    """One question, put in words by ``question``; ``answer`` is the function that answers it.

    ``Port[[int, date], BottleLimits]`` is asked with a number and a day and answers with a bottle's
    limits: a type checker holds those who ask and the one who answers to it.
    """

    def __init__(self, question: str) -> None:
        self.question = question
        self.answer: Callable[Asked, Answer] | None = None
        _declared.append(self)

    def __call__(self, *asked: Asked.args, **named: Asked.kwargs) -> Answer:
        """What the upper app answers; raises :class:`PortFault` if nobody does, and what the answerer raises."""
        if self.answer is None:
            raise PortFault(f"Nobody answers “{self.question}”.")
        return self.answer(*asked, **named)

    def provide(self, answer: Callable[Asked, Answer]) -> None:
        """This will make a function the one that answers. Raises :class:`PortFault` if there is one already."""
        if self.answer is not None:
            first, second = _named(self.answer), _named(answer)
            raise PortFault(
                f"“{self.question}” is answered already, by {first}: not by {second} too."
            )
        self.answer = answer


_declared: list[Port[..., Any]] = []


def declared() -> tuple[Port[..., Any], ...]:
    """Every port there is, in the order in which their modules were imported."""
    return tuple(_declared)


def refuse_unanswered() -> None:
    """This will raise :class:`PortFault`, naming every question that nobody answers, if there is one."""
    missing = [port.question for port in declared() if port.answer is None]
    if missing:
        words = "; ".join(f"“{question}”" for question in missing)
        raise PortFault(f"The program does not start while nobody answers {words}.")


def _named(answer: Callable[..., Any]) -> str:
    return f"{answer.__module__}.{getattr(answer, '__qualname__', answer)}"
