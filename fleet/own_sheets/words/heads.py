"""What headings say: which fact a column holds, of which work, and whether it is the last or the next one."""

from __future__ import annotations

import re
from typing import NamedTuple

from .counts import CYCLES, HOURS, NAMES, counted_in
from .marks import bare
from .tongues import in_english

#: What a column can be, in words; works are added as ``done:CODE``, ``next:CODE``, ``interval:CODE``.
ROLES = {
    "aircraft": "Aircraft (registration)",
    "type": "Aircraft type",
    "msn": "Aircraft's serial number (MSN)",
    "position": "Where it is fitted",
    "item": "What it is",
    "part": "Part number",
    "serial": "Serial number",
    "part_serial": "Part and serial number in one cell",
    "maker": "Maker",
    "made": "Date of manufacture",
    "fitted": "Date of installation",
    "station": "Station or stores",
    "work": "Which work (one line for each work)",
    "quantity": "Quantity",
    "remarks": "Remarks",
    "spec": "Cylinder: specification stamped on it",
    "service": "Cylinder: service pressure",
    "proof": "Cylinder: test pressure",
    "stamp_marks": "Cylinder: marks (+, ★, E)",
    "requalifier": "Cylinder: requalifier's number (RIN)",
    "note": "Keep it as a note of the unit, with its heading",
    "tsn": "Hours since new",
    "csn": "Cycles since new",
    "tso": "Hours since overhaul",
    "cso": "Cycles since overhaul",
    "hours": "Aircraft hours",
    "cycles": "Aircraft cycles",
    "read_on": "Day the aircraft's totals were read",
    "": "Leave this column out",
}
#: Totals of the unit itself; of the aircraft where a sheet lists no units.
UNIT_TOTALS = {"tsn": "hours", "csn": "cycles", "tso": "", "cso": ""}
#: A column may be these oftener than once in one sheet.
MANY = frozenset({"remarks", "note", "left", "number", ""})
DONE, NEXT, INTERVAL, LEFT = "done", "next", "interval", "left"
ASPECTS = {DONE: "last done", NEXT: "next due", INTERVAL: "interval"}
#: The same in hours and in cycles, as ``next-fh``: by aspect and measure.
COUNTED = {
    f"{aspect}-{measure}": (aspect, measure)
    for measure in (HOURS, CYCLES)
    for aspect in (DONE, NEXT, INTERVAL, LEFT)
}
_IN_COUNTS = {DONE: "total at the last", NEXT: "next due at", INTERVAL: "interval", LEFT: "left"}
ASPECTS |= {
    name: f"{_IN_COUNTS[aspect]}, {NAMES[measure]}" for name, (aspect, measure) in COUNTED.items()
}

