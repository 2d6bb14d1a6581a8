"""Units and lots enter the records, and are re-identified by a document."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, datetime

from django.db import connection, transaction

from equipment.common.clashes import told_by_name
from equipment.keeping.derive import derive
from equipment.keeping.locks import lock
from equipment.ledger.facts import Entered, IdentificationFact, RowsRefused, UnitFact
from equipment.models import Identification, Unit
from fleet.acts.act import Act
from fleet.acts.repeats import differs
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refusal
from fleet.models import User

INSERT = """
INSERT INTO equipment_unit (
    original_part_id, serial_number, part_number_id, standard_id, manufactured_on,
    manufactured_precision, stated_life_months, quantity, note, facts_stamp, recorded_at
)
SELECT original_part_id, serial_number, part_number_id, standard_id, manufactured_on,
       precision, life, quantity, note, nextval('facts_stamp'), %s::timestamptz
FROM unnest(%s::bigint[], %s::text[], %s::bigint[], %s::bigint[], %s::date[], %s::text[], %s::integer[],
            %s::integer[], %s::text[]) WITH ORDINALITY
    AS brought (original_part_id, serial_number, part_number_id, standard_id, manufactured_on,
                precision, life, quantity, note, line)
ORDER BY line
ON CONFLICT DO NOTHING
RETURNING id, original_part_id, serial_number
"""
KNOWN = """
SELECT u.id, u.original_part_id, u.serial_number
FROM unnest(%s::bigint[], %s::text[]) AS brought (original_part_id, serial_number)
JOIN equipment_unit u USING (original_part_id, serial_number)
"""
IDENTIFY = """
INSERT INTO equipment_identification
    (unit_id, part_number_id, standard_id, from_on, document, recorded_at, recorded_by_id)
SELECT unit_id, part_number_id, standard_id, from_on, document, %s::timestamptz, %s::bigint
FROM unnest(%s::bigint[], %s::bigint[], %s::bigint[], %s::date[], %s::text[])
    AS brought (unit_id, part_number_id, standard_id, from_on, document)
