"""Why a unit may not be used: one pure rule, asked by whoever would set aside, issue, fit or load it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from fleet.house.refusals import Refusal
from fleet.words.said import day_words


@dataclass(frozen=True, slots=True)
class TitleFact:
    """Whose a unit is: ``restriction`` as the owner words it, ``return_by`` the last day we may have it."""

    owner: str
    restriction: str = ""
    return_by: date | None = None


@dataclass(frozen=True, slots=True)
class UnitUse:
    """What a use of one unit is judged by, of itself and all inside it; each text empty where nothing is.

    ``at_shop`` is the shop and the order it is away under, ``in_transit`` between which stations it is, ``unserviceable`` and ``holds`` say why,
    ``expired`` is what upper layers say has run out, ``foreign`` what its title forbids,
    ``reserved_for`` another need and ``reserved_by`` who set it aside, ``issued_to`` whom it was handed to. ``empty_inside`` names positions
    inside with nothing on record, ``dual_release_for`` the rules that ask for a certificate of both
    authorities and have none, ``unknown`` what its limits lack: with either it is issued by a
    decision only.
    """

    words: str
    is_quarantined: bool = False
    at_shop: str = ""
    in_transit: str = ""
    unserviceable: str = ""
    expired: tuple[str, ...] = ()
    holds: tuple[str, ...] = ()
    foreign: str = ""
    reserved_for: str = ""
    reserved_by: str = ""
    issued_to: str = ""
    why_not_fit: tuple[str, ...] = ()
    has_certificate: bool = True
    dual_release_for: str = ""
    empty_inside: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def why_not_use(unit: UnitUse) -> list[Refusal]:
    """Every reason against using the unit, the gravest first; empty if there is none."""
    found = []
    if unit.is_quarantined:
        words = f"{unit.words} is in quarantine: it is used after its incoming inspection."
        found.append(("unit_quarantined", words))
    found += _why_away(unit)
    if unit.unserviceable:
        words = (
            f"{unit.words} is tagged {unit.unserviceable}: send it to the shop, or take another."
        )
        found.append(("unit_unserviceable", words))
    found += [("unit_expired", f"{each} Take another.") for each in unit.expired]
    found += [
        ("unit_on_hold", f"{unit.words} is held: {each}. Take another until the doubt is cleared.")
        for each in unit.holds
    ]
    if unit.foreign:
        found.append(("unit_of_another_owner", f"{unit.words} {unit.foreign} Take another."))
    if unit.reserved_for:
        words = _why_another_s(unit)
        found.append(("reserved_elsewhere", words))
    found += [("part_does_not_fit", each) for each in unit.why_not_fit]
    if not unit.has_certificate:
        words = f"{unit.words} has no release certificate on record: record it first."
        found.append(("no_certificate", words))
    elif unit.dual_release_for:
        words = (
            f"{unit.words} has no certificate released under the rules of both authorities, which "
            f"{unit.dual_release_for} asks for. Record it, or take another."
        )
        found.append(("no_dual_release", words))
    return [Refusal(code, words, "unit") for code, words in found]


def _why_away(unit: UnitUse) -> list[tuple[str, str]]:
    found = []
    if unit.at_shop:
        words = f"{unit.words} is at {unit.at_shop}: record its return, or take another."
        found.append(("unit_at_shop", words))
    if unit.in_transit:
        words = f"{unit.words} is {unit.in_transit}: it is used once it is received there."
        found.append(("unit_in_transit", words))
    return found


def _why_another_s(unit: UnitUse) -> str:
    if unit.issued_to:
        return f"{unit.words} was handed to {unit.issued_to} for {unit.reserved_for}: take another."
    return f"{unit.reserved_by} has set {unit.words} aside for {unit.reserved_for}: take another."


def asks_decision(unit: UnitUse) -> list[Refusal]:
    """Why a unit is neither complete nor available, and handed over only if somebody decides it by name."""
    found = []
    if unit.empty_inside:
        words = (
            f"{unit.words} is not complete: nothing is on record at {', '.join(unit.empty_inside)}."
        )
        found.append(Refusal("unit_incomplete", words, "decision"))
    found += [Refusal("limit_unknown", each, "decision") for each in unit.unknown]
    return found


def why_foreign(title: TitleFact | None, on: date, aircraft: tuple[str, ...] = ()) -> str:
    """What a title forbids on a day, in words that follow the unit's name.

    A restriction allows the aircraft that it names (registration or MSN, as a word of its own) and
    no other: where it is not known which ``aircraft`` the unit is for, it is not allowed either.
    """
    if title is None:
        return ""
    if title.return_by is not None and on > title.return_by:
        return f"goes back to {title.owner} by {day_words(title.return_by)}."
    if not title.restriction:
        return ""
    named = {word.upper() for word in re.findall(r"[\w-]+", title.restriction)}
    if named & {name.upper() for name in aircraft if name}:
        return ""
    return f"belongs to {title.owner}, who restricts it: {title.restriction.rstrip('.')}."