#: Works by code: name, and the words that mean it.
WORKS: dict[str, tuple[str, str]] = {
    "OVH": (
        "Overhaul",
        r"OVERHAUL\w*|O HAUL\w*|OVH|OVHL|O H|OH|SHOP VISIT|REVISION GENERALE|UBERHOLUNG",
    ),
    "HST": (
        "Hydrostatic test",
        r"HYDRO\w*( STATIC)?( TEST)?|HST|H T|HYD( TEST)?|PRESSURE TEST|PROOF TEST|H S T",
    ),
    "WGT": ("Weight check", r"WEIGH\w*( CHECK)?|WT( CHECK| CHK)?|WGT"),
    "BATT": ("Battery replacement", r"BATTER(Y|IES)( REPL\w*| CHANGE)?|BATT?( REPL\w*| CHANGE)?"),
    "REPACK": ("Repack", r"RE ?PACK(ING)?"),
    "CHARGE": ("Recharge", r"RE ?CHARGE|RE ?FILL|CHARGED|FILLED"),
    "FUNC": (
        "Functional test",
        r"FUNC\w*( TEST| CHECK)?|OPS (CHECK|TEST)|OPERATIONAL (TEST|CHECK)|BENCH TEST",
    ),
    "INSP": ("Inspection", r"INSPECT\w*|INSP|VIS(UAL)?( CHECK)?|DETAILED CHECK"),
    "CALIB": ("Calibration", r"CALIBRAT\w*|CAL"),
    "SIXYEAR": ("Six-year maintenance", r"(6|SIX) ?(YEAR|YR|Y)( MAINT\w*)?"),
    "LIFE": (
        "End of life",
        r"LIFE( LIMIT)?|LLP|S ?L ?L|SHELF LIFE|SERVICE LIFE|EXPIR\w*|EXP|RETIRE\w*|DISCARD|SCRAP\w*",
    ),
    "TEST": ("Test", r"TEST(ED)?"),
}
_ROLE_WORDS: dict[str, str] = {
    "type": r"(A C |AC |AIRCRAFT |FLEET )?(TYPE|MODEL|VARIANT)|TYPE OF (A C|AIRCRAFT)",
    "msn": r"MSN|(A C|AC|AIRCRAFT) (S N|SERIAL( NO| NUMBER)?)|MANUFACTURER S SERIAL.*|CONSTRUCTOR\w* (NO|NUMBER)",
    "aircraft": r"A C|AC|AIRCRAFT|(A C |AC |AIRCRAFT )?REG(N|ISTRATION)?S?( NO| MARKS?| MARK)?|TAIL( NO| NUMBER| #)?|SHIP( NO)?"
    r"|KENNZEICHEN|IMMATRICULATION|MATRICULA",
    "part_serial": r"(P N|PN|PART( NO| NUMBER)?) (AND |OR )?(S N|SN|SERIAL( NO| NUMBER)?)|P N S N",
    "part": r"(MFR |OEM )?(P N|PN|PNR|P N (NO|NR)|PART|PART (NO|NR|NUMBER|#)|P NO|P NUMBER)S?|TEILENUMMER|REFERENCE",
    "serial": r"(EQUIP(MENT)? |UNIT |ASSET |TAG |COMPONENT )?ID( NO)?|(ASSET|TAG|UNIT) (NO|NUMBER)|(S N|SN|SNR|SER|SERIAL|(SER|SERIAL) (NO|NR|NUMBER|#)|S NUMBER|BATCH( NO)?)S?|SERIENNUMMER|NUMERO DE SERIE",
    "position": r"(\w+ )?POSN?|(\w+ )?POSITION( CODE)?|SEAT( NO)?|STOWAGE|(INSTALLED|FITTED|INST) (AT|IN|POSITION|LOCATION)"
    r"|LOCN?|LOCATION|PLACE|WHERE( FITTED)?|DOOR|ZONE|EINBAUORT|POSICION|EMPLACEMENT",
    "item": r"ITEM( DESCRIPTION| NAME)?|DESCRIPTIONS?|DESCR?|COMPONENT( NAME)?|EQUIPMENT( TYPE)?|EQPT|NOMENCLATURE|KIND|UNIT|PART NAME"
    r"|WHAT|NAME|BEZEICHNUNG|DESIGNATION|DESCRIPCION|EQUIPEMENT",
    "maker": r"MFR|MANUFACTURER|MAKER|VENDOR|OEM|CAGE( CODE)?|MAKE|BRAND|SUPPLIER|HERSTELLER|FABRICANT",
    "made": r"DOM|D O M|MFD|MFG|DMF|(MFG|MFD|MFR|MANUF|BUILD|PRODUCTION|BIRTH)( DATE| DT| D)?|DATE (OF )?(MFG|MFR|MFD|MANUF\w*|BUILD|PRODUCTION)"
    r"|MANUFACTURED?( ON| DATE)?|MADE( ON)?|NEW|YEAR( BUILT| OF MANUFACTURE| MADE)?|BUILT|LABEL DATE|MONTH YEAR|HERSTELLDATUM|DATE DE FABRICATION|FECHA DE FABRICACION",
    "fitted": r"INST(ALL|ALLED|ALLATION|L|D)?( DATE| ON| DT)?|(DATE )?(FITTED|INSTALLED|INST)( ON)?|DATE (OF )?(INST\w*|FITMENT)|FIT DATE|ON DATE"
    r"|EINBAUDATUM|MONTE LE",
    "work": r"TASKS?( DESCRIPTION| NAME| TYPE)?|WORKS?( TYPE| REQUIRED| DUE)?|CHECK TYPE|MAINTENANCE( TASK)?|ACTION( REQUIRED)?|REQUIREMENT"
    r"|INSPECTION TYPE|TYPE OF (WORK|CHECK|INSPECTION|TASK)|JOB|ARBEIT",
    "station": r"STN|BASE|STATION|STORES?( LOCATION)?|WAREHOUSE|HANGAR|BIN|SHELF",
    "quantity": r"QTY|QUANTITY|NO OFF|QUANT|PCS|MENGE",
    "remarks": r"REMARKS?|RMKS?|NOTES?|COMMENTS?|OBS(ERVATIONS?)?|INFO|BEMERKUNG(EN)?|REMARQUES?|OBSERVACIONES",
    "spec": r"(DOT |ICC |TC |CYL(INDER)? )*SPEC(IFICATION)?( NO)?|DOT|DOT (CLASS|TYPE|NO|MARKING)",
    "service": r"(SVC|SERVICE|SERV|WORKING|WORK|RATED) PRESS?(URE)?( PSIG?| BAR)?",
    "proof": r"(TEST|PROOF) PRESS?(URE)?( PSIG?| BAR)?|TP",
    "stamp_marks": r"(CYL(INDER)? |STAMP |TEST )?MARK(ING)?S?",
    "requalifier": r"RIN( NO)?|REQUALIFIER( NO| ID| NUMBER)?|REQUAL(IFIED)? BY|TESTER( NO| ID)?|TEST (STATION|FACILITY|HOUSE)( NO)?",
    "note": r"(CHARGE|FILL) PRESS(URE)?( PSIG?| BAR)?|TESTED BY|CAPACITY|EMPTY WEIGHT|FULL WEIGHT|TARE",
    "read_on": r"(READING|TOTALS?|AS) (DATE|AT|OF|ON)( DATE)?|DATE OF READING",
    "tsn": r"(T?TSN|(TOTAL )?TIME SINCE NEW|HOURS SINCE NEW|FH SINCE NEW)( FH| HRS| HOURS| HH MM)?",
    "csn": r"(T?CSN|CYCLES SINCE NEW|FC SINCE NEW)( FC| CYC| CYCLES)?",
    "tso": r"(TSOH?|(TIME|HOURS|FH) SINCE (OVERHAUL|OVH|OH|O H))( FH| HRS| HOURS| HH MM)?",
    "cso": r"(CSOH?|(CYCLES|FC) SINCE (OVERHAUL|OVH|OH|O H))( FC| CYC| CYCLES)?",
    "hours": r"(TOTAL |FLIGHT |A C |AC )*(HOURS|HRS|FH|FLT HRS)( TOTAL)?|((A C|AC|AIRFRAME) )?(TTAF|TAT|TT|T T|TOTAL TIME)|F H|H",
    "cycles": r"(TOTAL |FLIGHT |A C |AC )*(CYCLES|CYC|CYCS|FC|LANDINGS|LDGS?)( TOTAL)?|TAC|F C|C",
    "left": r"(DAYS|MONTHS|TIME|LIFE)? ?(LEFT|REMAINING|REMAIN|REM|TO GO|TO RUN|TOGO)( DAYS| DYS| D)?|DAYS|STATUS|DUE IN|OVERDUE.?|ALERT",
    "number": r"NO|NR|#|LINE( NO)?|SEQ|S NO|SL NO|ITEM (NO|#|NR)|LFD NR|REF( NO)?|ROW|POS NR",
}
_ASPECT_WORDS = {
    NEXT: r"NEXT( DUE)?( DATE)?|NXT|N D|DUE( DATE| ON)?|EXPIRES?( ON)?|EXPIRY( DATE)?|EXP( DATE)?|VALID( UNTIL| TO)?|UNTIL|DEADLINE|FORECAST|FALLIG|ECHEANCE|PROXIMO"
    r"|LIMIT DATE",
    INTERVAL: r"INTERVAL|INTVL|PERIOD(ICITY)?|FREQ(UENCY)?|EVERY|CYCLE TIME|LIMIT (MONTHS|MTHS|YEARS|YRS|DAYS)|(MONTHS|MTHS|YRS|YEARS)|INTERVALL",
    DONE: r"(LAST|PREV(IOUS)?)( \w+)?|DONE( DATE| ON)?|DATE( DONE)?|PERFORMED|C W|CW|COMPLIED|ACCOMPLISHED|CERT( DATE)?|LD|L D|ON|ZULETZT|DERNIER\w*|ULTIMO",
}


