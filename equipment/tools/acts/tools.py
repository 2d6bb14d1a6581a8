"""Wrenches, meters and gauges: entered, calibrated, and reported when they cannot be relied on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from equipment.common.said import station_coded
from equipment.common.texts import lock_entering, too_long
from equipment.judging.measuring.calibration import range_of
from equipment.judging.measuring.quantities import read_quantity
from equipment.judging.verdicts import Problem
from equipment.ledger.facts import Entered, RowsRefused
from equipment.models import Calibration, Tool
from fleet.acts.act import Act
from fleet.acts.fields import Heading, choice, day, text, yes_no
from fleet.house.desks import ask
from fleet.house.moments import why_future
from fleet.house.refusals import Refusal
from fleet.intake.columns import CODE, SERIAL
from fleet.models import Station, User


@dataclass(frozen=True, slots=True)
class NewTool:
    """A tool; ``length`` is a wrench's, as typed, from the square to the middle of the grip."""

    code: str = text(
        "Tool",
        24,
        heading=Heading("Tool", "Code of the tool.", ("code", "tool number"), CODE),
    )
    sort: str = choice(
        "Kind of tool", Tool.SORTS, heading=Heading("Kind of tool", "What it measures.", ("sort",))
    )
    description: str = text("Description", 80, heading=Heading("Description", "What it is."))
    serial_number: str = text(
        "Serial number",
        40,
        default="",
        heading=Heading("Serial number", "Its serial number.", ("S/N",), SERIAL, most=80),
    )
    station_id: int | None = station_coded(
        default=None, heading=Heading("Station", "Where it is kept.")
    )
    length: str = text(
        "Length",
        60,
        default="",
        help="Of a wrench, as 230 mm: from the square to the middle of the grip.",
    )
    measures: str = text(
        "Measures",
        60,
        default="",
        help="The least and most that it can show, as 10 to 100 in-lb. A value beyond it is not judged.",
        heading=Heading(
            "Measures",
            "The least and most that it can show: 10 to 100 in-lb. A value beyond it is not judged.",
            ("range",),
        ),
    )
    at_least_yearly: bool = yes_no(
        "Calibrated at least yearly",
        help="No calibration of it is good for more than a year, whatever its certificate says.",
        heading=Heading(
            "Calibrated at least yearly",
            "yes: no calibration is good for more than a year, whatever its certificate says.",
            ("at least yearly",),
        ),
    )


@dataclass(frozen=True, slots=True)
class NewCalibration:
    """A tool was calibrated on a day, and is good until ``due_on``, that day included."""

    tool: str = text(
        "Tool", 24, help="Its code.", heading=Heading("Tool", "Code of the tool.", kind=CODE)
    )
    done_on: date = day("Done on", heading=Heading("Done on", "The day.", ("date",), has_come=True))
    due_on: date = day("Good until", help="The last day that it is good for.")
    certificate: str = text("Certificate", 80)


@transaction.atomic
def enter_tools(*, by: User, rows: Sequence[NewTool], at: datetime) -> list[Entered]:
    """This will enter tools by their codes; of one on record, where it is kept, its description,
    length, range and yearly calibration become what is said.

    Refuses (:class:`RowsRefused`) an unknown sort or station, a length or range that cannot be read,
    and a code on record for a tool of another sort or serial number.
    """
    ask(by, "enter_tool")
    lock_entering("tools")
    wrong, read = {}, []
    for place, row in enumerate(rows):
        length = read_quantity(row.length, "mm", expected="mm") if row.length.strip() else None
        known = Tool.objects.filter(code__iexact=row.code.strip()).first()
        if why := _why_not_tool(row, known, length):
            wrong[place] = why
        read.append(None if length is None or isinstance(length, Problem) else float(length.value))
    if wrong:
        raise RowsRefused(wrong)
    return [_tool(row, length, at) for row, length in zip(rows, read, strict=True)]


def _why_not_tool(row: NewTool, known: Tool | None, length: object) -> list[Refusal]:
    lengths = {"code": 24, "description": 80}
    found = too_long(row, lengths, needed=tuple(lengths))
    found += too_long(row, {"serial_number": 40})
    if row.sort not in dict(Tool.SORTS):
        words = f"A tool is one of: {', '.join(dict(Tool.SORTS))}."
        found.append(Refusal("unknown_sort", words, "sort"))
    if row.station_id is not None and not Station.objects.filter(pk=row.station_id).exists():
        found.append(Refusal("unknown_station", "There is no such station.", "station"))
    if row.measures.strip() and isinstance(why := range_of(row.sort, row.measures), Problem):
        found.append(why.as_refusal("measures"))
    if isinstance(length, Problem):
        found.append(length.as_refusal("length"))
    elif length is not None and not getattr(length, "value", 0) > 0:
        found.append(Refusal("negative", "A wrench is longer than nothing.", "length"))
    if known is not None and (known.sort, known.serial_number) != (row.sort, row.serial_number):
        words = f"{known.code} is on record as another tool: give this one a code of its own."
        found.append(Refusal("tool_on_record", words, "code"))
    return found


