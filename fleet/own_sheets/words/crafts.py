"""Registrations, and the words that say *on no aircraft*."""

from __future__ import annotations

import re
from functools import lru_cache

from .marks import bare
from .tongues import in_english

REGISTRATION = re.compile(
    r"(?=.{4,8}$)[A-Z0-9]{1,2}-?[A-Z]{2,5}\d?|[A-Z]{1,2}-[A-Z0-9]{3,5}|N\d{1,5}[A-Z]{0,2}"
)
_SPARES = re.compile(
    r"\b(SPARES?|STORES?|STOCK|SHELF|WAREHOUSE|UNINSTALLED|NOT INSTALLED|OFF AIRCRAFT|SERVICEABLE|POOL)\b"
)


@lru_cache(maxsize=20_000)
def is_spares(text: str) -> bool:
    """Whether a section word, a place or a sheet's name says that what it stands for is on no aircraft."""
    return bool(_SPARES.search(in_english(bare(text))))


@lru_cache(maxsize=20_000)
def registration_in(text: str) -> str:
    """The registration that a text holds as a word of its own; empty if none."""
    for word in re.split(r"[\s,;:()/]+", text.upper()):
        if REGISTRATION.fullmatch(word) and "-" in word:
            return word
    return ""
