"""How the domain says no: by name, in the user's words, at a field."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason why an act cannot be done.

    ``code`` is stable and for programs (``position_occupied``); ``message`` is a sentence
    that says what is wrong and what would do; ``field`` names the input it belongs to.
    """

    code: str
    message: str
    field: str | None = None


class Refused(Exception):
    """Raised by an act that refuses. Carries every reason, the first of them the main one."""

    def __init__(self, code: str, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.refusals: list[Refusal] = [Refusal(code, message, field)]

    @classmethod
    def all_of(cls, refusals: list[Refusal]) -> Refused:
        """This will carry several refusals at once; the list may not be empty."""
        first = refusals[0]
        refused = cls(first.code, first.message, first.field)
        refused.refusals = list(refusals)
        return refused

    @property
    def code(self) -> str:
        return self.refusals[0].code

    @property
    def message(self) -> str:
        return self.refusals[0].message

    @property
    def field(self) -> str | None:
        return self.refusals[0].field


@dataclass(slots=True)
class Reasons:
    """A gatherer for checks that report every reason, not only the first."""

    found: list[Refusal] = field(default_factory=list)

    def add(self, code: str, message: str, field: str | None = None) -> None:
        self.found.append(Refusal(code, message, field))

    def refuse(self) -> None:
        """Raises :class:`Refused` if anything was found."""
        if self.found:
            raise Refused.all_of(self.found)
