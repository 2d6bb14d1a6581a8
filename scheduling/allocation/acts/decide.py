"""What people decide about a need and a unit: accept, lock, forbid, take back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from equipment.availability.acts.reservations import free_reservation, reserve_unit
from equipment.availability.acts.using import asks_decision_of
from equipment.models import Place, Reservation, Unit
from fleet.acts.act import Act
from fleet.acts.fields import number, text, unsaid
from fleet.acts.repeats import claim, what_was_done
from fleet.house.desks import ask
from fleet.house.refusals import Refusal, Refused
from fleet.models import User
from fleet.words.said import count_words, moment_words
from scheduling.allocation.reads.judged import CLAIMS, next_best, why_not_pair
from scheduling.allocation.reads.kept import NeedContext, accepted_of, around, current
from scheduling.models import PairingRuling, ProposedNeed

from .make import renew_if_quick
from .pieces import pieces_for


@dataclass(frozen=True, slots=True)
class Ruling:
    """One decision: about which need and which unit, under the sender's own id."""

    need_key: str = text(
        "Need", 120, name="need", help="The need's key, as the list of needs has it."
    )
    unit_id: int = number("Unit", least=1, name="unit", help="A unit's id.")
    act_id: UUID = unsaid()
    words: str = text("In words", 200, default="")


def accept_pairing(*, by: User, ruling: Ruling, at: datetime, as_of: date) -> PairingRuling:
    """This will set a unit in a store aside for a need, whoever else looks at it.

    Refuses every reason against the unit by the stores' codes (``reserved_elsewhere`` says who has it and
    what is next best), a need that has its unit already, a unit that is not in a store yet, and a need
    that is no longer planned.
    """
    return _decided(by, PairingRuling.ACCEPT, ruling, (at, as_of), _accept)


def lock_pairing(*, by: User, ruling: Ruling, at: datetime, as_of: date) -> PairingRuling:
    """This will hold a unit to a need in every later proposal; nothing is set aside.

    Refuses a unit that cannot cover the need, and a need or unit held to another.
    """
    return _decided(by, PairingRuling.LOCK, ruling, (at, as_of), _lock)


def forbid_pairing(*, by: User, ruling: Ruling, at: datetime, as_of: date) -> PairingRuling:
    """This will keep a unit from a need in every later proposal. Refuses one that is set aside for it."""
    return _decided(by, PairingRuling.FORBID, ruling, (at, as_of), _forbid)


def free_pairing(*, by: User, ruling: Ruling, at: datetime, as_of: date) -> PairingRuling:
    """This will take back what was decided about a pairing: a lock, a prohibition, or a unit set aside.

    Refuses where nothing was decided, and a unit that was handed over already.
    """
    return _decided(by, PairingRuling.FREE, ruling, (at, as_of), _free)


Done = Callable[[User, NeedContext, Ruling, datetime], Reservation | None]


def _decided(
    by: User, sort: str, ruling: Ruling, when: tuple[datetime, date], act: Done
) -> PairingRuling:
    ask(by, "reserve_unit")
    at, as_of = when
    rows = PairingRuling.objects.filter(act_id=ruling.act_id)
    told = {"ruling": ruling}
    with transaction.atomic():
        is_new = claim(ruling.act_id, f"{sort}_pairing", told, by=by, at=at, earlier=[rows])
        made = (
            _record(by, sort, ruling, at, act) if is_new else what_was_done(rows.filter(sort=sort))
        )
    if is_new:
        renew_if_quick(as_of=as_of, at=at)
    return made


def _record(by: User, sort: str, ruling: Ruling, at: datetime, act: Done) -> PairingRuling:
    row = _need(ruling.need_key)
    # Unit, then position, as reserving does: of two clerks one waits here, and then sees what the
    # other did.
    if not Unit.objects.select_for_update().filter(pk=ruling.unit_id).exists():
        raise Refused("unknown_unit", "There is no such unit: look it up among the units.", "unit")
    Place.objects.select_for_update().get(pk=row.place_id)
    reservation = act(by, around(row, [ruling.unit_id]), ruling, at)
    return PairingRuling.objects.create(
        act_id=ruling.act_id,
        sort=sort,
        need_key=row.key,
        place_id=row.place_id,
        unit_off_id=row.unit_off_id,
        piece=row.piece,
        # Of a lot it is what was split off for the need.
        unit_id=reservation.unit_id if reservation else ruling.unit_id,
        reservation=reservation,
        words=ruling.words[:200],
        ruled_at=at,
        ruled_by=by,
    )


def _need(key: str) -> ProposedNeed:
    run = current()
    rows = ProposedNeed.objects.filter(run=run, key=key).select_related("run")
    found = rows.first() if run and "\x00" not in key else None
    if found is None:
        words = f"No removal is planned for {key[:60]} any more: look at the needs again."
        raise Refused("unknown_need", words, "need")
    return found


def _accept(by: User, at_need: NeedContext, ruling: Ruling, at: datetime) -> Reservation:
    row = at_need.row
    _refuse_covered(row)
    try:
        held = reserve_unit(
            by=by,
            unit_id=pieces_for(by, at_need.row, ruling.unit_id, ruling.act_id, at),
            place=row.place_id,
            need_on=row.on,
            act_id=ruling.act_id,
            at=at,
            words=ruling.words,
        )
    except Refused as refused:
        raise Refused.all_of(_with_next_best(refused.refusals, at_need)) from None
    # It may lack something since the proposal was made, which would have left it out.
    _refuse(asks_decision_of(unit_id=held.unit_id, need_on=row.on, at=at), at_need)
    # Whose it is was asked as of now; the rest as of the proposal.
    reasons = [one for one in _against(at_need, ruling.unit_id) if one.code != "reserved_elsewhere"]
    _refuse(reasons, at_need)
    return held