class Head(NamedTuple):
    """What a heading says: a role (with its work), and how surely (0 not at all, 3 whole heading)."""

    role: str
    sure: int


_WHOLE = {role: re.compile(words) for role, words in _ROLE_WORDS.items()}
_WORK = {code: re.compile(rf"(?<!\S)(?:{words})(?!\S)") for code, (_, words) in WORKS.items()}
_ASPECT = {
    aspect: re.compile(rf"(?<!\S)(?:{words})(?!\S)") for aspect, words in _ASPECT_WORDS.items()
}
_MEASURED = re.compile(r"\b(MONTHS?|MTHS?|YEARS?|YRS?|DAYS?|M|Y|D)\b")
_UNITS = re.compile(r"\b(DD|MM|MMM|YY|YYYY|DATE|FORMAT|KG|LBS?)\b")


def head_of(text: str) -> Head:
    """What one heading, rows joined, says by its words alone."""
    words = " ".join(bare(text).replace("#", " # ").split())
    if not words:
        return Head("", 0)
    found = _head(words)
    if found.sure >= 2:
        return found
    english = bare(in_english(words))
    if english != words:
        found = max(found, _head(english), key=lambda head: head.sure)
        words = english
    long = " ".join(map(_in_full, words.split()))
    return max(found, _head(long), key=lambda head: head.sure) if long != words else found


