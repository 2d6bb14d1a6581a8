"""What is said of units: life statements, certificates, title. They move nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any, TypeVar

from django.db import models, transaction

from equipment.common.clashes import told_by_name
from equipment.keeping.derive import raise_stamps
from equipment.keeping.locks import lock
from equipment.ledger.facts import (
    CertificateFact,
    Entered,
    LifeStatementFact,
    RowsRefused,
    TitleFact,
)
from equipment.models import Certificate, LifeStatement, Title, Unit
from fleet.acts.act import Act
from fleet.acts.repeats import differs
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refusal
from fleet.models import User

Fact = TypeVar("Fact", CertificateFact, TitleFact)
AT_ONCE = 5000
#: Blocks of a certificate that were not asked for at first.
COPIED_LATER = frozenset({"covers", "approval_number", "signatory", "printed_serial"})
UNKNOWN = Refusal("unknown_unit", "There is no such unit: receive it first.", "unit")


def record_life_statements(
    *, by: User, rows: Sequence[LifeStatementFact], at: datetime
) -> list[Entered]:
    """This will record totals of units, in the order of ``rows``; one on record already is left as it is.

    A correction names the statement that it replaces. Refuses (:class:`RowsRefused`) an unknown
    unit, a total below zero, another statement for a day that has one, and a correction of another
    unit's or measure's statement, of one already corrected or not there.
    """
    ask(by, "record_life_statement")
    return _stated(by=by, rows=rows, at=at, same=("total", "source", "quality"))


def state_asked(*, by: User, rows: Sequence[LifeStatementFact], at: datetime) -> list[Entered]:
    """The same for an act that has asked for its own permission, such as receiving with a certificate:
    a total that stands already stands, whoever said it first."""
    return _stated(by=by, rows=rows, at=at, same=("total",))


def _stated(
    *, by: User, rows: Sequence[LifeStatementFact], at: datetime, same: tuple[str, ...]
) -> list[Entered]:
    """Totals recorded; ``same`` is what must agree with a statement that stands."""
    if not rows:
        return []
    with told_by_name(), transaction.atomic():
        known = _held(row.unit_id for row in rows)
        there = list(LifeStatement.objects.filter(unit__in=known))
        standing = {_statement_key(each): each for each in there}
        wrong = {
            i: why
            for i, row in enumerate(rows)
            if (
                why := why_future(row.stated_on, at, "stated_on")
                or _why_not_state(row, known, there, same)
            )
        }
        if wrong:
            raise RowsRefused(wrong)
        return _insert(LifeStatement, rows, standing, _statement_key, by=by, at=at)


def record_certificates(
    *, by: User, rows: Sequence[CertificateFact], at: datetime, with_blocks: bool = True
) -> list[Entered]:
    """This will record papers of units; one on record already is left as it is. Without ``with_blocks`` it is the same
    paper also where blocks were left out when it was recorded.

    Refuses (:class:`RowsRefused`) an unknown unit, a day of issue that has not come, and a form and
    number that is on record for the unit with other contents.
    """
    ask(by, "record_certificate")
    if early := {
        i: why for i, row in enumerate(rows) if (why := why_future(row.issued_on, at, "issued_on"))
    }:
        raise RowsRefused(early)
    words = "This form and number is on record for the unit with other contents: check the number."
    told = Refusal("certificate_on_record", words, "tracking_number")
    return _record_plain(
        Certificate,
        rows,
        ("unit_id", "form", "tracking_number"),
        told,
        by=by,
        at=at,
        but=frozenset() if with_blocks else COPIED_LATER,
    )


def record_titles(*, by: User, rows: Sequence[TitleFact], at: datetime) -> list[Entered]:
    """This will record whose units are from a day on; one on record already is left as it is.

    Refuses (:class:`RowsRefused`) an unknown unit, and a day from which another title is on record.
    """
    ask(by, "receive_unit")
    words = "Another title is on record from this day: give another day."
    told = Refusal("title_on_record", words, "from_on")
    return _record_plain(Title, rows, ("unit_id", "from_on"), told, by=by, at=at)


def _held(unit_ids: Any) -> set[int]:
    wanted = set(unit_ids)
    lock(places=(), units=wanted)
    return set(Unit.objects.filter(pk__in=wanted).values_list("pk", flat=True))


def _statement_key(row: LifeStatementFact | LifeStatement) -> tuple[object, ...]:
    corrects = row.corrects if isinstance(row, LifeStatementFact) else row.corrects_id
    return row.unit_id, row.measure_id, row.since, row.stated_on, corrects


def _why_not_state(
    row: LifeStatementFact, known: set[int], there: list[LifeStatement], same: tuple[str, ...]
) -> list[Refusal]:
    if row.unit_id not in known:
        return [UNKNOWN]
    if row.total < 0:
        return [Refusal("total_negative", "A total is not below zero: give it as stated.", "total")]
    if row.corrects is not None:
        return _why_not_correct(row, there, same)
    one = next((each for each in there if _statement_key(each) == _statement_key(row)), None)
    if one is not None and one.total != row.total:
        words = "Another total stands for this unit, measure and day: correct that one, or check the day."
        return [Refusal("statement_stands", words, "total")]
    if one is not None and _is_other(row, one, same):
        words = "This total stands already, by another source or of another quality: correct that statement."
        return [Refusal("statement_stands", words, "source")]
    return []


def _is_other(row: LifeStatementFact, one: LifeStatement, same: tuple[str, ...]) -> bool:
    return differs({name: getattr(row, name) for name in same}, vars(one))


def _why_not_correct(
    row: LifeStatementFact, there: list[LifeStatement], same: tuple[str, ...]
) -> list[Refusal]:
    one = next((each for each in there if each.pk == row.corrects), None)
    if one is None or (one.unit_id, one.measure_id) != (row.unit_id, row.measure_id):
        words = "The statement to correct is not one of this unit and measure: name one that is."
        return [Refusal("corrects_another", words, "corrects")]
    later = next((each for each in there if each.corrects_id == one.pk), None)
    is_this = later is not None and _statement_key(later) == _statement_key(row)
    if later is not None and not (is_this and not _is_other(row, later, same)):
        words = "This statement was corrected before: correct the one that replaced it."
        return [Refusal("already_corrected", words, "corrects")]
    return []


def _record_plain(
    model: type[models.Model],
    rows: Sequence[Fact],
    key: tuple[str, ...],
    told: Refusal,
    *,
    by: User,
    at: datetime,
    but: frozenset[str] = frozenset(),
) -> list[Entered]:
    if not rows:
        return []

    def key_of(row: object) -> tuple[object, ...]:
        return tuple(getattr(row, name) for name in key)

    with told_by_name(), transaction.atomic():
        known = _held(row.unit_id for row in rows)
        there = {key_of(each): each for each in model._default_manager.filter(unit__in=known)}
        wrong = {}
        for i, row in enumerate(rows):
            one = there.get(key_of(row))
            if row.unit_id not in known:
                wrong[i] = [UNKNOWN]
            elif one is not None and differs(_compared(row, one, but), vars(one)):
                wrong[i] = [told]
        if wrong:
            raise RowsRefused(wrong)
        return _insert(model, rows, there, key_of, by=by, at=at)


def _compared(row: Fact, one: models.Model, but: frozenset[str]) -> dict[str, Any]:
    """What is said anew and compared with what is on record, but for blocks (``but``) that are blank there."""
    said = asdict(row)
    return {name: said[name] for name in said if name not in but or getattr(one, name)}


def _insert(
    model: type[models.Model],
    rows: Sequence[Any],
    there: dict[tuple[object, ...], Any],
    key_of: Any,
    *,
    by: User,
    at: datetime,
) -> list[Entered]:
    new: dict[tuple[object, ...], Any] = {}
    for row in rows:
        if key_of(row) not in there and key_of(row) not in new:
            facts = asdict(row)
            if "corrects" in facts:
                facts["corrects_id"] = facts.pop("corrects")
            new[key_of(row)] = model(**facts, recorded_at=at, recorded_by=by)
    model._default_manager.bulk_create(list(new.values()), batch_size=AT_ONCE)
    if new:
        raise_stamps({each.unit_id for each in new.values()})
    found = {**there, **new}
    return [Entered(found[key_of(row)].pk, is_new=key_of(row) in new) for row in rows]


# --- declared ---------------------------------------------------------------------------------

RECORD_LIFE_STATEMENT = Act(
    name="record_life_statement",
    does=record_life_statements,
    said=LifeStatementFact,
    as_="rows",
    in_rows=True,
    known_by="the unit, measure and day",
    tag="Papers",
    summary="Record a life statement",
    description="Records a dated total of one measure of one unit. The reckoning counts on from "
    "the latest.",
    address="life-statements",
    example={
        "unit": 512,
        "measure": "FH",
        "stated_on": "2023-11-20",
        "total": 512400,
        "source": "HS-20931",
        "quality": "certificate",
    },
)
RECORD_CERTIFICATE = Act(
    name="record_certificate",
    does=record_certificates,
    said=CertificateFact,
    as_="rows",
    in_rows=True,
    known_by="the unit, form and number",
    tag="Papers",
    summary="Record a certificate",
    description="Records a release certificate or other paper of a unit.",
    address="certificates",
    example={
        "unit": 512,
        "form": "Release certificate",
        "tracking_number": "HS-20931",
        "issued_on": "2023-11-20",
        "issuer": "Harbour Slides",
        "status": "overhauled",
    },
)
RECORD_TITLE = Act(
    name="record_title",
    who="receive_unit",
    does=record_titles,
    said=TitleFact,
    as_="rows",
    in_rows=True,
    known_by="the unit and day",
    tag="Papers",
    summary="Record whose a unit is",
    description="Records ownership from a day on, apart from place.",
    address="titles",
    example={
        "unit": 512,
        "sort": "pool_loan",
        "owner": "Harbour Slides",
        "from_on": "2023-11-20",
        "return_by": "2024-05-20",
        "document": "PL-88",
    },
)
