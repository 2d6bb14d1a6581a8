"""Readings of aircraft totals: late ones, corrections, and those that run backwards."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from fleet.acts.act import Act
from fleet.acts.fields import Heading, coded, moment, number, text, unsaid, yes_no
from fleet.acts.repeats import Recorded, act_id_used, differs, retry_after_clash
from fleet.house import pace
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Reasons
from fleet.house.signals import facts_changed
from fleet.models import Aircraft, Measure, User, UtilisationReading
from fleet.utilisation.running_totals import RunningTotals

AT_ONCE = 5000
#: A day alone is given by its end: so much before lies its noon, in the zone that it was said in.
NOON = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class NewReading:
    """A total (minutes or a count, as the measure says) as read at an instant.

    A date alone is given as the end of that day (``fleet.house.pages.end_of``) with ``is_date_only``.
    ``corrects_id`` names the reading that this one replaces, or withdraws (``is_annulment``).
    """

    aircraft_id: int
    measure_id: int = coded(
        "Measure", Measure, "code", "measure", most=16, help="A measure's code."
    )
    read_at: datetime = moment("Read at")
    total: int = number("Total", help="Minutes, or a count, as the measure says.")
    act_id: UUID = unsaid()
    is_date_only: bool = yes_no("A day alone", default=True)
    source: str = text(
        "Source",
        80,
        default="",
        heading=Heading(
            "Source", "Where it was read, such as the log page.", ("log page", "document")
        ),
    )
    corrects_id: int | None = number(
        "Corrects", name="corrects", default=None, help="The reading that this one replaces."
    )
    is_annulment: bool = yes_no("Withdrawn", help="The corrected reading is withdrawn.")
    is_confirmed: bool = yes_no("Confirmed", help="It is right, though far beyond the usual use.")


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading beside those counted: why it runs backwards, and the question if it is hard to believe."""

    reading: NewReading
    backwards: list[str]
    question: str = ""


def record_reading(*, by: User, reading: NewReading, at: datetime) -> Recorded:
    """This will record one reading. Keeps and refuses as :func:`record_readings` does."""
    [made] = retry_after_clash(lambda: record_readings(by=by, rows=[reading], now=at))
    return Recorded(made.pk, made.recorded_at == at)


@transaction.atomic
def record_readings(
    *, by: User, rows: Sequence[NewReading], now: datetime
) -> list[UtilisationReading]:
    """This will record readings in their order and return them all, those already known too.

    A total that runs backwards against those counted is kept as not conforming, with the reasons,
    and counted by nobody until a correction names it. One far beyond the usual use is questioned
    (``total_questioned``) before it moves any date, and recorded once it is confirmed. Refuses a negative total, an annulment that
    names no reading, a day that has not come, and a correction of another aircraft's or measure's reading, of one already
    corrected or of one that is not there; and an act's id that was used for other readings.
    """
    ask(by, "record_reading")
    known = _already_recorded(rows)
    fresh = [row for row in rows if (row.act_id, row.measure_id) not in known]
    _refuse_impossible(fresh, now)
    found = judged(fresh)
    _refuse_questioned(found)
    made = [_row(each, by, now) for each in found]
    for piece in pace.pieces(made, "writing", AT_ONCE):
        UtilisationReading.objects.bulk_create(piece)
    known |= {(one.act_id, one.measure_id): one for one in made}
    if made:
        touched = sorted({row.aircraft_id for row in fresh})
        facts_changed.send(sender=record_readings, unit_ids=[], aircraft_ids=touched)
    return [known[row.act_id, row.measure_id] for row in rows]


def _already_recorded(
    rows: Sequence[NewReading],
) -> dict[tuple[UUID, int], UtilisationReading]:
    """The readings of the same acts; refuses an act that came with others, or said otherwise."""
    said = {(row.act_id, row.measure_id): row for row in rows}
    found = UtilisationReading.objects.filter(act_id__in={row.act_id for row in rows})
    kept = {(one.act_id, one.measure_id): one for one in found}
    acts = {act for act, _ in kept}
    if any(key not in kept for key in said if key[0] in acts) or any(
        key not in said or differs(asdict(said[key]), vars(one)) for key, one in kept.items()
    ):
        raise act_id_used()
    return kept


