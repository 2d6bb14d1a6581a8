"""Why a unit cannot cover a need: every reason, in words, for one pair."""

from __future__ import annotations

from datetime import date, timedelta

from fleet.house.refusals import Refusal
from fleet.words.said import count_words, day_words, days_words
from scheduling.matching.facts.facts import Facts, Need, Supply
from scheduling.matching.facts.fits import fit_reasons_of, is_barred
from scheduling.matching.facts.lasting import lasts_at, left_words
from scheduling.matching.facts.reasons import Reason, reasons_in

Said = list[tuple[Reason, str]]


def why_not(need: Need, supply: Supply, facts: Facts) -> list[Refusal]:
    """Every reason against a pairing, none missing; empty when the unit may cover the need."""
    said = (
        _fit(need, supply)
        + _life(need, supply)
        + _own_state(supply)
        + _arrival(need, supply, facts)
        + _owner(need, supply)
        + _claims(need, supply, facts)
        + _dual_release(need, supply)
        + _pieces(need, supply)
    )
    order = list(Reason)
    said.sort(key=lambda one: order.index(one[0]))
    return [Refusal(reason.code, sentence, "supply") for reason, sentence in said]


def _fit(need: Need, supply: Supply) -> Said:
    found = fit_reasons_of(supply, need.fits, need.msn)
    parts = ", ".join(sorted({fit.part for fit in need.fits})) or "no part number yet"
    words = {
        Reason.WRONG_PART: f"Part number {supply.part} does not go there; what does: {parts}.",
        Reason.WRONG_STANDARD: f"Standard {supply.standard or 'not recorded'} of {supply.part} does not go there.",
        Reason.WRONG_HAND: f"{supply.unit} is for the {supply.hand} side, and the position is not.",
        Reason.WRONG_MSN: f"{supply.part} is not allowed on MSN {need.msn}.",
    }
    return [(reason, words[reason]) for reason in reasons_in(found)]


def _life(need: Need, supply: Supply) -> Said:
    said: Said = []
    lasts, by = lasts_at(need, supply), "".join(f" {one}" for one in left_words(need, supply))
    if lasts is None:
        missing = f"How long {supply.unit} lasts is not known: a fact is missing."
        said.append((Reason.LIFE_NOT_KNOWN, missing))
    else:
        if lasts < need.until:
            words = f"{supply.unit} lasts until {day_words(lasts)}; the next opportunity is {day_words(need.until)}.{by}"
            said.append((Reason.LIFE_ENDS_EARLY, words))
        left = (lasts - need.on).days
        if left < need.least_days and need.least_days > 0:
            asked = days_words(need.least_days)
            words = f"{supply.unit} has {days_words(max(left, 0))} remaining at issue; {asked} are asked.{by}"
            said.append((Reason.TOO_LITTLE_LIFE, words))
    if supply.shelf_until < need.on:
        words = f"The shelf life of {supply.unit} ends on {day_words(supply.shelf_until)}, before it is needed."
        said.append((Reason.SHELF_LIFE_OVER, words))
    return said


def _own_state(supply: Supply) -> Said:
    unit = supply.unit
    checks = [
        (supply.is_quarantined, Reason.IN_QUARANTINE, f"{unit} is in quarantine."),
        (not supply.is_serviceable, Reason.UNSERVICEABLE, f"{unit} is unserviceable."),
        (not supply.has_certificate, Reason.NO_CERTIFICATE, f"{unit} has no release certificate."),
        (
            supply.free_from is None,
            Reason.ARRIVAL_NOT_KNOWN,
            f"When {unit} comes back is not known.",
        ),
        (
            supply.needs_decision,
            Reason.NEEDS_DECISION,
            f"{unit} is not complete, or a limit of it is not known: only a named decision hands it over.",
        ),
    ]
    return [(reason, sentence) for holds, reason, sentence in checks if holds]


def _dual_release(need: Need, supply: Supply) -> Said:
    if not need.dual_release or not supply.has_certificate or supply.has_dual_release:
        return []
    words = (
        f"{supply.unit} has no certificate released under the rules of both authorities, which"
        f" {need.dual_release} asks for."
    )
    return [(Reason.NO_DUAL_RELEASE, words)]


def _pieces(need: Need, supply: Supply) -> Said:
    if supply.quantity >= need.quantity:
        return []
    left = count_words(supply.quantity)
    words = f"{supply.unit}: {left} left, and {count_words(need.quantity)} pieces of one lot are needed."
    return [(Reason.TOO_FEW_PIECES, words)]


def days_on_the_way(need: Need, supply: Supply, facts: Facts) -> int | None:
    """Days of transport by what the unit may travel with; None where nothing goes."""
    if supply.station == need.station:
        return 0
    ways = [
        way.days
        for way in facts.ways
        if (way.origin, way.station) == (supply.station, need.station)
        and way.is_dangerous == supply.is_dangerous
    ]
    return min(ways, default=None)


def _arrival(need: Need, supply: Supply, facts: Facts) -> Said:
    free, days = supply.free_from, days_on_the_way(need, supply, facts)
    if free is None:
        return []
    said: Said = []
    lane = f"from {supply.station} to {need.station}"
    if free > need.on:
        words = f"{supply.unit} is free on {day_words(free)}, after {day_words(need.on)}."
        said.append((Reason.ARRIVES_LATE, words))
    elif supply.is_dangerous and _is_late(free, days, need.on):
        words = f"{supply.unit} is dangerous goods: no transport allowed {lane} is there by {day_words(need.on)}."
        said.append((Reason.DANGEROUS_GOODS_LATE, words))
    elif days is not None and _is_late(free, days, need.on):
        words = f"{supply.unit} needs {days_words(days)} {lane} and is there after {day_words(need.on)}."
        said.append((Reason.ARRIVES_LATE, words))
    if days is None and not supply.is_dangerous:
        said.append((Reason.NO_WAY_THERE, f"No way {lane} is entered."))
    return said


def _is_late(free: date, days: int | None, on: date) -> bool:
    return days is None or free + timedelta(days=days) > on


def _owner(need: Need, supply: Supply) -> Said:
    said: Said = []
    if is_barred(need.msn, need.owners, supply.owner, supply.only_msns):
        owner = supply.owner or "its owner"
        words = f"{supply.unit} is owned by {owner}, and may not go on MSN {need.msn}."
        said.append((Reason.OWNER_RESTRICTION, words))
    if supply.return_by < need.until:
        words = f"{supply.unit} is due back with its owner on {day_words(supply.return_by)}."
        said.append((Reason.RETURN_DUE, words))
    return said


def _claims(need: Need, supply: Supply, facts: Facts) -> Said:
    said: Said = []
    if supply.reserved_for not in {None, need.key}:
        words = f"{supply.unit} is reserved for {supply.reserved_for}."
        said.append((Reason.RESERVED_FOR_ANOTHER, words))
    others = [pair for pair in facts.locked if pair != (need.key, supply.key)]
    if any(one == need.key or other == supply.key for one, other in others):
        words = f"{need.key} or {supply.unit} is locked to another."
        said.append((Reason.LOCKED_TO_ANOTHER, words))
    if (need.key, supply.key) in facts.forbidden:
        said.append((Reason.FORBIDDEN, f"{supply.unit} was forbidden for {need.key}."))
    return said
