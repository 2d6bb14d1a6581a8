"""Words for what a unit is, to kinds of equipment."""

from __future__ import annotations

import re
from collections.abc import Mapping

from .marks import bare
from .tongues import in_english

#: Code and name of a kind, and the words that mean it; the first that is found counts.
KINDS: tuple[tuple[str, str, str], ...] = (
    (
        "SLIDE-BTL",
        "Slide bottle",
        r"(SLIDE|RAFT|INFLATION|EVAC\w*).*\b(BOTTLE|BTL|CYL\w*|RESERVOIR)|RESERVOIR|INFLATION BOTTLE",
    ),
    ("SLIDE-LIGHT", "Slide light", r"(SLIDE|RAFT).*\b(LIGHT|LT)S?\b"),
    ("SLIDE-BATT", "Slide battery", r"(SLIDE|RAFT).*\bBATT\w*"),
    ("SLIDERAFT", "Slide raft", r"SLIDE ?(/ )?RAFT"),
    ("SLIDE", "Escape slide", r"SLIDE|ESCAPE CHUTE"),
    ("RAFT", "Life raft", r"RAFT"),
    (
        "DOORCYL",
        "Door cylinder",
        r"DOOR.*\b(CYL\w*|ACTUATOR|BOTTLE|BTL)|(POWER|EMER\w*) (ASSIST|OPENING).*",
    ),
    ("PBE", "Smoke hood", r"PBE|SMOKE ?HOODS?|PROTECTIVE BREATHING.*"),
    ("OXYGEN", "Oxygen cylinder", r"(PORT\w* |CREW |PAX )?(OXY\w*|O2|OX)\b.*|THERAPEUTIC.*"),
    (
        "FIREX",
        "Fire extinguisher",
        r".*EXTINGUISHER.*|FIRE (BOTTLE|BTL|EXT\w*)|EXT(ING)?S?|BCF|HALON.*|FEX|PFE",
    ),
    ("VEST", "Life vest", r"(LIFE ?)?(VEST|JACKET)S?|LIFEVEST"),
    ("ELT", "Locator beacon", r"ELT\w*|(LOCATOR|EMER\w*) ?(BEACON|TRANSMITTER).*|BEACON|ULB|PLB"),
    ("FLASHLIGHT", "Flashlight", r"FLASH ?LIGHT|TORCH"),
    (
        "EMLIGHT-BATT",
        "Emergency light battery",
        r"(EMER\w*|FLOOR|EXIT|EPSU|EPPU).*\b(BATT\w*|PACK)|EPSU|EPPU|BATT\w* PACK",
    ),
    ("EMLIGHT", "Emergency light", r"(EMER\w*|FLOOR|EXIT).*\b(LIGHT|LT)S?|LIGHT"),
    ("MEGAPHONE", "Megaphone", r"MEGA ?PHONE|LOUD ?HAILER"),
    (
        "FIRSTAID",
        "First aid kit",
        r"FIRST AID.*|FAK|MEDICAL KIT|(EMER\w* )?MED\w* KIT|EMK|DOCTOR.*KIT",
    ),
    ("KIT", "Survival kit", r"SURVIVAL.*|KIT"),
    ("AXE", "Crash axe", r"(CRASH |FIRE )?AXE|CROWBAR"),
    ("BATTERY", "Battery", r"BATTERY|BATT|BATTERIES"),
    ("BOTTLE", "Bottle", r"BOTTLE|BTL|CYL(INDER)?"),
)
_PATTERNS = tuple(
    (code, name, re.compile(rf"(?<!\S)(?:{words})(?:S|ES)?(?!\S)")) for code, name, words in KINDS
)
#: A part of the words that says which, not what.
_SMALL = re.compile(r"\b(ASSY|ASSEMBLY|ASSEMBLIES|UNIT|COMPLETE)\b")


_COMES_WITH = re.compile(
    r"(?<=\S)\s+(?:W/|C/W\b|WITH\b|INCL\b|INCLUDING\b).*", re.IGNORECASE | re.DOTALL
)


def _itself(word: str) -> str:
    """A text without what comes with the unit: a slide with its bottle is a slide."""
    return _COMES_WITH.sub("", word)


def kind_of(word: str, known: Mapping[str, str]) -> tuple[str, str]:
    """Code and name of the kind that a word means; a kind on record (code to name) before others.

    A word that is not known becomes a kind of its own name.
    """
    words = bare(_SMALL.sub(" ", in_english(bare(_itself(word)))))
    for code, name in known.items():
        if words in {bare(code), bare(name)}:
            return code, name
    for code, name, pattern in _PATTERNS:
        if pattern.search(words):
            same = next((key for key, said in known.items() if bare(said) == bare(name)), code)
            return same, known.get(same, name)
    code = bare(word).replace(" ", "-")[:24].strip("-") or "UNIT"
    return code, (word.strip().capitalize() or "Unit")[:80]


def is_item(word: str) -> bool:
    """Whether a text is a word for a kind of equipment that is known here."""
    words = in_english(bare(_itself(word)))
    return bool(words) and len(words) < 60 and any(p.search(words) for _, _, p in _PATTERNS)
