"""Starting points from published rules, each with its source: where a limit may begin, never what governs.

Plain data. The operator's approved data governs; the page says so beside each. Where a rule gives more
than one period, the shortest stands here, and ``more`` says under which paragraph another may.
"""

from __future__ import annotations

from .starting import StartingPoint

REQUALIFICATION = "49 CFR 180.209(a) Table 1"
AS_EXTINGUISHER = "49 CFR 180.209(j)"
LOCATOR = "14 CFR 91.207"
WORKPLACE = "29 CFR 1910.157 Table L-1"
MAINTENANCE = "29 CFR 1910.157(e)"
LIFE_3HT = "49 CFR 180.205(i)(1)(v)(C)"


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
        specifications=tuple(of.split(", ")),
    )


def _none(slug: str, of: str, words: str) -> StartingPoint:
    return StartingPoint(
        f"cylinder-{slug}",
        CYLINDERS,
        of,
        "Requalification",
        None,
        REQUALIFICATION,
        words,
        specifications=(of.removeprefix("specification "),),
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
    StartingPoint(
        "cylinder-3a-star",
        CYLINDERS,
        "specification 3A, 3AA marked ★",
        "Requalification",
        120,
        "49 CFR 180.209(b)",
        "every 10 years",
        "Only while each condition of (b) holds, its gas among them; else every 5 years, and the star is taken off.",
        clock=_UNTIL_EMPTIED,
        specifications=("3A", "3AA"),
        mark="★",
    ),
    StartingPoint(
        "cylinder-visual",
        CYLINDERS,
        "cylinders marked E",
        "External visual inspection",
        60,
        "49 CFR 180.209(g)",
        "every 5 years after the first inspection",
        "Instead of the pressure test, for non-corrosive gas and the specifications that (g) names only.",
        clock=_UNTIL_EMPTIED,
        mark="E",
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
        specifications=("3HT",),
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
        specifications=("4B", "4BA", "4B-240ET", "4BW"),
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
        specifications=("4B", "4BA", "4B-240ET", "4BW"),
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
        specifications=("3A", "3AA", "3AL"),
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


def points_for(specification: str, marks: tuple[str, ...]) -> list[StartingPoint]:
    """What is published of a cylinder, by what is stamped on it: first the requalification that its marks and
    specification choose, then what else its specification has. None of what no table has.

    A mark never shortens: without it the table's own period stands, which is the shorter one.
    """
    if specification.startswith("SP "):
        return [BY_SLUG["cylinder-permit"]]
    own = [one for one in STARTING_POINTS if specification in one.specifications]
    if not own:
        return []
    marked = [one for one in own if one.mark and one.mark in marks]
    plain = [one for one in own if not one.mark]
    seen = [BY_SLUG["cylinder-visual"]] if "E" in marks else []
    return [*marked, *plain, *seen]
