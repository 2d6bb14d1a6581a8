"""A paper that came with units: what of it is refused, and how it is recorded with what it certifies."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import NAMESPACE_OID, uuid5

from equipment.codes.near import near_matches
from equipment.keeping.papers import record_certificates, state_asked
from equipment.ledger.facts import CertificateFact, Entered, LifeStatementFact
from equipment.models import PartNumber
from equipment.stores.ports import CertifiedWork, known_works, record_certified_works
from fleet.house.refusals import Reasons, Refused
from fleet.house.texts import why_not_kept
from fleet.models import Measure, User
from fleet.words.said import day_words

from .facts import Paper, TotalFact, WorkFact

NOT_APPLICABLE = frozenset({"N/A", "NA", "NOT APPLICABLE"})
LONGEST = {
    "form": 40,
    "tracking_number": 40,
    "issuer": 80,
    "status": 40,
    "supplier": 80,
    "work_order": 40,
    "remarks": 200,
    "approval_number": 60,
    "signatory": 80,
}
NEEDED = ("form", "tracking_number", "issuer", "status")


@dataclass(frozen=True, slots=True)
class OfUnit:
    """What a paper says of one unit: its number there, the works and totals that it states."""

    unit_id: int
    works: tuple[WorkFact, ...]
    totals: tuple[TotalFact, ...]
    printed_serial: str = ""


def refuse_paper(paper: Paper, on: date) -> None:
    """This will refuse a paper with blanks, too long, or issued after the day that it came."""
    reasons = Reasons()
    for field in NEEDED:
        if not getattr(paper, field).strip():
            words = f"The certificate's {field.replace('_', ' ')} is missing: give it as printed."
            reasons.add("certificate_incomplete", words, field)
    for field, most in LONGEST.items():
        reasons.found += why_not_kept(getattr(paper, field), field, most)
    if paper.issued_on > on:
        words = f"The certificate is dated {day_words(paper.issued_on)}, after it came: check both dates."
        reasons.add("certificate_after_receipt", words, "issued_on")
    reasons.refuse()


def refuse_printed(
    printed: str, part: PartNumber, serial: str, *, is_same: bool = False, is_kept: bool = False
) -> None:
    """This will refuse block 10 left blank, ``N/A`` of what has serial numbers, another's number, and one that only
    looks like the plate's until somebody says that they are the same (``is_same``). It may have several numbers.

    ``is_kept`` offers to keep a certificate of another unit with the unit that it came with.
    """
    said = printed.strip().upper()
    if not said:
        words = "Block 10 of the certificate is blank: it names the serial number, or N/A of what has none."
        raise Refused("block_10_blank", words, "printed_serial")
    if said in NOT_APPLICABLE:
        if not part.is_lot:
            words = f"The certificate says {said}, but {part.number} has serial numbers: it is no paper of this unit."
            raise Refused("block_10_not_applicable", words, "printed_serial")
        return
    if names(printed, serial):
        return
    alike = near_matches(serial.upper(), printed_numbers(printed))
    if alike and not is_same:
        words = (
            f"Block 10 prints {alike[0]}, the plate {serial}: O and 0, I and 1, S and 5 or B and 8 may have been taken for"
            " each other. Look at both: correct what was typed, or say that it is the same number."
        )
        raise Refused("printed_near_match", words, "printed_serial")
    if not alike:
        words = f"The certificate is for serial number {said[:80]}, not {serial}: bring this unit's own."
        if is_kept:
            words += " Or keep it with this unit, in quarantine."
        raise Refused("certificate_for_another", words, "printed_serial")


def printed_numbers(printed: str) -> list[str]:
    """The numbers that block 10 prints: one, or several apart by commas, semicolons, *and* or lines."""
    found = re.split(r"[,;&\n]|\bAND\b", printed.upper())
    return [each for part in found if (each := part.strip())]


def names(printed: str, serial: str) -> bool:
    """Whether block 10 prints this number, by itself or among several."""
    return serial.upper() in {printed.strip().upper(), *printed_numbers(printed)}


def is_of_another(printed: str, serial: str) -> bool:
    """Whether block 10 prints numbers, none of which is this one or looks like it."""
    said = printed_numbers(printed)
    if not said or printed.strip().upper() in NOT_APPLICABLE or names(printed, serial):
        return False
    return not near_matches(serial.upper(), said)


def refuse_covers(paper: Paper, count: int) -> None:
    """This will refuse a certificate that says it is for fewer than came under it."""
    if paper.covers is not None and count > paper.covers:
        words = f"The certificate is for {paper.covers}, but {count} came: count again, or receive the rest by its own."
        raise Refused("certificate_covers_fewer", words, "covers")


def refuse_uncertified(
    paper: Paper, works: Sequence[WorkFact], certifies: Mapping[str, tuple[str, ...]]
) -> None:
    """This will refuse a work that the certificate's term does not stand for, done after it, or without the method that
    its next date is chosen by.

    What a term stands for is as whoever copied the certificate read it (``certifies``), within what
    the operator's data allow: a work with terms of its own there is certified by no other.
    """
    terms = {term.strip().casefold(): codes for term, codes in certifies.items()}
    certified = {code.upper() for code in terms.get(paper.status.strip().casefold(), ())}
    known = {each.code.upper(): each for each in known_works()} if works else {}
    said = {part.strip().casefold() for part in re.split(r"[,;+&|]", paper.status)}
    for work in works:
        if work.code.upper() not in certified:
            words = (
                f"The certificate says “{paper.status}”: that does not certify {work.code}. Leave it out, or"
                " bring the certificate that does."
            )
            raise Refused("work_not_certified", words, "works")
        there = known.get(work.code.upper())
        asked = there.certified_by if there else ()
        if asked and not said & {term.casefold() for term in asked}:
            words = (
                f"The certificate says “{paper.status}”, but by the operator's data {work.code} is certified by"
                f" {' or '.join(asked)} only. Leave it out, or bring the certificate that says so."
            )
            raise Refused("work_not_certified", words, "works")
        if there is not None and there.methods and not work.method.strip():
            words = (
                f"Say by which method {work.code} was done, as the certificate or its report says: when it is due again"
                f" depends on it ({' or '.join(there.methods)})."
            )
            raise Refused("method_missing", words, "works")
        if work.done_on > paper.issued_on:
            words = f"{work.code} is dated {day_words(work.done_on)}, after the certificate: check both dates."
            raise Refused("work_after_certificate", words, "works")


def record_paper(
    *, by: User, paper: Paper, units: Sequence[OfUnit], at: datetime
) -> dict[int, Entered]:
    """This will record the paper for each unit, with the totals it states and the works it certifies.

    Refuses what the acts of papers and works refuse: totals that contradict, unknown works.
    """
    rows = [
        CertificateFact(
            each.unit_id,
            paper.form.strip(),
            paper.tracking_number.strip(),
            paper.issued_on,
            paper.issuer.strip(),
            paper.status.strip(),
            paper.remarks.strip(),
            paper.is_dual_release,
            paper.supplier.strip(),
            paper.work_order.strip(),
            paper.covers,
            paper.approval_number.strip(),
            paper.signatory.strip(),
            each.printed_serial.strip(),
        )
        for each in units
    ]
    entered = record_certificates(by=by, rows=rows, at=at, with_blocks=False)
    state_asked(by=by, rows=[row for each in units for row in _totals(each, paper)], at=at)
    works = [work for each in units for work in _works(each, paper)]
    if works:
        record_certified_works(by, works, at)
    return {each.unit_id: row for each, row in zip(units, entered, strict=True)}


def _totals(each: OfUnit, paper: Paper) -> list[LifeStatementFact]:
    known = {measure.code.upper(): measure.pk for measure in Measure.objects.all()}
    found = []
    for total in each.totals:
        key = known.get(total.measure.upper())
        if key is None:
            words = f"There is no measure “{total.measure[:16]}”: give one that is on record."
            raise Refused("unknown_measure", words, "totals")
        source = f"{paper.form} {paper.tracking_number}".strip()[:80]
        found.append(
            LifeStatementFact(
                each.unit_id, key, paper.issued_on, total.total, source, "certificate", total.since
            )
        )
    return found


def _works(each: OfUnit, paper: Paper) -> list[CertifiedWork]:
    """What a certificate says of a work is one fact, however often and by whomever it is brought."""
    return [
        CertifiedWork(
            unit_id=each.unit_id,
            code=work.code,
            done_on=work.done_on,
            act_id=uuid5(NAMESPACE_OID, " ".join(_named(each, paper, work)).upper()),
            released_on=paper.issued_on,
            precision=work.precision,
            method=work.method,
            total_minutes=work.total_minutes,
            total_cycles=work.total_cycles,
            who=paper.issuer,
            document=paper.form,
            certificate=paper.tracking_number,
        )
        for work in each.works
    ]


def _named(each: OfUnit, paper: Paper, work: WorkFact) -> tuple[str, ...]:
    printed = (paper.form.strip(), paper.tracking_number.strip(), paper.issuer.strip())
    return (f"work of {each.unit_id}", *printed, work.code, work.done_on.isoformat())
