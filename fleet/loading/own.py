"""An own spreadsheet on its way in: read by what was said of it, compared before anything is kept."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from django.conf import settings

from fleet.house.refusals import Refused
from fleet.intake.files import MOST_BYTES, read_file
from fleet.intake.problems import UnreadableFile, shown
from fleet.intake.workbooks.ods import read_ods
from fleet.models import (
    Aircraft,
    AircraftType,
    Kind,
    Measure,
    OwnMapping,
    Station,
    TypePosition,
    UtilisationReading,
)
from fleet.own_sheets.beside.claims import Claim, claims_of
from fleet.own_sheets.beside.comparing import compared
from fleet.own_sheets.house import House, Position
from fleet.own_sheets.said import Said, said_of
from fleet.own_sheets.suspicions.doubt import Doubt
from fleet.own_sheets.whole import tables_from
from fleet.own_sheets.words.counts import CODES

from .batch import Finding
from .outcomes import SheetResult
from .ports import equipment_on_record, reckoned_beside, stamp_told


def house_on_record() -> House:
    """What the house has on record, as far as an own spreadsheet is read by it. Seven queries."""
    positions = TypePosition.objects.values_list(
        "aircraft_type__code", "code", "name", "kind__code"
    )
    return House(
        kinds=dict(Kind.objects.order_by("code").values_list("code", "name")),
        stations=dict(Station.objects.order_by("code").values_list("code", "name")),
        types=dict(AircraftType.objects.order_by("code").values_list("code", "name")),
        aircraft=dict(Aircraft.objects.values_list("registration", "aircraft_type__code")),
        positions=[Position(*row) for row in positions.order_by("pk")],
        measures=frozenset(Measure.objects.values_list("code", flat=True)),
        zone=settings.GREENBAND_TODAY_ZONE,
        totals=_totals_read(),
        tell_stamp=stamp_told,
    )


def _totals_read() -> dict[tuple[str, str], int]:
    codes = {code: measure for measure, code in CODES.items()}
    readings = UtilisationReading.objects.filter(
        measure__code__in=codes, corrected_by=None, is_conforming=True
    )
    latest = readings.order_by("aircraft", "measure", "-read_at", "-pk")
    rows = latest.distinct("aircraft", "measure").values_list(
        "aircraft__registration", "measure__code", "total"
    )
    return {(craft, codes[code]): total for craft, code, total in rows}


def sheets_in(path: Path, name: str, most_bytes: int = MOST_BYTES) -> list[Any]:
    """The sheets of an own file: XLSX, ODS or CSV. Raises :class:`UnreadableFile` with a sentence."""
    found = read_ods(path, name, most_bytes)
    return found if found is not None else read_file(path, name, most_bytes)


def said_by(mapping: str) -> dict[str, Any] | None:
    """What a kept mapping says; None for no name. Refuses (``unknown_mapping``, at ``mapping``) a name
    under which none is kept, with those that are."""
    if not mapping.strip():
        return None
    kept = OwnMapping.objects.filter(name=" ".join(mapping.split())).first()
    if kept is None:
        names = ", ".join(OwnMapping.objects.order_by("name").values_list("name", flat=True)[:20])
        raise Refused(
            "unknown_mapping",
            f"No mapping is kept as '{shown(mapping)}'. Kept are: {names or 'none yet'}.",
            "mapping",
        )
    return said_of(kept.said).as_json()


def day_of(said: Said, today: dt.date) -> dt.date:
    """The day that an own spreadsheet holds for: as said, at the latest today."""
    try:
        return min(dt.date.fromisoformat(said.day), today)
    except ValueError:
        return today


class OwnReader:
    """Reads own files by what was said, for :func:`fleet.loading.run.load_files`; keeps their claims."""

    def __init__(self, said: object, today: dt.date) -> None:
        self.said = said_of(said)
        self.today = today
        self.claims: list[Claim] = []
        self.doubts: list[Doubt] = []

    def __call__(self, path: Path, name: str, most_bytes: int) -> list[SheetResult]:
        """The tables of one file as results that wait to be brought in; of one unread, its finding."""
        try:
            raws = sheets_in(path, name, most_bytes)
        except UnreadableFile as error:
            return [_unread(name, error.code, error.message)]
        house = house_on_record()
        whole, tables = tables_from(
            raws,
            self.said,
            house,
            day=day_of(self.said, self.today),
            file=name,
            ask_record=equipment_on_record,
        )
        open_points = [*whole.faults, *(question.sentence for question in whole.questions)]
        if open_points:
            return [_unread(name, "not_said", sentence) for sentence in open_points]
        if not tables:
            return [_unread(name, "nothing_to_read", "No unit and no total was found in it.")]
        self.doubts += whole.doubts
        self.claims += claims_of(whole.taken, whole.sheets, house, self.said)
        return [SheetResult(name, table.sheet, table=table) for table in tables]

    def beside(self) -> dict[str, Any]:
        """The sheet's next dates beside the reckoned ones, as kept with the load. Inside the load's
        transaction, once its lines are in."""
        found = compared(self.claims, reckoned_beside(self.claims, self.today)).as_json()
        return found | {"suspicions": [_told(doubt) for doubt in self.doubts]}


#: Of each suspicion so many lines are told one by one; all are counted.
MOST_TOLD = 200


def _told(doubt: Doubt) -> dict[str, Any]:
    lines = [
        {
            "sheet": line.sheet,
            "cell": line.cell,
            "holds": line.holds,
            "says": line.says,
            "meant": line.meant,
        }
        for line in doubt.lines[:MOST_TOLD]
    ]
    return {
        "code": doubt.code,
        "sentence": doubt.sentence,
        "count": len(doubt.lines),
        "is_left_out": doubt.is_left,
        "lines": lines,
    }


def _unread(file: str, code: str, message: str) -> SheetResult:
    return SheetResult(file, "", findings=[Finding(0, "", code, message)])
