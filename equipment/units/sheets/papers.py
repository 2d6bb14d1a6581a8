"""Life statements, title and certificates of units."""

from __future__ import annotations

from typing import Any

from equipment.common import lookups
from equipment.ledger.facts import CertificateFact, LifeStatementFact, TitleFact
from equipment.models import Certificate, LifeStatement, Title
from equipment.units.acts.bring_in import tell_of_units
from fleet.intake.columns import CHOICE, YES_NO
from fleet.intake.problems import CellProblem
from fleet.intake.registry import Column, SheetKind, unit_columns
from fleet.intake.said import column_of, columns_of
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, choices_of, recorded, refuse_differing
from fleet.loading.totals import total_in_measure
from fleet.models import Measure
from fleet.words.said import hours_words


def totals_of(batch: Batch, measures: list[int | None], name: str = "total") -> list[int | None]:
    """Totals as each line's measure is counted: minutes, or a count."""
    kinds = fleet_lookups.units_of_measures(batch)
    totals: list[int | None] = [None] * len(batch)
    for line in batch.good:
        measure = measures[line]
        total = total_in_measure(batch[name][line], kinds[measure]) if measure is not None else None
        if isinstance(total, CellProblem):
            batch.problem(line, name, total)
        else:
            totals[line] = total
    return totals


_NOTHING_TO_CORRECT = (
    "There is no statement of this unit, measure and day to correct. Leave 'Correction' blank, or"
    " check the day."
)


def bring_statements(batch: Batch) -> None:
    """A statement that stands otherwise is replaced only by a line marked as a correction."""
    units, measures = lookups.units(batch), fleet_lookups.measures(batch)
    totals = totals_of(batch, measures)
    since = [word or "new" for word in batch["since"]]
    keys = list(zip(units, measures, since, batch["stated_on"], strict=True))
    said = list(zip(totals, batch["source"], batch["quality"], strict=True))
    standing, ever = _standing(units)
    corrects: list[int | None] = [None] * len(batch)
    replacing: list[int] = []
    for line in batch.good:
        there = standing.get(keys[line])
        is_correction = bool(batch["correction"][line])
        if there is not None and (
            there[1] == said[line] or (not is_correction and (*keys[line], *said[line]) in ever)
        ):
            batch.know([line])
        elif there is not None and is_correction:
            corrects[line] = there[0]
            replacing.append(line)
            standing[keys[line]] = (there[0], said[line])
        elif there is not None:
            _refuse_standing(batch, line, there[1], said[line], measures[line])
        elif is_correction:
            batch.refuse(line, "correction", "nothing_to_correct", _NOTHING_TO_CORRECT)
    values: dict[str, list[Any]] = {
        "unit_id": units,
        "measure_id": measures,
        "since": since,
        "stated_on": batch["stated_on"],
        "corrects_id": corrects,
        "total": totals,
        "source": batch["source"],
        "quality": batch["quality"],
    }
    key = ("unit_id", "measure_id", "since", "stated_on", "corrects_id")
    new = bring_plain(batch, LifeStatement, key=key, values=values, fixed=recorded(batch))
    tell_of_units(by=batch.bringing.by, unit_ids=[units[line] for line in new])
    batch.touch()


def _refuse_standing(batch: Batch, line: int, there: Said, said: Said, measure: int | None) -> None:
    """What stands otherwise: another total, or the same from another source or of another quality."""
    if there[0] == said[0]:
        name, kept = ("source", there[1]) if there[1] != said[1] else ("quality", there[2])
        refuse_differing(batch, line, name, kept)
        return
    in_minutes = fleet_lookups.units_of_measures(batch)[measure] == Measure.MINUTES  # type: ignore[index]
    shown = hours_words(there[0] or 0) if in_minutes else str(there[0])
    batch.refuse(
        line,
        "total",
        "statement_stands",
        f"A statement of {shown} stands for this unit and day. If this one is right, write "
        "yes under 'Correction'.",
    )


#: A total with its source and quality.
Said = tuple[int | None, str, str]
Standing = dict[tuple[Any, ...], tuple[int, Said]]