def _tool(row: NewTool, length: float | None, at: datetime) -> Entered:
    known = Tool.objects.filter(code__iexact=row.code.strip()).first()
    is_new = known is None
    tool = known or Tool(
        code=row.code.strip(), sort=row.sort, serial_number=row.serial_number, recorded_at=at
    )
    tool.description, tool.station_id, tool.length_mm = row.description, row.station_id, length
    tool.measures, tool.at_least_yearly = row.measures.strip(), row.at_least_yearly
    tool.save()
    return Entered(tool.pk, is_new=is_new)


@transaction.atomic
def record_calibrations(*, by: User, rows: Sequence[NewCalibration], at: datetime) -> list[Entered]:
    """This will record that tools were calibrated; the same again changes nothing.

    Refuses (:class:`RowsRefused`) an unknown tool, a day to come, one that ends before it begins,
    and a day for which another calibration of the tool is on record.
    """
    ask(by, "record_calibration")
    lock_entering("calibrations")
    wrong = {place: why for place, row in enumerate(rows) if (why := _why_not_calibration(row, at))}
    if wrong:
        raise RowsRefused(wrong)
    return [_calibration(row, by, at) for row in rows]


def _why_not_calibration(row: NewCalibration, at: datetime) -> list[Refusal]:
    found = too_long(row, {"certificate": 80}, needed=("certificate",))
    if not Tool.objects.filter(code__iexact=row.tool.strip()).exists():
        found.append(unknown_tool(row.tool))
    found += why_future(row.done_on, at, "done_on")
    if row.due_on < row.done_on:
        words = "A calibration is good until a day that is not before it."
        found.append(Refusal("a_calibration_says_until_when", words, "due_on"))
    known = report_known(row.tool, "calibrated", row.done_on)
    if known is not None and (known.due_on, known.certificate) != (row.due_on, row.certificate):
        words = "Another calibration of this tool is on record for this day: check the day."
        found.append(Refusal("calibration_on_record", words, "done_on"))
    return found


def _calibration(row: NewCalibration, by: User, at: datetime) -> Entered:
    known = report_known(row.tool, "calibrated", row.done_on)
    if known is not None:
        return Entered(known.pk, is_new=False)
    made = Calibration.objects.create(
        tool=Tool.objects.get(code__iexact=row.tool.strip()),
        sort="calibrated",
        done_on=row.done_on,
        due_on=row.due_on,
        certificate=row.certificate,
        recorded_at=at,
        recorded_by=by,
    )
    return Entered(made.pk)


def report_known(code: str, sort: str, on: date) -> Calibration | None:
    same = Calibration.objects.filter(tool__code__iexact=code.strip(), sort=sort, done_on=on)
    return same.order_by("pk").first()


def unknown_tool(code: str) -> Refusal:
    return Refusal(
        "unknown_tool", f"No tool “{code.strip()[:24]}” is on record: read its label again.", "tool"
    )


# --- declared ---------------------------------------------------------------------------------

ENTER_TOOL = Act(
    name="enter_tool",
    does=enter_tools,
    said=NewTool,
    as_="rows",
    in_rows=True,
    known_by="its code: what may change becomes what is sent",
    tag="Tools",
    summary="Enter a tool",
    description="Enters a tool by its code; of one on record, where it is kept, its description, its "
    "length, its range and whether it is calibrated at least yearly become what is sent.",
    address="tools",
    example={
        "code": "VT-122",
        "sort": "wrench",
        "description": "Torque wrench, 20 to 100 in-lb",
        "serial_number": "TW-5521",
        "station": "LYD",
        "length": "230 mm",
        "measures": "20 to 100 in-lb",
        "at_least_yearly": True,
    },
)
RECORD_CALIBRATION = Act(
    name="record_calibration",
    does=record_calibrations,
    said=NewCalibration,
    as_="rows",
    in_rows=True,
    known_by="the tool and the day",
    tag="Tools",
    summary="Record a calibration",
    description="Records that a tool was calibrated, by which certificate and until when it is good.",
    address="calibrations",
    example={
        "tool": "VT-104",
        "done_on": "2024-03-04",
        "due_on": "2025-03-03",
        "certificate": "CAL-2024-118",
    },
)
