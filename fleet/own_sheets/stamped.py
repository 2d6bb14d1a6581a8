"""What a line says is stamped on a cylinder: its texts, and what they were told to mean."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from .unit import Seen
from .words.marks import bare

#: Roles of columns, and the fields of a stamp in their order.
ROLES = {
    "spec": "specification",
    "service": "service_pressure",
    "proof": "test_pressure",
    "stamp_marks": "marks",
    "requalifier": "requalifier",
}
TEST = "HST"
#: No cylinder of an aircraft is marked with so many bar: a bare number from here on is psi.
_SURELY_PSI = 700
_BARE = re.compile(r"[\d ,.']+")


class StampSaid(NamedTuple):
    """The texts of one cylinder's stamp as a sheet has them; pressures with their unit. Blank: not said."""

    specification: str
    service_pressure: str = ""
    test_pressure: str = ""
    marks: str = ""
    requalifier: str = ""


@dataclass(frozen=True, slots=True)
class StampTold:
    """What the texts mean. ``values`` are by field as they are kept (blank ones left out); ``faults`` says by
    field why one cannot be read. ``is_known``: a published table has its specification, or a permit.
    ``months`` is the published period of its test, None for none, in words and with its source."""

    values: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    is_known: bool = False
    months: int | None = None
    words: str = ""
    source: str = ""

    @property
    def specification(self) -> str:
        return self.values.get("specification", "")


#: Tells what the texts of a stamp mean.
Tell = Callable[[StampSaid], StampTold]
NOTHING = StampTold()


def said_of_stamp(one: Seen) -> StampSaid | None:
    """The stamp that a line tells of; None where it names no specification, without which none is kept."""
    if not one.stamped.get("spec"):
        return None
    return StampSaid(*(_text(one, role) for role in ROLES))


def _text(one: Seen, role: str) -> str:
    head, text = one.stamped.get(role, ("", ""))
    if role not in {"service", "proof"} or not text or not _BARE.fullmatch(text):
        return text
    return f"{text} {_unit(head, text)}".strip()


def _unit(head: str, text: str) -> str:
    """The unit that a heading names; psi of a bare number that only psi can be; else none."""
    words = bare(head).split()
    if "BAR" in words:
        return "bar"
    number = re.sub(r"\D", "", text.partition(".")[0])
    is_psi = {"PSI", "PSIG"} & set(words) or (number.isdecimal() and int(number) >= _SURELY_PSI)
    return "psi" if is_psi else ""


def counts(one: Seen, told: StampTold) -> bool:
    """Whether a stamp is taken: of a specification that a table has, or of what is tested as a cylinder. A *spec*
    of other equipment (a standard that a light was made to) is none."""
    return bool(told.specification) and (told.is_known or TEST in one.works)


def kept_as_notes(one: Seen, told: StampTold) -> list[str]:
    """Of the columns of a stamp what is not taken as one, each with its heading."""
    is_taken = counts(one, told)
    return [
        f"{head}: {text}"
        for role, (head, text) in one.stamped.items()
        if not is_taken or ROLES[role] not in told.values
    ]
