"""Starting points from published rules, each with its source: where a limit may begin, never what governs.

Plain data. The operator's approved data governs; the page says so beside each. Where a rule gives more
than one period, the shortest stands here, and ``more`` says under which paragraph another may.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

REQUALIFICATION = "49 CFR 180.209(a) Table 1"
AS_EXTINGUISHER = "49 CFR 180.209(j)"
LOCATOR = "14 CFR 91.207"
WORKPLACE = "29 CFR 1910.157 Table L-1"
MAINTENANCE = "29 CFR 1910.157(e)"
LIFE_3HT = "49 CFR 180.205(i)(1)(v)(C)"


@dataclass(frozen=True, slots=True)
class StartingPoint:
    """One published rule. ``of`` is what it is about (a specification, a sort of extinguisher),
    ``months`` the period it begins with (None: it says none), ``words`` what it says, ``more`` what else
    it allows or asks; ``method`` and ``repeat`` where the period after the first is another by the method;
    ``clock`` what is not as usual of its clock (``share``: so many percent of the stated life)."""

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


CYLINDERS, ON_BOARD, BEACONS, EXTINGUISHERS = (
    "Gas cylinders, by specification",
    "Cylinders used as fire extinguishers",
    "Emergency locator transmitters",
    "Portable extinguishers, by sort",
)
_UNTIL_EMPTIED = {"runs_out": "until_emptied"}


def _cylinder(slug: str, of: str, years: int, words: str, more: str = "") -> StartingPoint:
    return StartingPoint(
        f"cylinder-{slug}",
        CYLINDERS,
        f"specification {of}",
        "Requalification",
        years * 12,
        REQUALIFICATION,
        words,
        more,
        clock=_UNTIL_EMPTIED,
    )


def _none(slug: str, of: str, words: str) -> StartingPoint:
    return StartingPoint(
        f"cylinder-{slug}", CYLINDERS, of, "Requalification", None, REQUALIFICATION, words
    )


def _sort(slug: str, of: str, years: int) -> StartingPoint:
    return StartingPoint(
        f"extinguisher-{slug}",
        EXTINGUISHERS,
        of,
        "Hydrostatic test",
        years * 12,
        WORKPLACE,
        f"every {years} years",
        "NFPA 10 Table 8.3.1 has the same period. Both govern workplaces: an aircraft bottle follows"
        " 49 CFR 180.209(j), its permit and the approved programme.",
    )


STARTING_POINTS: tuple[StartingPoint, ...] = (
    _cylinder("3", "3", 5, "every 5 years, at 3000 psig or more"),
    _cylinder(
        "3a", "3A, 3AA", 5, "every 5, 10 or 12 years", "10 and 12 under (b), (f), (h), (j) only."
    ),
    _cylinder(
        "3al",
        "3AL",
        5,
        "every 5 or 12 years",
        "12 under (j) and (m); (m) not for carbon dioxide, fire extinguishers or other industrial gas.",
    ),
    _cylinder("3ax", "3AX, 3AAX", 5, "every 5 years"),
    _cylinder("3b", "3B, 3BN", 5, "every 5 or 10 years", "10 under (f) only."),
    _none("3e", "specification 3E", "no test is required"),
    _cylinder(
        "3ht",
        "3HT",
        3,
        "every 3 years",
        "Its life is a limit of its own: 24 years or 4 380 pressurisations, whichever comes first.",
    ),
    StartingPoint(
        "cylinder-3ht-life",
        CYLINDERS,
        "specification 3HT",
        "Life",
        288,
        LIFE_3HT,
        "condemned when older than 24 years or after 4 380 pressurisations, whichever comes first",
        "Add a second clock in fillings: 4 380 from manufacture. A later test never outlives it.",
        clock={"counts_from": "manufacture", "runs_out": "end_of_life", "rounds": "month_end"},
    ),
    _cylinder("3t", "3T", 5, "every 5 years"),
    _cylinder("4aa480", "4AA480", 5, "every 5 or 10 years", "10 under (h) only."),
    _cylinder(
        "4b",
        "4B, 4BA, 4BW, 4B-240ET",
        5,
        "every 5, 7, 10 or 12 years",
        "7, 10 and 12 under (e), (f), (j) only.",
    ),
    _cylinder("4d", "4D, 4DA, 4DS", 5, "every 5 years"),
    _cylinder("4e", "4E", 5, "every 5, 10 or 12 years", "10 and 12 under (e) only."),
    _none("4l", "specification 4L", "no test is required"),
    _cylinder("8", "8, 8AL", 10, "every 10 or 20 years", "20 under (i) only."),
    _none("permit", "special permit or exemption", "as the permit says: enter its own period"),
    _cylinder("foreign", "of a foreign marking", 5, "every 5 years", "Under (l)."),
    StartingPoint(
        "on-board-4b-proof",
        ON_BOARD,
        "4B, 4BA, 4B-240ET, 4BW over 5.44 kg (12 lb) water, by proof pressure",
        "Requalification",
        144,
        AS_EXTINGUISHER,
        "12 years after the original test date, then every 7 years",
        "Where the last test was by proof pressure; write its method as the works done say it.",
        method="proof",
        repeat=84,
        clock=_UNTIL_EMPTIED,
    ),
    StartingPoint(
        "on-board-4b-jacket",
        ON_BOARD,
        "4B, 4BA, 4B-240ET, 4BW, by water jacket or direct expansion",
        "Requalification",
        144,
        AS_EXTINGUISHER,
        "12 years after the original test date, then every 12 years",
        "Of 5.44 kg (12 lb) water capacity or less by proof pressure too.",
        clock=_UNTIL_EMPTIED,
    ),
    StartingPoint(
        "on-board-3a",
        ON_BOARD,
        "3A, 3AA, 3AL, by water jacket or direct expansion",
        "Requalification",
        144,
        AS_EXTINGUISHER,
        "12 years after the original test date, then every 12 years",
        clock=_UNTIL_EMPTIED,
    ),
    StartingPoint(
        "locator-inspection",
        BEACONS,
        "inspection",
        "Inspection",
        12,
        f"{LOCATOR}(d)",
        "within 12 calendar months after the last inspection",
        "Of installation, battery corrosion, controls and crash sensor, signal.",
        clock={"first_from": "first_installation"},
    ),
    StartingPoint(
        "locator-battery",
        BEACONS,
        "battery",
        "Battery replacement",
        None,
        f"{LOCATOR}(c)",
        "when 50 percent of its useful life has expired, or after more than 1 cumulative hour of use",
        "Half of the stated life stands below; add a second clock in hours of use: more than 1:00.",
        clock={"share": "50", "first_from": "manufacture"},
    ),
    _sort("water", "stored-pressure water or antifreeze", 5),
    _sort("foam", "AFFF", 5),
    _sort("wetting", "wetting agent, loaded stream", 5),
    _sort("dry-stainless", "dry chemical, stainless steel", 5),
    _sort("co2", "carbon dioxide", 5),
    _sort("dry-stored", "dry chemical, stored pressure, mild steel, brazed brass or aluminium", 12),
    _sort("dry-cartridge", "dry chemical, cartridge", 12),
    _sort("halon-1211", "halon 1211", 12),
    _sort("halon-1301", "halon 1301", 12),
    _sort("dry-powder", "dry powder", 12),
    StartingPoint(
        "extinguisher-six-years",
        EXTINGUISHERS,
        "stored-pressure dry chemical that needs a 12-year hydrostatic test",
        "Emptying and maintenance",
        72,
        f"{MAINTENANCE}(4)",
        "every 6 years; recharging or hydrostatic testing restarts it",
        "Say under Also reset by which works are the recharge and the test.",
    ),
    StartingPoint(
        "extinguisher-yearly",
        EXTINGUISHERS,
        "any portable extinguisher",
        "Maintenance",
        12,
        f"{MAINTENANCE}(3)",
        "every year",
        clock={"rounds": "day"},
    ),
)
BY_SLUG = {one.slug: one for one in STARTING_POINTS}


def by_group() -> dict[str, list[StartingPoint]]:
    """The starting points under what they are about, as they are listed above."""
    found: dict[str, list[StartingPoint]] = {}
    for one in STARTING_POINTS:
        found.setdefault(one.group, []).append(one)
    return found