ON CONFLICT DO NOTHING
RETURNING unit_id, from_on, id
"""
# The latest identification is what the unit is; without one it is what it was made as.
CURRENT = """
UPDATE equipment_unit u SET part_number_id = i.part_number_id, standard_id = i.standard_id
FROM (
    SELECT DISTINCT ON (unit_id) unit_id, part_number_id, standard_id
    FROM equipment_identification WHERE unit_id = ANY(%s::bigint[]) ORDER BY unit_id, from_on DESC
) i
WHERE u.id = i.unit_id
"""


def enter_units(*, by: User, rows: Sequence[UnitFact], at: datetime) -> list[Entered]:
    """This will enter units that are nowhere yet; one on record already is left as it is.

    Refuses (:class:`RowsRefused`) a row without a serial number, and one re-identified without the
    day or the document.
    """
    ask(by, "receive_unit")
    if wrong := {i: why for i, row in enumerate(rows) if (why := _why_not_entered(row, at))}:
        raise RowsRefused(wrong)
    if not rows:
        return []
    identities = [(row.original_part_id, row.serial_number) for row in rows]
    with told_by_name(), transaction.atomic():
        with connection.cursor() as cursor:
            columns = [list(column) for column in zip(*map(_columns, rows), strict=True)]
            cursor.execute(INSERT, [at, *columns])
            made = {(part, serial): key for key, part, serial in cursor.fetchall()}
            found = dict(made)
            if len(made) < len(set(identities)):
                cursor.execute(KNOWN, columns[:2])
                found |= {(part, serial): key for key, part, serial in cursor.fetchall()}
        identified = [
            IdentificationFact(
                made[identity],
                row.part_number_id,
                row.identified_on,
                row.identified_by,
                row.standard_id,
            )
            for identity, row in zip(identities, rows, strict=True)
            if identity in made and row.part_number_id is not None and row.identified_on is not None
        ]
        if identified:
            _identify(identified, by=by, at=at)
    return [Entered(found[identity], is_new=identity in made) for identity in identities]


def re_identify_units(
    *, by: User, rows: Sequence[IdentificationFact], at: datetime
) -> list[Entered]:
    """This will record what units are from a day on, by a document. What is on record changes nothing.

    Refuses (:class:`RowsRefused`) an unknown unit, and a day from which the unit is on record as
    something else, or by another document.
    """
    ask(by, "record_certificate")
    if not rows:
        return []
    units = {row.unit_id for row in rows}
    with transaction.atomic():
        lock(places=(), units=units)
        before = {
            (each.unit_id, each.from_on): each
            for each in Identification.objects.filter(unit__in=units)
        }
        known = set(Unit.objects.filter(pk__in=units).values_list("pk", flat=True))
        wrong = {i: why for i, row in enumerate(rows) if (why := _why_not(row, known, before))}
        if wrong:
            raise RowsRefused(wrong)
        new = [row for row in rows if (row.unit_id, row.from_on) not in before]
        made = _identify(new, by=by, at=at) if new else {}
        if new:
            # What it is now may come off otherwise than what it was, with all that is inside it.
            derive({row.unit_id for row in new}, at=at)
    return [
        Entered(before[key].pk, is_new=False) if key in before else Entered(made[key])
        for key in ((row.unit_id, row.from_on) for row in rows)
    ]


def _why_not_entered(row: UnitFact, at: datetime) -> list[Refusal]:
    made = row.manufactured_on
    if made is not None:  # known to the month or the year only, from its first day
        whole = {"month": {"day": 1}, "year": {"month": 1, "day": 1}}
        made = made.replace(**whole.get(row.manufactured_precision, {}))
    found = why_future(made, at, "manufactured_on")
    if not row.serial_number.strip():
        words = "A unit is known by its serial number: give it, or the batch of a lot."
        found.append(Refusal("serial_number_missing", words, "serial_number"))
    is_other = row.part_number_id is not None and row.part_number_id != row.original_part_id
    if is_other and (row.identified_on is None or not row.identified_by):
        words = "A unit that became another part number did so on a day, by a document: give both."
        found.append(Refusal("identification_missing", words, "part_number"))
    return found


def _why_not(
    row: IdentificationFact,
    known: set[int],
    before: dict[tuple[int, date], Identification],
) -> list[Refusal]:
    if row.unit_id not in known:
        return [Refusal("unknown_unit", "There is no such unit: receive it first.", "unit")]
    held = before.get((row.unit_id, row.from_on))
    if held and differs(asdict(row), vars(held)):
        words = "The unit is on record as something else, or by another document, from this day: give another day."
        return [Refusal("identified_already", words, "from_on")]
    return []


def _columns(row: UnitFact) -> tuple[object, ...]:
    part = row.original_part_id if row.part_number_id is None else row.part_number_id
    return (
        row.original_part_id,
        row.serial_number,
        part,
        row.standard_id,
        row.manufactured_on,
        row.manufactured_precision,
        row.stated_life_months,
        row.quantity,
        row.note,
    )


def _identify(
    rows: Sequence[IdentificationFact], *, by: User, at: datetime
) -> dict[tuple[int, object], int]:
    columns = zip(
        *((r.unit_id, r.part_number_id, r.standard_id, r.from_on, r.document) for r in rows),
        strict=True,
    )
    with connection.cursor() as cursor:
        cursor.execute(IDENTIFY, [at, by.pk, *(list(column) for column in columns)])
        made = {(unit, from_on): key for unit, from_on, key in cursor.fetchall()}
        cursor.execute(CURRENT, [list({row.unit_id for row in rows})])
    return made


# --- declared ---------------------------------------------------------------------------------

ENTER_UNIT = Act(
    name="enter_unit",
    who="receive_unit",
    does=enter_units,
    said=UnitFact,
    as_="rows",
    in_rows=True,
    known_by="its part and serial number",
    tag="Units",
    summary="Enter a unit",
    description="Enters a unit or lot that is nowhere yet; its receipt is a movement. One on "
    "record already is left as it is.",
    address="units",
    example={
        "part_number": "HS-4410-3",
        "maker": "HS01",
        "serial_number": "A00912",
        "manufactured_on": "2019-02",
    },
)
RE_IDENTIFY_UNIT = Act(
    name="re_identify_unit",
    who="record_certificate",
    does=re_identify_units,
    said=IdentificationFact,
    as_="rows",
    in_rows=True,
    known_by="the unit and day",
    tag="Units",
    summary="Re-identify a unit",
    description="Records what part number and standard a unit is from a day on, by a document.",
    address="identifications",
    example={
        "unit": 512,
        "part_number": "HS-4410-3",
        "from_on": "2023-04-02",
        "document": "SB-44-01",
    },
)
