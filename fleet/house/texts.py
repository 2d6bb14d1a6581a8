"""Texts that an act keeps: what cannot be kept is refused in one way, whoever asks."""

from __future__ import annotations

from .refusals import Refusal, Refused


def why_not_kept(text: str, field: str, most: int, blank: str = "") -> list[Refusal]:
    """Why a text cannot be kept as it stands, at its field; nothing if it can.

    ``too_long`` of more than ``most`` characters, ``unreadable`` of what no database holds, and
    ``missing`` of nothing but blanks, with the sentence ``blank``; without one it may be blank.
    """
    if len(text) > most:
        return [Refusal("too_long", f"No longer than {most} characters, please.", field)]
    if "\x00" in text:
        return [Refusal("unreadable", "This cannot be read. Type it again.", field)]
    if blank and not text.strip():
        return [Refusal("missing", blank, field)]
    return []


def refuse_blank(text: str, sentence: str, field: str, most: int) -> str:
    """The text without blanks around it; this will refuse none at all, with the sentence, one that is
    longer than ``most`` and one that cannot be read."""
    return _kept(text, field, most, sentence)


def refuse_long(text: str, field: str, most: int) -> str:
    """The text without blanks around it, which may be none; refuses as ``refuse_blank`` does else."""
    return _kept(text, field, most, "")


def _kept(text: str, field: str, most: int, blank: str) -> str:
    text = text.strip()
    if refusals := why_not_kept(text, field, most, blank):
        raise Refused.all_of(refusals)
    return text
