"""What else there is to say of a due item, as one stored number and in words."""

from __future__ import annotations

from enum import IntFlag

from scheduling.engine.basis import result


class Flag(IntFlag):
    """A set of them is stored as one number."""

    WITHIN_VARIATION = 1
    EXTENDED = 2
    MAY_NOT_REFILL = 4
    MAY_NOT_INSTALL = 8
    END_OF_LIFE = 16
    UNTIL_EMPTIED = 32
    GROWING = 64
    NO_RATE = 128
    MAY_NOT_FLY = 256
    #: Its aircraft may not fly as it is. Above all others, so that who has it is found by an index.
    GROUNDS = 1 << 14


#: What is said of an item that grounds though nobody knows that it is past.
UNSHOWN = "cannot be shown to be inside its limits"
WORDS: dict[Flag, str] = {
    Flag.GROUNDS: "grounds its aircraft",
    Flag.WITHIN_VARIATION: "inside its permitted variation",
    Flag.EXTENDED: "extended",
    Flag.END_OF_LIFE: "end of life",
    Flag.UNTIL_EMPTIED: "may stay until emptied, not be refilled or installed",
    Flag.GROWING: "time not counted still grows",
    Flag.NO_RATE: "no date: at no known rate of use",
}


def flag_words(flags: int) -> tuple[str, ...]:
    """The flags of a set that a reader is told of."""
    return tuple(words for flag, words in WORDS.items() if flags & flag)


def missing_words(mask: int) -> tuple[str, ...]:
    """The missing facts of a set, in words."""
    return tuple(result.missing_words(mask))
