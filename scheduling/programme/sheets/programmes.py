"""Works, programmes, and which aircraft follows which programme from when."""

from __future__ import annotations

from fleet.intake.columns import CODE, DAY, LIST, YES_NO
from fleet.intake.registry import NAMED_AIRCRAFT, Column, SheetKind
from fleet.loading import lookups as fleet_lookups
from fleet.loading.batch import Batch
from fleet.loading.plain import bring_plain, recorded
from scheduling.models import Programme, ProgrammeOfAircraft, Work

from . import lookups


def bring_works(batch: Batch) -> None:
    values = {name: batch[name] for name in ("code", "name", "is_done_in_place", "certified_by")}
    may_change = ("name", "is_done_in_place", "certified_by")
    bring_plain(batch, Work, key=("code",), values=values, may_change=may_change)


def bring_programmes(batch: Batch) -> None:
    fields = ("code", "name", "operator", "revision", "govern_spares")
    values = {name: batch[name] for name in fields}
    bring_plain(batch, Programme, key=("code",), values=values, may_change=fields[1:])


def bring_programmes_of_aircraft(batch: Batch) -> None:
    values = {
        "aircraft_id": fleet_lookups.aircraft(batch),
        "from_on": batch["from_on"],
        "programme_id": lookups.programmes(batch),
    }
    key = ("aircraft_id", "from_on")
    bring_plain(batch, ProgrammeOfAircraft, key=key, values=values, fixed=recorded(batch))


PROGRAMME = Column("Programme", "programme", CODE, True, "Code of the programme.", most=24)

WORKS = SheetKind(
    "Works",
    "Kinds of work that limits ask for.",
    10,
    "enter_programme",
    (
        Column("Code", "code", CODE, True, "Short code.", ("work",), most=24),
        Column("Name", "name", needed=True, meaning="Its name.", most=60),
        Column(
            "Done in place",
            "is_done_in_place",
            YES_NO,
            meaning="yes if the unit stays where it is fitted while it is done.",
        ),
        Column(
            "Certified by",
            "certified_by",
            LIST,
            meaning="Terms of a certificate's status block that certify it; blank: as whoever copies the certificate reads it.",
            most=40,
        ),
    ),
    bring_works,
    [
        ["EXOVH", "Overhaul (example)", "", "Overhauled"],
        ["EXHYD", "Hydrostatic test (example)", "no", "Overhauled, Inspected/Tested"],
    ],
)

PROGRAMMES = SheetKind(
    "Programmes",
    "Maintenance programmes, each at its revision.",
    20,
    "enter_programme",
    (
        Column("Code", "code", CODE, True, "Short code.", ("programme",), most=24),
        Column("Name", "name", needed=True, meaning="Its name."),
        Column("Operator", "operator", meaning="Whose programme it is."),
        Column("Revision", "revision", CODE, True, "Its revision.", ("rev",), most=24),
        Column(
            "Govern spares",
            "govern_spares",
            YES_NO,
            meaning="yes if units off aircraft are calculated by it.",
        ),
    ),
    bring_programmes,
    [["EX-MP", "Example programme", "Example Air", "7", "yes"]],
)

PROGRAMMES_OF_AIRCRAFT = SheetKind(
    "Programme of aircraft",
    "From which day an aircraft follows which programme.",
    50,
    "enter_programme",
    (
        NAMED_AIRCRAFT,
        Column("From", "from_on", DAY, True, "From this day on.", ("from date", "date")),
        PROGRAMME,
    ),
    bring_programmes_of_aircraft,
    [["Q-EXA", "2015-07-10", "EX-MP"], ["Q-EXB", "2015-07-10", "EX-MP"]],
    aliases=("Programmes of aircraft", "Aircraft programmes"),
)

SHEETS = (WORKS, PROGRAMMES, PROGRAMMES_OF_AIRCRAFT)
