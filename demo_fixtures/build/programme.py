"""The invented programme: every clock of the design in use, each with an invented document.

Amounts are in months, days, minutes (hours are written as ``12000:00`` in the sheets) or counts.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from .layouts import POSITIONS
from .operator import REFERENCE

HOUR = 60


def from_reference(days: int) -> date:
    """The day so many days after (or before) the reference day."""
    return REFERENCE + timedelta(days=days)


@dataclass(frozen=True, slots=True)
class Amount:
    """How much a clock allows; the first that matches counts."""

    value: int | None = None
    share: str = ""
    when: str = "any"
    age_from: int | None = None
    age_basis: str = "at_work"
    method: str = ""
    standard: str = ""


@dataclass(frozen=True, slots=True)
class Clock:
    """One line of a limit."""

    measure: str
    amounts: list[Amount]
    counts_from: str = "last_done"
    first_from: str = ""
    given_on: date | None = None
    anchor: str = "release"
    runs: str = "always"
    ratio: int | None = None
    cap: int | None = None
    cap_each: bool = False
    before_first: bool = False
    rounds: str = "day"
    stamp: str = "end"
    compares: str = "after"
    never_later_on: date | None = None
    never_later_months: int | None = None
    runs_out: str = "may_not_fly"


@dataclass(frozen=True, slots=True)
class Limit:
    """A rule of the programme; lists that are empty mean all."""

    code: str
    title: str
    work: str
    clocks: list[Clock]
    document: str
    document_revision: str = "7"
    revision: str = "3"
    subject: str = "unit"
    kind: str = ""
    parts: list[str] = field(default_factory=list)
    standards: list[str] = field(default_factory=list)
    serials: list[str] = field(default_factory=list)
    positions: list[str] = field(default_factory=list)
    msns: list[str] = field(default_factory=list)
    manufactured_to: date | None = None
    from_on: date | None = None
    until_on: date | None = None
    when: str = "first"
    directive: bool = False
    paragraph: str = ""
    quota: int | None = None
    resets: list[str] = field(default_factory=list)
    variation_days: int = 0
    variation_percent: str = ""
    variation_most: int | None = None
    variation_minutes: int = 0
    variation_count: int = 0
    from_original: bool = False
    extendable: bool = False
    extension_days: int | None = None


def _months(value: int, **more: object) -> Clock:
    """So many calendar months."""
    return replace(Clock("months", [Amount(value)]), **more)  # type: ignore[arg-type]


def _test(value: int, life: int | None = None) -> Clock:
    """A pressure test from the stamped month: may stay until emptied, never outlives the life."""
    return _months(
        value,
        first_from="manufacture",
        anchor="shop_release",
        rounds="month_end",
        never_later_months=life,
        runs_out="until_emptied",
    )


def _life(months: int, measure: str, count: int, compares: str = "after") -> list[Clock]:
    """A life in months and in a count, whichever comes first; then never again."""
    return [
        _months(months, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
        Clock(
            measure,
            [Amount(count)],
            counts_from="manufacture",
            compares=compares,
            runs_out="end_of_life",
        ),
    ]


def _pyramid(first: int, old: int, basis: str) -> list[Amount]:
    """So many months until the unit is 15 years old, then fewer."""
    return [Amount(old, age_from=180, age_basis=basis), Amount(first)]


SLIDES = [
    Limit(
        "SLIDE-OVH",
        "Door slide overhaul",
        "OVERHAUL",
        [
            Clock(
                "months",
                _pyramid(36, 12, "at_work"),
                first_from="manufacture",
                anchor="shop_release",
                runs="store_up_to_cap",
                cap=12,
                before_first=True,
            )
        ],
        "QBR-CMM-2111",
        "12",
        kind="SLIDE",
        extendable=True,
        extension_days=30,
        from_on=from_reference(-420),
        revision="4",
    ),
    Limit(
        "SLIDE-OVH",
        "Door slide overhaul",
        "OVERHAUL",
        [Clock("months", [Amount(36)], first_from="manufacture", anchor="shop_release")],
        "QBR-CMM-2111",
        "11",
        kind="SLIDE",
        until_on=from_reference(-421),
        revision="3",
    ),
    Limit(
        "SLIDE-LIFE",
        "Door slide life",
        "RETIRE",
        _life(240, "INFL", 12, "at"),
        "QBR-CMM-2111",
        "12",
        kind="SLIDE",
    ),
    Limit(
        "RAFT-OVH",
        "Slide-raft overhaul",
        "OVERHAUL",
        [
            Clock(
                "months",
                _pyramid(36, 12, "at_due"),
                first_from="manufacture",
                anchor="shop_release",
            )
        ],
        "QBR-CMM-4421",
        "9",
        kind="RAFT",
        variation_percent="5",
        variation_most=30,
        extendable=True,
        extension_days=60,
    ),
    Limit(
        "OWS-OVH",
        "Overwing slide overhaul",
        "OVERHAUL",
        [
            _months(
                48, first_from="first_installation", anchor="shop_release", never_later_months=300
            )
        ],
        "QBR-CMM-2131",
        "5",
        kind="OWSLIDE",
        extendable=True,
        extension_days=30,
    ),
    Limit(
        "SLIGHT-REP",
        "Slide light unit replacement",
        "EXCHANGE",
        [
            Clock(
                "months",
                [Amount(120, standard="L2"), Amount(96)],
                counts_from="manufacture",
                rounds="month_end",
            )
        ],
        "OLD-CMM-030",
        "2",
        kind="SLIGHT",
    ),
    Limit(
        "SKIT-REP",
        "Survival kit replacement",
        "EXCHANGE",
        [_months(60, counts_from="manufacture", rounds="month_end")],
        "SMB-CMM-08",
        "4",
        kind="SKIT",
    ),
    Limit(
        "DEPLOY-21",
        "Deployment trial of door slides, narrow fleet",
        "DEPLOY",
        [_months(36, first_from="given_date", given_on=from_reference(-800))],
        "VAR-EO-0207",
        "1",
        subject="population",
        kind="SLIDE",
        quota=3,
    ),
]

BOTTLES = [
    Limit(
        "BTL-HYD3",
        "Hydrostatic test, steel bottle",
        "HYDRO",
        [_test(36, 288)],
        "TWV-CMM-720",
        "8",
        parts=["TWV-720"],
    ),
    Limit(
        "BTL-LIFE3",
        "Steel bottle life",
        "RETIRE",
        _life(288, "FILL", 4380),
        "TWV-CMM-720",
        "8",
        parts=["TWV-720"],
    ),
    Limit(
        "BTL-HYD5C",
        "Hydrostatic test, composite bottle",
        "HYDRO",
        [_test(60, 180)],
        "TWV-CMM-755",
        "3",
        parts=["TWV-755"],
    ),
    Limit(
        "BTL-LIFE5C",
        "Composite bottle life",
        "RETIRE",
        _life(180, "FILL", 5000),
        "TWV-CMM-755",
        "3",
        parts=["TWV-755"],
    ),
    Limit(
        "BTL-HYD5",
        "Hydrostatic test, fuselage bottle",
        "HYDRO",
        [_test(60)],
        "TWV-CMM-760",
        "2",
        parts=["TWV-760"],
    ),
    Limit(
        "CART-LIFE",
        "Cartridge life",
        "EXCHANGE",
        [
            _months(120, counts_from="manufacture", rounds="month_end", runs_out="end_of_life"),
            _months(60, counts_from="this_installation", runs_out="end_of_life"),
        ],
        "TWV-CMM-C18",
        "6",
        kind="CART",
    ),
    Limit(
        "DCY-HYD",
        "Hydrostatic test, door cylinder",
        "HYDRO",
        [_test(60)],
        "TWV-CMM-512",
        "4",
        kind="DOORCYL",
    ),
    Limit(
        "DCY-WGT",
        "Door cylinder weight check",
        "WEIGH",
        [_months(24, first_from="manufacture", rounds="month_end")],
        "VAR-MP-35-110",
        "7",
        kind="DOORCYL",
    ),
    Limit(
        "DIR-26-04",
        "Bottle valve check, listed serials, until modified",
        "VALVECHK",
        [
            Clock(
                "days",
                [Amount(90, when="first")],
                first_from="given_date",
                given_on=from_reference(-40),
                never_later_on=from_reference(60),
            ),
            Clock(
                "FH",
                [Amount(500 * HOUR, when="first")],
                first_from="given_date",
                given_on=from_reference(-40),
            ),
            Clock("FC", [Amount(1000, when="repeat")]),
        ],
        "QAA-AD-26-04",
        "original",
        parts=["TWV-720"],
        serials=["T4100..T4119"],
        directive=True,
        paragraph="(a)",
    ),
]

CABIN = [
    Limit(
        "OXY-HYD5",
        "Hydrostatic test, portable oxygen 310",
        "HYDRO",
        [_test(60)],
        "MWB-CMM-310",
        "5",
        parts=["MWB-O310"],
    ),
    Limit(
        "OXY-HYD3",
        "Hydrostatic test, portable oxygen 312",
        "HYDRO",
        [_test(36, 288)],
        "MWB-CMM-312",
        "5",
        parts=["MWB-O312"],
    ),
    Limit(
        "OXY-LIFE",
        "Portable oxygen 312 life",
        "RETIRE",
        _life(288, "FILL", 4380),
        "MWB-CMM-312",
        "5",
        parts=["MWB-O312"],
    ),
    Limit(
        "HOOD-LIFE",
        "Breathing hood life",
        "EXCHANGE",
        [
            _months(
                120,
                counts_from="manufacture",
                runs="store_at_ratio",
                ratio=50,
                never_later_months=180,
                runs_out="end_of_life",
            )
        ],
        "MWB-CMM-H15",
        "3",
        kind="HOOD",
    ),
    Limit(
        "EXT-HYD",
        "Hydrostatic test, extinguisher",
        "HYDRO",
        [
            Clock(
                "months",
                [
                    Amount(144, when="first"),
                    Amount(84, when="repeat", method="proof"),
                    Amount(144, when="repeat", method="water_jacket"),
                ],
                first_from="manufacture",
                anchor="shop_release",
                rounds="month_end",
                runs_out="until_emptied",
            )
        ],
        "CCF-CMM-12",
        "6",
        kind="EXT",
    ),
    Limit(
        "EXT-6Y",
        "Extinguisher six-year maintenance",
        "SIXYEAR",
        [_months(72, first_from="manufacture", rounds="month_end")],
        "CCF-CMM-12",
        "6",
        parts=["CCF-A12"],
        resets=["RECHARGE", "HYDRO"],
    ),
    Limit(
        "EXT-WGT",
        "Extinguisher weight check",
        "WEIGH",
        [_months(12, first_from="this_installation", anchor="original_due")],
        "VAR-MP-26-201",
        "7",
        kind="EXT",
        variation_days=15,
        from_original=True,
    ),
    Limit(
        "VEST-INSP",
        "Crew vest inspection and leak test",
        "INSPECT",
        [_months(60, first_from="first_installation", never_later_months=120)],
        "SMB-CMM-01",
        "3",
        parts=["SMB-A1"],
    ),
    Limit(
        "VEST-REP",
        "Passenger vest replacement",
        "EXCHANGE",
        [_months(120, counts_from="manufacture", rounds="month_end")],
        "SMB-CMM-02",
        "3",
        parts=["SMB-A2"],
    ),
    Limit(
        "AID-REP",
        "First-aid kit replacement",
        "EXCHANGE",
        [_months(36, counts_from="manufacture", rounds="month_end", stamp="start")],
        "VAR-MP-25-310",
        "7",
        kind="AID",
    ),
    Limit(
        "MEGA-FCT",
        "Megaphone function test",
        "FUNCTION",
        [Clock("days", [Amount(365)], first_from="this_installation")],
        "VAR-MP-25-320",
        "7",
        kind="MEGA",
    ),
    Limit(
        "MEGA-MOD",
        "Megaphone label campaign",
        "MODIFY",
        [
            Clock(
                "months",
                [Amount(12, when="first")],
                counts_from="given_date",
                given_on=from_reference(-150),
                compares="at",
            )
        ],
        "VAR-EO-0211",
        "2",
        kind="MEGA",
        manufactured_to=from_reference(-1500),
    ),
    Limit(
        "ELT-BAT",
        "Beacon battery replacement",
        "BATTERY",
        [
            Clock("months", [Amount(share="50")], counts_from="manufacture", rounds="month_end"),
            Clock("USE", [Amount(HOUR)], counts_from="manufacture", compares="after"),
        ],
        "VAR-MP-25-620",
        "7",
        kind="ELTBAT",
    ),
    Limit(
        "ELT-INS",
        "Beacon inspection",
        "INSPECT",
        [_months(12, first_from="this_installation", rounds="month_end")],
        "VAR-MP-25-610",
        "7",
        kind="ELT",
    ),
    Limit(
        "LPK-REP",
        "Emergency light battery pack replacement",
        "EXCHANGE",
        [
            _months(72, counts_from="first_installation", runs="installed_only"),
            Clock(
                "FH",
                [Amount(24000 * HOUR, standard="P2"), Amount(20000 * HOUR)],
                counts_from="manufacture",
            ),
        ],
        "OLD-CMM-060",
        "5",
        kind="LPACK",
    ),
    Limit(
        "FPS-INS",
        "Floor-path strip brightness check, whichever is later",
        "INSPECT",
        [
            _months(24, first_from="this_installation"),
            Clock("FH", [Amount(6000 * HOUR)], first_from="this_installation"),
        ],
        "VAR-MP-33-510",
        "7",
        kind="FPATH",
        when="last",
    ),
]

DOOR_POSITIONS = sorted(
    {spot.code for spots in POSITIONS.values() for spot in spots if spot.kind in {"SLIDE", "RAFT"}}
)
PLACES = [
    Limit(
        "DOOR-GIRT",
        "Girt bar fittings at the door, inspection",
        "INSPECT",
        [_months(24, first_from="given_date", given_on=from_reference(-700))],
        "VAR-MP-52-130",
        "7",
        subject="position",
        positions=DOOR_POSITIONS,
    ),
    Limit(
        "ELS-TEST",
        "Emergency lighting system test, ten minutes",
        "FUNCTION",
        [
            Clock(
                "FH", [Amount(3000 * HOUR)], first_from="given_date", given_on=from_reference(-700)
            ),
            _months(12, first_from="given_date", given_on=from_reference(-700)),
        ],
        "VAR-MP-33-500",
        "7",
        subject="aircraft",
        variation_minutes=150 * HOUR,
        variation_days=10,
    ),
]

LIMITS = [*SLIDES, *BOTTLES, *CABIN, *PLACES]


def _of_lessor(limit: Limit) -> Limit:
    """The same rule in the lessor's own document. Of rafts it leaves out each time in store."""
    clocks = limit.clocks
    if limit.code == "RAFT-OVH":
        clocks = [replace(clocks[0], runs="store_up_to_cap", cap=6, cap_each=True)]
    return replace(
        limit,
        clocks=clocks,
        document=f"ILM-{limit.document}",
        document_revision="2",
        revision="1",
        quota=None,
    )


LESSOR_LIMITS = [
    _of_lessor(limit)
    for limit in LIMITS
    if limit.kind != "SLIDE" and limit.subject != "population" and not limit.directive
]