#: Words of headings that are cut short at any length: NOMEN, EQUIP, POSIT.
_CUT = (
    "NOMENCLATURE|POSITION|LOCATION|REGISTRATION|AIRCRAFT|MANUFACTURER|DESCRIPTION|EQUIPMENT|COMPONENT|QUANTITY"
    "|SERIAL|NUMBER|OVERHAUL|HYDROSTATIC|WEIGHT|INSTALLED|INSPECTION|CALIBRATION|REMARKS|STATION"
)
_LONG = re.findall(r"\w+", _CUT)


def _in_full(word: str) -> str:
    """A word cut short after four letters or more, as a whole; others as they are."""
    return next((long for long in _LONG if len(word) >= 4 and long.startswith(word)), word)


def _head(words: str) -> Head:
    """What bare words say."""
    short = " ".join(_UNITS.sub(" ", words).split())
    return (
        _whole(words)
        or _dated(words)
        or (_whole(short) if short else None)
        or next(
            (
                Head(role, 1)
                for role, pattern in _WHOLE.items()
                if role not in _ONLY_WHOLE and _holds(pattern, words)
            ),
            Head("", 0),
        )
    )


_ONLY_WHOLE = frozenset({"left", "number", "hours", "cycles", *UNIT_TOTALS})


def _whole(words: str) -> Head | None:
    return next((Head(role, 3) for role, p in _WHOLE.items() if p.fullmatch(words)), None)


def _holds(pattern: re.Pattern[str], words: str) -> bool:
    """Whether some run of whole words is what the pattern means."""
    parts = words.split()
    runs = (" ".join(parts[i:j]) for i in range(len(parts)) for j in range(i + 1, len(parts) + 1))
    return any(len(run) > 1 and pattern.fullmatch(run) for run in runs)


def _dated(words: str) -> Head | None:
    """A heading of a work, of its last or next time, or of both."""
    if (counted := _counted(words)) is not None:
        return counted
    code, rest = work_in(words)
    aspect = _aspect_in(rest or words)
    if code == "LIFE" and aspect != INTERVAL:
        aspect = aspect if aspect == DONE and re.search(r"LAST|DONE", words) else NEXT
    if code:
        return Head(f"{aspect or DONE}:{code}", 3 if aspect else 2)
    plain = " ".join(_MEASURED.sub(" ", words).split())
    aspect = next(
        (name for name, p in _ASPECT.items() if p.fullmatch(words) or p.fullmatch(plain)), ""
    )
    return Head(f"{aspect}:", 2) if aspect else None


_ADDED = re.compile(r"(?<!\S)(?:INTERVAL|INTVL|INT|FREQ|FREQUENCY|EVERY|PERIODICITY)(?!\S)")
_LEFT = re.compile(r"(?<!\S)(?:LEFT|REMAINING|REMAIN|REMG?|REMNG|TO GO|TO RUN|TOGO|BALANCE)(?!\S)")
_LIMIT = re.compile(r"(?<!\S)(?:LIMIT|LIM|LIMITATION|TBO)(?!\S)")


def _aspect_in(words: str) -> str:
    """The aspect that words name; an interval, where they name another beside it."""
    if _ADDED.search(words):
        return INTERVAL
    return next((name for name, pattern in _ASPECT.items() if pattern.search(words)), "")


def _counted(words: str) -> Head | None:
    """A heading of a work in hours or cycles: the total at the last or next one, the interval, what is left."""
    measure, rest = counted_in(words)
    if not measure or not rest:
        return None
    code, other = work_in(rest)
    if _LEFT.search(other or rest):
        return Head(f"{LEFT}-{measure}:{code}", 3)
    aspect = _aspect_in(other or rest)
    if not aspect and _LIMIT.search(other or rest):
        aspect = INTERVAL
    if code == "LIFE" and aspect != DONE:
        aspect = INTERVAL  # so many hours of life are its end and its interval
    if not code and not aspect:
        return None
    return Head(f"{aspect or DONE}-{measure}:{code}", 3 if aspect else 2)


def work_in(words: str) -> tuple[str, str]:
    """The code of the work that words (bare) mean, empty for none, and what is left of them."""
    for code, pattern in _WORK.items():
        if found := pattern.search(words):
            return code, " ".join((words[: found.start()] + words[found.end() :]).split())
    return "", words


def is_aspect(text: str) -> bool:
    """Whether a heading only makes sense below another, such as NEXT under OVERHAUL."""
    words = bare(text)
    return any(pattern.fullmatch(words) for pattern in _ASPECT.values())


def work_name(code: str) -> str:
    """What a work is called."""
    return WORKS[code][0] if code in WORKS else code.replace("-", " ").capitalize()
