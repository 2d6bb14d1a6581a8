"""The columns of the sheet 'Limits', and those that name a limit in the sheets of what belongs to it."""

from __future__ import annotations

from fleet.intake.columns import CHOICE, CODE, COUNT, DAY, HOURS, LIST, NUMBER, YES_NO
from fleet.intake.registry import Column
from scheduling.engine.basis.words import SUBJECTS, WHENS, choices, listed

from .programmes import PROGRAMME

_LIMIT = Column("Limit", "limit", CODE, True, "Code of the limit.", ("limit code", "code"), most=40)
OF_LIMIT = (
    PROGRAMME,
    _LIMIT,
    Column(
        "Revision",
        "revision",
        CODE,
        meaning="The limit's revision; may be blank where it has one only.",
        aliases=("rev",),
        most=24,
    ),
)

LIMIT_COLUMNS = (
    PROGRAMME,
    _LIMIT,
    Column("Revision", "revision", CODE, True, "The limit's revision.", ("rev",), most=24),
    Column("Title", "title", needed=True, meaning="What it asks for, in words.", most=120),
    Column("Work", "work", CODE, True, "Code of the work that falls due.", most=24),
    Column(
        "Subject",
        "subject",
        CHOICE,
        meaning=f"{listed(SUBJECTS)}; blank: each unit.",
        choices=choices(SUBJECTS),
    ),
    Column("Document", "document", needed=True, meaning="The source."),
    Column(
        "Document revision",
        "document_revision",
        CODE,
        True,
        "The source's revision.",
        ("document rev",),
        most=24,
    ),
    Column(
        "From",
        "from_on",
        DAY,
        meaning="First day in force; blank: always was.",
        aliases=("in force from",),
    ),
    Column("Until", "until_on", DAY, meaning="Last day in force.", aliases=("in force until",)),
    Column(
        "When",
        "when",
        CHOICE,
        meaning=f"{listed(WHENS)}; blank: first.",
        choices=choices(WHENS),
    ),
    Column("Directive", "is_directive", YES_NO, meaning="yes if an authority or maker imposes it."),
    Column("Paragraph", "paragraph", meaning="The directive's paragraph.", most=24),
    Column("Kind", "kind", CODE, meaning="Only units or positions of this kind.", most=24),
    Column(
        "Part numbers",
        "part_numbers",
        LIST,
        meaning="Only these; as NUMBER, or MAKER:NUMBER where two make it.",
    ),
    Column("Standards", "standards", LIST, meaning="Only these modification standards."),
    Column(
        "Serial numbers",
        "serials",
        LIST,
        meaning="Only these; a range as FIRST..LAST.",
        aliases=("serials",),
    ),
    Column(
        "Manufactured from",
        "manufactured_from",
        DAY,
        meaning="Only units made on or after this day.",
    ),
    Column(
        "Manufactured to", "manufactured_to", DAY, meaning="Only units made on or before this day."
    ),
    Column("Positions", "positions", LIST, meaning="Only these position codes."),
    Column(
        "MSNs",
        "msns",
        LIST,
        meaning="Only these aircraft; a range as FIRST..LAST.",
        aliases=("msn",),
    ),
    Column("Quota", "quota", COUNT, meaning="How many of the sample."),
    Column("Variation days", "variation_days", COUNT, meaning="Permitted variation in days."),
    Column(
        "Variation percent",
        "variation_percent",
        NUMBER,
        meaning="Permitted variation as a share of the interval.",
    ),
    Column("Variation days at most", "variation_days_most", COUNT, meaning="Caps the percentage."),
    Column("Variation hours", "variation_minutes", HOURS, meaning="Permitted variation in hours."),
    Column(
        "Variation count",
        "variation_count",
        COUNT,
        meaning="Permitted variation in cycles or another count.",
    ),
    Column(
        "Next from original due",
        "next_from_original_due",
        YES_NO,
        meaning="yes if work inside the variation counts from the original due date.",
    ),
    Column("Extendable", "is_extendable", YES_NO, meaning="yes if it can be extended."),
    Column("Extension days at most", "extension_days_most", COUNT),
    Column("Extension hours at most", "extension_minutes_most", HOURS),
    Column("Extension count at most", "extension_count_most", COUNT),
    Column(
        "Also reset by",
        "also_reset_by",
        LIST,
        meaning="Codes of other works that restart it.",
        aliases=("resets",),
    ),
    Column("Reason", "reason", meaning="Why it was revised.", most=200),
)
