"""The columns of the sheets 'Limits', 'Clocks' and 'Amounts'."""

from __future__ import annotations

from fleet.intake.columns import CHOICE, CODE, COUNT, DAY, HOURS, LIST, NUMBER, TOTAL, YES_NO
from fleet.intake.registry import Column
from fleet.loading.plain import choices_of
from scheduling.models import Amount, Clock, Limit

from .programmes import PROGRAMME

_LIMIT = Column("Limit", "limit", CODE, True, "Code of the limit.", ("limit code", "code"), most=40)
_OF_LIMIT = (
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
        meaning="each unit, each position, each aircraft, or a sample of the units; blank: each unit.",
        choices=dict(Limit.SUBJECTS),
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
        meaning="first of its clocks, or last; blank: first.",
        choices={"first": "first of its clocks", "last": "last"},
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
)

CLOCK_COLUMNS = (
    *_OF_LIMIT,
    Column(
        "Clock",
        "clock",
        COUNT,
        True,
        "Order of the clock in the limit: 1, 2 ...",
        ("clock no", "seq"),
    ),
    Column("Measure", "measure", CODE, True, "months, days, or the code of a measure.", most=16),
    Column(
        "Amount",
        "amount",
        TOTAL,
        meaning="How much it allows, where that is one figure; else use 'Amounts'. Hours as 12000:00.",
    ),
    Column(
        "Counts from",
        "counts_from",
        CHOICE,
        True,
        "manufacture, first installation, this installation, last done, or a given date.",
        choices=dict(Clock.STARTS),
    ),
    Column(
        "First from",
        "first_from",
        CHOICE,
        meaning="What it counts from when the work was never done.",
        choices=dict(Clock.STARTS),
    ),
    Column("Given on", "given_on", DAY, meaning="The given date."),
    Column(
        "Last done by",
        "anchor",
        CHOICE,
        meaning="Which date of the last work counts; blank: the aircraft's release date.",
        aliases=("anchor",),
        choices=choices_of(Clock, "anchor"),
    ),
    Column(
        "Runs",
        "runs",
        CHOICE,
        meaning="always, while installed only, in store at a ratio, or time in store not counted up to a cap.",
        choices=dict(Clock.RUNS),
    ),
    Column(
        "Store ratio (percent)", "store_ratio_percent", COUNT, meaning="How fast it runs in store."
    ),
    Column(
        "Store cap (months)",
        "store_cap_months",
        COUNT,
        meaning="Time in store not counted, at most.",
    ),
    Column(
        "Cap each time",
        "store_cap_each",
        YES_NO,
        meaning="yes: the cap counts each time in store anew.",
    ),
    Column(
        "Before first fitting only",
        "store_before_first_fitting",
        YES_NO,
        meaning="yes: only time in store before the first fitting.",
    ),
    Column(
        "Rounds",
        "rounds",
        CHOICE,
        meaning="to the day, or end of month; blank: to the day.",
        choices=choices_of(Clock, "rounds"),
    ),
    Column(
        "Month-only stamp",
        "month_only_stamp",
        CHOICE,
        meaning="good to the end of its month, or its first day.",
        choices=choices_of(Clock, "month_only_stamp"),
    ),
    Column(
        "Compares",
        "compares",
        CHOICE,
        meaning="after the amount, or at the amount.",
        choices=choices_of(Clock, "compares"),
    ),
    Column("Never later on", "never_later_on", DAY, meaning="An absolute backstop."),
    Column(
        "Never later (months)",
        "never_later_months",
        COUNT,
        meaning="A backstop in months from manufacture.",
    ),
    Column(
        "When it runs out",
        "runs_out",
        CHOICE,
        meaning="may not fly; may stay until emptied, not be refilled or installed; or end of life, never again.",
        aliases=("runs out",),
        choices=choices_of(Clock, "runs_out"),
    ),
)

AMOUNT_COLUMNS = (
    *_OF_LIMIT,
    Column("Clock", "clock", COUNT, True, "Order of the clock in the limit.", ("clock no",)),
    Column(
        "Order",
        "order",
        COUNT,
        True,
        "The first amount, in this order, that fits counts.",
        ("seq", "amount no"),
    ),
    Column("Amount", "amount", TOTAL, meaning="Months, days, hours as 12000:00, or a count."),
    Column(
        "Share (percent)", "share_percent", NUMBER, meaning="Instead: a share of the stated life."
    ),
    Column(
        "Time",
        "when",
        CHOICE,
        meaning="any time, first time, or repeat; blank: any time.",
        aliases=("when",),
        choices=choices_of(Amount, "when"),
    ),
    Column("Age from (months)", "age_from_months", COUNT, meaning="Only from this age on."),
    Column(
        "Age",
        "age_basis",
        CHOICE,
        meaning="age when the work was done, or age when it falls due.",
        aliases=("age basis",),
        choices=choices_of(Amount, "age_basis"),
    ),
    Column("Method", "method", meaning="Only after last work by this method.", most=24),
    Column("Standard", "standard", CODE, meaning="Only at this modification standard.", most=24),
)
