"""A published rule as where a limit may begin: what the form of a new limit shows of it at first."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class StartingPoint:
    """One published rule. ``of`` is what it is about (a specification, a sort of extinguisher),
    ``months`` the period it begins with (None: it says none), ``words`` what it says, ``more`` what else
    it allows or asks; ``method`` and ``repeat`` where the period after the first is another by the method;
    ``clock`` what is not as usual of its clock (``share``: so many percent of the stated life);
    ``specifications`` are those whose cylinders it is about, with ``mark`` only those that bear it."""

    slug: str
    group: str
    of: str
    work: str
    months: int | None
    source: str
    words: str
    more: str = ""
    method: str = ""
    repeat: int | None = None
    clock: dict[str, str] = field(default_factory=dict)
    specifications: tuple[str, ...] = ()
    mark: str = ""

    @property
    def title(self) -> str:
        return f"{self.work}, {self.of}"

    @property
    def starts(self) -> dict[str, dict[str, Any]]:
        """What the form of a new limit shows at first."""
        clock = {
            "measure": "months",
            "counts_from": "last_done",
            "first_from": "manufacture",
            "rounds": "month_end",
            "month_only_stamp": "end",
            "amount": str(self.months)
            if self.repeat is None and not self.clock.get("share")
            else "",
            **{name: value for name, value in self.clock.items() if name != "share"},
        }
        if clock["counts_from"] != "last_done":
            clock["first_from"] = ""
        found: dict[str, dict[str, Any]] = {
            "rule": {
                "title": self.title,
                "document": self.source,
                "subject": "unit",
                "when": "first",
            },
            "clock1": clock,
        }
        if self.repeat is not None:
            found["amount1"] = {"amount": str(self.repeat), "when": "repeat", "method": self.method}
            found["amount2"] = {"amount": str(self.months), "when": "any"}
        if share := self.clock.get("share"):
            found["amount1"] = {"share_percent": share, "when": "any"}
        return found