def _lock(by: User, at_need: NeedContext, ruling: Ruling, at: datetime) -> None:
    _refuse_covered(at_need.row)
    _refuse(_against(at_need, ruling.unit_id), at_need)
    held = dict(at_need.row.run.locked).get(at_need.row.key)
    if held not in {None, str(ruling.unit_id)}:
        words = f"{at_need.row.key} is locked to another unit: take that back first."
        raise Refused("locked_to_another", words, "need")


def _forbid(by: User, at_need: NeedContext, ruling: Ruling, at: datetime) -> None:
    held = accepted_of([at_need.row]).get(at_need.row.came)
    if held is not None and held.unit_id == ruling.unit_id:
        words = (
            f"It is set aside for {at_need.row.key} by {held.ruled_by.shown_name}: free it first."
        )
        raise Refused("pairing_set_aside", words, "unit")


def _free(by: User, at_need: NeedContext, ruling: Ruling, at: datetime) -> None:
    row = at_need.row
    held = accepted_of([row]).get(row.came)
    if held is not None and held.unit_id == ruling.unit_id and held.reservation is not None:
        if held.reservation.issued_at is not None:
            words = "It was handed over already: it comes back by the swap, or by a movement."
            raise Refused("issued_already", words, "unit")
        free_reservation(by=by, reservation_id=held.reservation.pk, at=at)
        return
    of_need = PairingRuling.objects.filter(unit_off=row.unit_off_id, piece=row.piece)
    pair = of_need.filter(unit=ruling.unit_id)
    last = pair.exclude(sort=PairingRuling.ACCEPT).order_by("-pk").first()
    if last is None or last.sort == PairingRuling.FREE:
        words = f"Nothing is decided about this unit for {row.key}."
        raise Refused("nothing_decided", words, "unit")


def _refuse_covered(row: ProposedNeed) -> None:
    """One unit for one need: whoever accepted first has decided it."""
    held = accepted_of([row]).get(row.came)
    if held is not None:
        unit = f"{held.unit.part_number} S/N {held.unit.serial_number}"
        words = (
            f"{held.ruled_by.shown_name} set {unit} aside for {row.key} on {moment_words(held.ruled_at)}."
            " Free that first, or look at the next need."
        )
        raise Refused("need_is_met", words, "need")


def _against(at_need: NeedContext, unit_id: int) -> list[Refusal]:
    key = at_need.key_of(unit_id)
    if key is None:
        return [
            Refusal(
                "unit_not_offered", "This unit is neither in a store nor expected in one.", "unit"
            )
        ]
    return why_not_pair(at_need, key)


def _refuse(reasons: list[Refusal], at_need: NeedContext) -> None:
    if reasons:
        raise Refused.all_of(_with_next_best(reasons, at_need))


def _with_next_best(reasons: list[Refusal], at_need: NeedContext) -> list[Refusal]:
    """Where another has the unit, the sentence goes on with what is next best."""
    if reasons[0].code not in CLAIMS:
        return reasons
    held = Reservation.objects.filter(ended_at=None).values_list("unit", "ruling__need_key")
    found = next_best(at_need.row, {str(unit): need or "" for unit, need in held})
    first = reasons[0]
    if found:
        words = f"{found[0]}, cost {count_words(found[1])}"
    else:
        words = "no unit is free; see what would cure it under Shortage"
    said = Refusal(first.code, f"{first.message} Next best: {words}.", first.field)
    return [said, *reasons[1:]]


# --- declared ---------------------------------------------------------------------------------


def _ruled(sort: str, does: Callable[..., PairingRuling], summary: str, description: str) -> Act:
    return Act(
        name=f"{sort}_pairing",
        does=does,
        said=Ruling,
        as_="ruling",
        who="reserve_unit",
        needs_today=True,
        today_as="as_of",
        id_in_row=True,
        tag="Allocation",
        summary=summary,
        description=description,
        address=f"allocation/{sort}",
        example={
            "act_id": "4c1c7a7e-52f0-4a0b-9d5e-3b1f2f2f7a10",
            "need": "Q-AVEN D1L-SLIDE",
            "unit": 731,
        },
    )


RULINGS: Mapping[str, Act] = {
    PairingRuling.ACCEPT: _ruled(
        PairingRuling.ACCEPT,
        accept_pairing,
        "Accept a pairing",
        "Sets a unit in a store aside for a planned removal.",
    ),
    PairingRuling.LOCK: _ruled(
        PairingRuling.LOCK,
        lock_pairing,
        "Lock a pairing",
        "Holds a unit to a need in every later proposal.",
    ),
    PairingRuling.FORBID: _ruled(
        PairingRuling.FORBID,
        forbid_pairing,
        "Forbid a pairing",
        "Keeps a unit from a need in every later proposal.",
    ),
    PairingRuling.FREE: _ruled(
        PairingRuling.FREE,
        free_pairing,
        "Take a decision back",
        "Ends a lock, a prohibition, or a unit's being set aside.",
    ),
}
