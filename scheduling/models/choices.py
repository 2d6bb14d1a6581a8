"""The words of the engine as choices of columns: named functions, so that a new word needs no migration."""

from __future__ import annotations

from collections.abc import Iterable

from scheduling.engine.basis import words

Choices = Iterable[tuple[str, str]]


def subjects() -> Choices:
    return words.choices(words.SUBJECTS).items()


def whens() -> Choices:
    return words.choices(words.WHENS).items()


def starts() -> Choices:
    return words.choices(words.STARTS).items()


def anchors() -> Choices:
    return words.choices(words.ANCHORS).items()


def runs() -> Choices:
    return words.choices(words.RUNS).items()


def rounds() -> Choices:
    return words.choices(words.ROUNDS).items()


def stamps() -> Choices:
    return words.choices(words.STAMPS).items()


def compares() -> Choices:
    return words.choices(words.COMPARES).items()


def runs_out() -> Choices:
    return words.choices(words.RUNS_OUT).items()


def turns() -> Choices:
    return words.choices(words.TURNS).items()


def ages() -> Choices:
    return words.choices(words.AGES).items()
