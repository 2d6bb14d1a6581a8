"""What was accepted is looked at again: what no longer holds is freed, and whoever accepted it is told."""

from __future__ import annotations

from datetime import datetime

from equipment.common.wording import unit_words
from equipment.models import Reservation
from fleet.people.acts.notices import tell
from fleet.words.said import day_words
from scheduling.allocation.facts.gathered import Gathered
from scheduling.allocation.facts.needs import NeedFact
from scheduling.matching.facts.reasons import Reason
from scheduling.matching.telling.why_not import why_not
from scheduling.models import PairingRuling

#: What is decided, not what is: an accepted pair has these against all others and none against itself.
CLAIMS = {
    Reason.RESERVED_FOR_ANOTHER.code,
    Reason.LOCKED_TO_ANOTHER.code,
    Reason.FORBIDDEN.code,
}
OF_THE_UNIT = {
    Reason.IN_QUARANTINE.code,
    Reason.UNSERVICEABLE.code,
    Reason.NO_CERTIFICATE.code,
    Reason.LIFE_NOT_KNOWN.code,
    Reason.SHELF_LIFE_OVER.code,
    Reason.NEEDS_DECISION.code,
}


def free_what_fails(gathered: Gathered, *, at: datetime) -> int:
    """This will free what was accepted and can no longer be so, and follow a need to its new day.

    Freed: the removal is planned no more, or the unit can no longer cover it. A unit that was handed
    over, and a removal that is under way, are left to the swap. Returns how many were freed.
    """
    by_off = {fact.came: fact for fact in gathered.needs.values()}
    held = PairingRuling.objects.filter(
        sort=PairingRuling.ACCEPT, reservation__ended_at=None, reservation__issued_at=None
    )
    freed = 0
    for ruling in held.select_related(
        "reservation__reserved_by", "unit__part_number", "unit_off"
    ).order_by("pk"):
        fact = by_off.get((ruling.unit_off_id, ruling.piece))
        why = _why_not_any_more(ruling, fact, gathered)
        if why is not None:
            freed += _free(ruling, why, at)
        elif fact is not None and ruling.reservation is not None:
            _follow(ruling, ruling.reservation, fact, at)
    return freed


def _why_not_any_more(
    ruling: PairingRuling, fact: NeedFact | None, gathered: Gathered
) -> tuple[str, str] | None:
    """(how it ends, why in words), or None while it holds."""
    if fact is None:
        is_there = ruling.unit_off.place_id == ruling.place_id
        words = "the removal is no longer planned within the horizon."
        return ("freed", words) if is_there else None
    supply = gathered.supplies.get(str(ruling.unit_id))
    if supply is None:
        return "failed", "the unit is in no store and at no shop any more."
    found = why_not(fact.need, supply.supply, gathered.facts)
    reasons = [one for one in found if one.code not in CLAIMS]
    if not reasons:
        return None
    is_unit = reasons[0].code in OF_THE_UNIT
    words = supply.said[0][1] if is_unit and supply.said else reasons[0].message
    return ("failed" if is_unit else "freed"), words


def _free(ruling: PairingRuling, why: tuple[str, str], at: datetime) -> int:
    """This will end the reservation unless somebody ended it meanwhile; the number ended."""
    how, words = why
    rows = Reservation.objects.filter(ruling=ruling, ended_at=None, issued_at=None)
    ended = rows.update(ended_at=at, ended_how=how)
    if ended:
        said = (
            f"{unit_words(ruling.unit)} is no longer set aside for {ruling.need_key}: {words}"
            " Look at what is proposed instead."
        )
        _tell(ruling, said, at)
    return ended


def _follow(ruling: PairingRuling, held: Reservation, fact: NeedFact, at: datetime) -> None:
    """The need has another day, and the unit still covers it: it stays set aside, for that day."""
    if held.need_on == fact.need.on:
        return
    Reservation.objects.filter(pk=held.pk).update(need_on=fact.need.on)
    said = (
        f"{ruling.need_key} is now planned on {day_words(fact.need.on)}, not {day_words(held.need_on)}:"
        f" {unit_words(ruling.unit)} still covers it and stays set aside."
    )
    _tell(ruling, said, at)


def _tell(ruling: PairingRuling, words: str, at: datetime) -> None:
    tell(to=ruling.ruled_by, words=words, link=f"/allocation/?off={_off(ruling)}", at=at)


def _off(ruling: PairingRuling) -> str:
    """What comes off, as addresses name it."""
    return f"{ruling.unit_off_id}-{ruling.piece}" if ruling.piece else str(ruling.unit_off_id)
