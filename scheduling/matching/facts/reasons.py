"""Every reason why a unit cannot cover a need: its stable code, and the bit it has in columns."""

from __future__ import annotations

from enum import IntFlag, auto


class Reason(IntFlag):
    """The lower-case name is the code that programs see; sentences are in ``why_not``."""

    WRONG_PART = auto()
    WRONG_STANDARD = auto()
    WRONG_HAND = auto()
    WRONG_MSN = auto()
    LIFE_NOT_KNOWN = auto()
    LIFE_ENDS_EARLY = auto()
    TOO_LITTLE_LIFE = auto()
    SHELF_LIFE_OVER = auto()
    IN_QUARANTINE = auto()
    UNSERVICEABLE = auto()
    NO_CERTIFICATE = auto()
    ARRIVAL_NOT_KNOWN = auto()
    NO_WAY_THERE = auto()
    ARRIVES_LATE = auto()
    DANGEROUS_GOODS_LATE = auto()
    OWNER_RESTRICTION = auto()
    RETURN_DUE = auto()
    RESERVED_FOR_ANOTHER = auto()
    LOCKED_TO_ANOTHER = auto()
    FORBIDDEN = auto()
    NEEDS_DECISION = auto()
    NO_DUAL_RELEASE = auto()
    TOO_FEW_PIECES = auto()

    @property
    def code(self) -> str:
        return str(self.name).lower()


def reasons_in(bits: int) -> list[Reason]:
    """The single reasons in a set of bits, in their order."""
    return [one for one in Reason if bits & one]
