"""What can be wrong with a cell, a line, a sheet or a file: one plain sentence each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CellProblem:
    """Why a cell cannot be read: a code, a sentence that says what is wrong, and what would do."""

    code: str
    message: str
    would_do: str

    @property
    def sentence(self) -> str:
        return f"{self.message} {self.would_do}"


class CellError(str):
    """The error that a formula left in a cell, such as ``#REF!``."""

    __slots__ = ()


class UnreadableFile(Exception):
    """Raised for a file, or a sheet of it, that cannot be read. Carries a code and a sentence."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code
        self.message = message


def shown(cell: object, most: int = 40) -> str:
    """A cell's content as quoted in a sentence, cut when long, unprintable characters as '?'."""
    text = f"{cell:.15g}" if isinstance(cell, float) else str(cell)
    text = "".join(c if c.isprintable() else "?" for c in text[: most + 1])
    return f"{text[:most]}…" if len(text) > most else text
