"""The incoming inspection: a signed act of its own, by which a received unit goes to stock or stays out of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from equipment.availability.acts.units import lock_unit, refuse_not_at, use_now
from equipment.common.digests import Content, digest_of
from equipment.keeping.freeing import free_failed
from equipment.keeping.record import record_asked
from equipment.ledger.facts import MovementFact, PlaceAt, When
from equipment.models import Certificate, IncomingInspection, Movement, Place, Unit, UnitTag
from equipment.segregation.facts import Asked
from equipment.segregation.rule import UnitUse, why_not_use
from fleet.acts.repeats import done_before
from fleet.house.desks import ask
from fleet.house.refusals import Refused
from fleet.house.texts import refuse_blank
from fleet.models import Station
from fleet.people.proofs import Proof, refuse_stale

from .bins import refuse_bin
from .facts import NewInspection

#: What is looked at, each with the sentence that a person answers yes or no.
CHECKS: Mapping[str, str] = {
    "identity": "Part and serial number on the plate are those of the certificate.",
    "papers": "The certificate is complete, and its status is what was ordered.",
    "condition": "No damage; packing, seals and safety pins are whole.",
    "dates": "The dates on the plate agree with the record, and life is left.",
}
STATEMENT = (
    "I have inspected this unit and its papers on receipt, as the operator's procedure requires, and found"
    " what is recorded here."
)


@transaction.atomic
def inspect_incoming(
    *, proof: Proof, inspection: NewInspection, act_id: UUID, at: datetime
) -> IncomingInspection:
    """This will sign what was found, and release the unit to stock or keep it, tagged, in quarantine.

    Refuses stale credentials, a unit that is not in quarantine, a question without an answer;
    and of a unit to be accepted: a question answered no, and what segregation says besides the quarantine.
    """
    ask(proof.user, "inspect_incoming")
    refuse_stale(proof, at)
    told = {"inspection": inspection, "signer": proof.user.pk}
    rows = IncomingInspection.objects.filter(act_id=act_id)
    if done := done_before(act_id, "inspect_incoming", told, rows, by=proof.user, at=at):
        return done
    unit = lock_unit(inspection.unit_id)
    place = refuse_not_at(unit, "not_in_quarantine", Place.QUARANTINE)
    _refuse_answers(inspection)
    paper = Certificate.objects.filter(unit=unit).order_by("-issued_on", "-pk").first()
    assert place.station is not None
    movement = None
    if inspection.result == "accepted":
        on = at.astimezone(When.on(at.date(), place.station.time_zone).at.tzinfo).date()
        refuse_unusable(use_now(unit, Asked(on, at)))
        into: dict[str, Any] = {"unit": unit, "station": place.station, "inspection": inspection}
        movement = _release(proof=proof, **into, act_id=act_id, at=at)
    made = _signed(
        proof=proof,
        unit=unit,
        inspection=inspection,
        paper=paper,
        movement=movement,
        act_id=act_id,
        at=at,
    )
    if inspection.result == "quarantined":
        _tag(proof, unit, inspection, act_id, at)
    return made


def refuse_unusable(use: UnitUse) -> None:
    """This will refuse with every reason but the quarantine that the unit is about to leave, and what
    it is set aside for, which waits for it."""
    free = replace(use, is_quarantined=False, reserved_for="", foreign="")
    if reasons := why_not_use(free):
        raise Refused.all_of(reasons)


def _refuse_answers(inspection: NewInspection) -> None:
    if inspection.result not in dict(IncomingInspection.RESULTS):
        raise Refused(
            "unknown_result", "Say whether it goes to stock or stays in quarantine.", "result"
        )
    for name, sentence in CHECKS.items():
        if name not in inspection.checks:
            words = f"Not answered yet: “{sentence}” Say yes or no."
            raise Refused("check_not_answered", words, name)
    if unknown := set(inspection.checks) - set(CHECKS):
        words = f"There is no such question: {sorted(unknown)[0][:40]}."
        raise Refused("unknown_check", words, "checks")
    failed = [name for name, is_good in inspection.checks.items() if not is_good]
    if failed and inspection.result == "accepted":
        words = f"Answered no: “{CHECKS[failed[0]]}” Keep it in quarantine, or look again."
        raise Refused("check_not_passed", words, failed[0])
    if inspection.result == "quarantined":
        refuse_blank(inspection.words, "Say why it stays in quarantine.", "words", 300)


def _release(
    *,
    proof: Proof,
    unit: Unit,
    station: Station,
    inspection: NewInspection,
    act_id: UUID,
    at: datetime,
) -> Movement:
    refuse_bin(unit, station, inspection.bin_name)
    to = PlaceAt(Place.STORE, station_id=station.pk, name=inspection.bin_name.strip())
    row = MovementFact(unit.pk, "released", to, When(at, "instant", station.time_zone))
    row = replace(row, reason="Incoming inspection.")
    move = uuid5(act_id, "release")
    (done,) = record_asked(by=proof.user, rows=[row], act_id=move, at=at, is_strict=True)
    return Movement.objects.get(pk=done.movement_id)


def _signed(
    *,
    proof: Proof,
    unit: Unit,
    inspection: NewInspection,
    paper: Certificate | None,
    movement: Movement | None,
    act_id: UUID,
    at: datetime,
) -> IncomingInspection:
    content: Content = {
        "act": "incoming_inspection",
        "by": proof.user.pk,
        "unit": unit.pk,
        "part": unit.part_number.number,
        "serial": unit.serial_number,
        "certificate": [paper.pk, paper.form, paper.tracking_number] if paper else None,
        "checks": dict(sorted(inspection.checks.items())),
        "result": inspection.result,
        "words": inspection.words.strip(),
        "movement": movement.pk if movement else None,
    }
    return IncomingInspection.objects.create(
        act_id=act_id,
        unit=unit,
        certificate=paper,
        movement=movement,
        checks=dict(inspection.checks),
        result=inspection.result,
        words=inspection.words.strip(),
        statement=STATEMENT,
        name=proof.user.shown_name[:120],
        content=content,
        digest=digest_of(content),
        signed_at=at,
        by=proof.user,
    )


def _tag(proof: Proof, unit: Unit, inspection: NewInspection, act_id: UUID, at: datetime) -> None:
    """Papers that are not right are information missing; anything else is a defect."""
    is_sound = inspection.checks["condition"] and inspection.checks["dates"]
    UnitTag.objects.create(
        act_id=uuid5(act_id, "tag"),
        unit=unit,
        sort="unserviceable",
        why="information" if is_sound else "defect",
        words=inspection.words.strip(),
        tagged_at=at,
        recorded_at=at,
        recorded_by=proof.user,
    )
    words = f"failed its incoming inspection: {inspection.words.strip()}"
    free_failed(unit_ids=[unit.pk], words=words, by=proof.user, at=at)