def _standing(units: list[int | None]) -> tuple[Standing, set[tuple[Any, ...]]]:
    """The statement that stands, by unit, measure, since and day; and those ever recorded."""
    key, said = ("unit_id", "measure_id", "since", "stated_on"), ("total", "source", "quality")
    found = LifeStatement.objects.filter(unit__in=set(units) - {None})
    rows = list(found.values_list(*key, *said, "pk", "corrected_by"))
    standing = {row[:4]: (row[7], row[4:7]) for row in rows if row[8] is None}
    return standing, {row[:7] for row in rows}


def bring_titles(batch: Batch) -> None:
    fields = (
        "from_on",
        "sort",
        "owner",
        "return_by",
        "core_due_on",
        "customs",
        "restriction",
        "document",
    )
    values = {"unit_id": lookups.units(batch), **{name: batch[name] for name in fields}}
    bring_plain(batch, Title, key=("unit_id", "from_on"), values=values, fixed=recorded(batch))
    batch.touch()


def bring_certificates(batch: Batch) -> None:
    fields = ("form", "tracking_number", "issued_on", "issuer", "status", "remarks")
    values = {"unit_id": lookups.units(batch), **{name: batch[name] for name in fields}}
    key = ("unit_id", "form", "tracking_number")
    new = bring_plain(batch, Certificate, key=key, values=values, fixed=recorded(batch))
    batch.touch(units=[values["unit_id"][line] for line in new])


STATEMENTS = SheetKind(
    "Life statements",
    "Totals of units as stated on a day, with the source and how good it is. Later use counts on from the latest.",
    80,
    "record_life_statement",
    (
        *unit_columns(),
        column_of(LifeStatementFact, "measure"),
        column_of(LifeStatementFact, "stated_on"),
        column_of(LifeStatementFact, "total"),
        Column(
            "Since",
            "since",
            CHOICE,
            meaning="since new, or since overhaul; blank: since new.",
            choices=choices_of(LifeStatement, "since"),
        ),
        column_of(LifeStatementFact, "source"),
        column_of(LifeStatementFact, "quality"),
        Column(
            "Correction",
            "correction",
            YES_NO,
            meaning="yes: this total replaces the one on record for the same day.",
        ),
    ),
    bring_statements,
    [
        [
            "EXMKR",
            "EX-10",
            "S0001",
            "FH",
            "2024-01-31",
            "8100:00",
            "since new",
            "Certificate 4711",
            "on a certificate",
            "",
        ]
    ],
    aliases=("Statements", "Totals"),
)

TITLES = SheetKind(
    "Title",
    "Who owns a unit from which day, apart from where it is.",
    80,
    "receive_unit",
    (
        *unit_columns(),
        column_of(TitleFact, "from_on"),
        column_of(TitleFact, "sort"),
        column_of(TitleFact, "owner"),
        column_of(TitleFact, "return_by"),
        column_of(TitleFact, "core_due_on"),
        column_of(TitleFact, "customs"),
        column_of(TitleFact, "restriction"),
        column_of(TitleFact, "document"),
    ),
    bring_titles,
    [
        [
            "EXMKR",
            "EX-10",
            "S0002",
            "2026-02-01",
            "pool loan",
            "Example Pool",
            "2027-01-31",
            "",
            "",
            "",
            "Loan 88",
        ]
    ],
    aliases=("Titles", "Ownership"),
)

CERTIFICATES = SheetKind(
    "Certificates",
    "Release certificates and other papers of units.",
    80,
    "record_certificate",
    (
        *unit_columns(),
        *columns_of(CertificateFact),
    ),
    bring_certificates,
    [
        [
            "EXMKR",
            "EX-10",
            "S0001",
            "Release certificate",
            "EX-4711",
            "2024-01-31",
            "Example Shop",
            "OVERHAULED",
            "",
        ]
    ],
    aliases=("Papers",),
)

SHEETS = (STATEMENTS, TITLES, CERTIFICATES)