def _refuse_impossible(rows: Sequence[NewReading], now: datetime) -> None:
    reasons = Reasons()
    named = UtilisationReading.objects.in_bulk([r.corrects_id for r in rows if r.corrects_id])
    spent = set(
        UtilisationReading.objects.filter(corrects__in=named).values_list("corrects", flat=True)
    )
    for row in rows:
        if row.total < 0:
            reasons.add("reading_negative", "A total cannot be negative. Give it as read.", "total")
        when = (row.read_at - NOON).astimezone(UTC).date() if row.is_date_only else row.read_at
        reasons.found += why_future(when, now, "read_at", "give the day on which it was read.")
        if row.corrects_id is None:
            if row.is_annulment:
                reasons.add(
                    "annulment_names_nothing",
                    "To withdraw a reading, name the one withdrawn.",
                    "corrects",
                )
            continue
        one = named.get(row.corrects_id)
        if one is None or (one.aircraft_id, one.measure_id) != (row.aircraft_id, row.measure_id):
            reasons.add(
                "corrects_another",
                "The reading to correct is not one of this aircraft and measure. Name one that is.",
                "corrects",
            )
        elif row.corrects_id in spent:
            reasons.add(
                "already_corrected",
                "This reading was corrected before. Correct the one that replaced it.",
                "corrects",
            )
        spent.add(row.corrects_id)
    reasons.refuse()


def totals_counted(wanted: Collection[tuple[int, int]]) -> dict[tuple[int, int], RunningTotals]:
    """The readings that count now, of each aircraft and measure."""
    found: dict[tuple[int, int], list[tuple[datetime, int, int, bool]]] = defaultdict(list)
    counted = UtilisationReading.objects.filter(
        aircraft__in={aircraft for aircraft, _ in wanted},
        is_conforming=True,
        is_annulment=False,
        corrected_by=None,
    )
    for aircraft, measure, at, total, pk, is_day in counted.values_list(
        "aircraft_id", "measure_id", "read_at", "total", "pk", "is_date_only"
    ):
        found[aircraft, measure].append((at, total, pk, is_day))
    units = dict(Measure.objects.values_list("pk", "unit"))
    based = Aircraft.objects.filter(pk__in={aircraft for aircraft, _ in wanted})
    zones = {key: ZoneInfo(name) for key, name in based.values_list("pk", "station__time_zone")}
    return {
        key: RunningTotals(found[key], units.get(key[1], ""), zones.get(key[0], UTC))
        for key in wanted
    }


def judged(rows: Sequence[NewReading]) -> list[Judged]:
    """Each reading beside those counted and those before it in the rows; nothing is written."""
    totals = totals_counted({(row.aircraft_id, row.measure_id) for row in rows})
    return [_judged(row, totals[row.aircraft_id, row.measure_id]) for row in rows]


def _judged(row: NewReading, counted: RunningTotals) -> Judged:
    if row.corrects_id is not None:
        counted.leave_out(row.corrects_id)
    if row.is_annulment:
        return Judged(row, [])
    if reasons := counted.why_backwards(row.read_at, row.total):
        return Judged(row, reasons)
    question = "" if row.is_confirmed else counted.why_too_much(row.read_at, row.total)
    if not question:
        counted.count(row.read_at, row.total, is_day=row.is_date_only)
    return Judged(row, [], question)


def _refuse_questioned(found: Iterable[Judged]) -> None:
    reasons = Reasons()
    for each in found:
        if each.question:
            reasons.add("total_questioned", each.question, "total")
    reasons.refuse()


def _row(judged: Judged, by: User, now: datetime) -> UtilisationReading:
    row = judged.reading
    return UtilisationReading(
        **asdict(row),
        is_conforming=not judged.backwards,
        reasons=judged.backwards,
        recorded_at=now,
        recorded_by=by,
    )


# --- declared ---------------------------------------------------------------------------------

RECORD_READING = Act(
    name="record_reading",
    does=record_reading,
    said=NewReading,
    as_="reading",
    id_in_row=True,
    tag="Aircraft",
    summary="Record a reading",
    description="Records a total as read, late or corrected ones too. One that runs backwards is "
    "kept as not conforming and counted by nobody until it is corrected.",
    address="aircraft/<str:registration>/readings",
    example={
        "act_id": "3f0f8a52-6c1e-4f0e-9a0e-2d7a3f1b9c11",
        "measure": "FH",
        "read_on": "2026-03-03",
        "total": 740730,
        "source": "tech log 4711",
    },
)
