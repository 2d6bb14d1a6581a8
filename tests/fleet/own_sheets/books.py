"""Own workbooks as operators keep them, written for these tests: each of another shape, with its mess.

``MEANT`` says by book, sheet and column (counted from A) what each column is.
"""

from __future__ import annotations

import datetime as dt
import random
from pathlib import Path

import xlsxwriter

Rows = list[list[object]]
DAY = dt.date(2026, 11, 30)


def on(year: int, month: int, day: int) -> dt.datetime:
    return dt.datetime(year, month, day)  # noqa: DTZ001 (a workbook's dates have no zone)


def later(start: dt.datetime, months: int) -> dt.datetime:
    month = start.month - 1 + months
    return start.replace(
        year=start.year + month // 12, month=month % 12 + 1, day=min(start.day, 28)
    )


def status() -> dict[str, Rows]:
    """A row for each unit, works across under merged headings, aircraft cells merged, spares, signatures."""
    rows: Rows = [
        ["QUILL AIR - EMERGENCY EQUIPMENT STATUS", "", "", "", "", "", "", "", "", "", "", ""],
        ["Rev 14", "", "", "", "", "", "", "", "", "as of 28-Nov-26"],
        [],
        [
            "A/C",
            "POS",
            "ITEM",
            "P/N",
            "S/N",
            "DOM",
            "OVERHAUL",
            "",
            "HYDRO TEST",
            "",
            "LIFE LIMIT",
            "REMARKS",
        ],
        ["", "", "", "", "", "", "DONE", "NEXT", "DONE", "NEXT", "", ""],
    ]
    chance = random.Random(4)
    number = 4101
    for tail in ("Q-ABA", "Q-ABB", "Q-ABC", "Q-ABD"):
        for n, place in enumerate(("1L", "1R", "2L", "2R")):
            done = on(2024, chance.randint(1, 12), chance.randint(1, 28))
            serial: object = f"{number:05d}" if number % 3 else number
            rows.append(
                [
                    tail if n == 0 else "",
                    place,
                    "SLIDE",
                    "KA-1000-" + ("1" if place[1] == "L" else "2"),
                    serial,
                    on(2015, 1 + n, 3),
                    done,
                    later(done, 36),
                    "N/A",
                    "-",
                    later(on(2015, 1 + n, 3), 180),
                    "",
                ]
            )
            tested = on(2023, chance.randint(1, 12), chance.randint(1, 28))
            rows.append(
                [
                    "",
                    place,
                    "SLIDE BTL",
                    "KB 301",
                    f"B{700 + number % 100}-{n}",
                    on(2014, 2, 3),
                    "O/C",
                    "N/A",
                    tested,
                    later(tested, 60),
                    "",
                    "ex Q-ABZ, in shop?" if number == 4105 else "",
                ]
            )
            number += 1
    rows += [[], ["SPARES"]]
    for n in range(3):
        done = on(2025, 1 + n, 5)
        rows.append(
            [
                "",
                "STORES",
                "SLIDE",
                "KA-1000-1",
                f"0419{n}",
                on(2016, 1, 3),
                done,
                later(done, 36),
                "N/A",
                "-",
                "",
                "",
            ]
        )
    rows += [["", "STORES", "SLIDE", "KA 1000-1", "TBA", "", "", "", "", "", "", ""]]
    rows += [[], ["TOTAL", "", 36], ["Prepared by: J. Doe", "", "", "", "Checked by:"]]
    return {"Status": rows}


def works() -> dict[str, Rows]:
    """A row for each work; the unit is said once; dates as text, day first proven by one of them."""
    rows: Rows = [
        [
            "Tail",
            "Location",
            "Description",
            "Part No.",
            "Serial No.",
            "Task",
            "Last Done",
            "Interval (months)",
            "Next Due",
            "Days Left",
        ]
    ]
    chance = random.Random(7)
    for t, tail in enumerate(("Q-KLA", "Q-KLB", "Q-KLC")):
        for n, place in enumerate(("FWD LH DOOR", "AFT RH DOOR", "COCKPIT")):
            item, part = (
                ("Fire extinguisher BCF", "H-12-A") if n == 2 else ("Escape slide", "S-77-B")
            )
            for w, (task, months) in enumerate((("Weight check", 12), ("Hydrostatic test", 60))):
                done = on(2025, chance.randint(1, 12), chance.randint(1, 28))
                due = later(done, months)
                rows.append(
                    [
                        tail if w == 0 and n == 0 else "",
                        place if w == 0 else "",
                        item if w == 0 else "",
                        part if w == 0 else "",
                        f"W{t}{n}331" if w == 0 else "",
                        task,
                        f"{done:%d/%m/%Y}",
                        months,
                        f"{due:%d/%m/%Y}",
                        (due.date() - DAY).days,
                    ]
                )
    return {"Due": rows}


def per_aircraft() -> dict[str, Rows]:
    """A sheet for each aircraft, its registration in the sheet's name; month stamps; a note under the table."""
    book: dict[str, Rows] = {}
    for t, tail in enumerate(("Q-RTA", "Q-RTB", "Q-RTC")):
        rows: Rows = [[f"AIRCRAFT {tail}   TYPE: T-200", "", ""], []]
        rows.append(
            [
                "No",
                "Equipment",
                "Location",
                "P/N",
                "S/N",
                "Mfg Date",
                "Inst Date",
                "Last HST",
                "Next HST",
                "Expiry",
            ]
        )
        for n in range(8):
            item = ("O2 CYL", "PBE", "LIFE VEST", "FIRE EXT")[n % 4]
            place = ("Flight deck", "Fwd galley", "Aft galley", "Cabin row 12")[n % 4] + (
                " 2" if n > 3 else ""
            )
            rows.append(
                [
                    n + 1,
                    item,
                    place,
                    f"P{n % 4}00-{n % 4}1",
                    f"{t}{n}55{n}",
                    f"{(n % 9) + 1:02d}/2018",
                    on(2024, 5, 1 + n),
                    f"MAR {20 + n % 4}" if item == "O2 CYL" else "N/A",
                    f"MAR {25 + n % 4}" if item == "O2 CYL" else "N/A",
                    "" if item == "O2 CYL" else f"JUN {2027 + n % 3}",
                ]
            )
        rows += [[], ["Note: dates as per labels"], ["Signature:", "", "Date:"]]
        book[tail] = rows
    return book


def months_across() -> dict[str, Rows]:
    """Months across with hours and cycles beneath, beside a list of units."""
    heads: list[object] = ["Aircraft", ""]
    for month in range(6, 12):
        heads += [on(2026, month, 1), ""]
    rows: Rows = [["FLEET UTILISATION 2026"], heads, ["", "", *(["FH", "FC"] * 6)]]
    for n, tail in enumerate(("Q-ABA", "Q-ABB", "Q-ABC", "Q-ABD")):
        row: list[object] = [tail, ""]
        for month in range(6):
            row += [21000 + 1000 * n + 210 * month, 11000 + 500 * n + 95 * month]
        rows.append(row)
    return {"Hours": rows, **status()}


def two_in_a_cell() -> dict[str, Rows]:
    """Two serial numbers in one cell, with L/R beside them; part and serial headed plainly; no aircraft merged."""
    rows: Rows = [
        [
            "REG",
            "EQUIPMENT",
            "PLACE",
            "PART NUMBER",
            "SERIAL",
            "LAST OVH",
            "OVH DUE",
            "BATT EXP",
            "STATUS",
        ],
    ]
    for n, tail in enumerate(("Q-VAA", "Q-VAB", "Q-VAC", "Q-VAD", "Q-VAE")):
        rows.append(
            [
                tail,
                "Slide",
                "DOOR 1 L/R",
                "V-10",
                f"07{n}11 / 07{n}12",
                f"0{n + 1}-Feb-25",
                f"0{n + 1}-Feb-28",
                "",
                "OK",
            ]
        )
        rows.append(
            [
                tail,
                "Slide",
                "DOOR 2 L/R",
                "V-10",
                f"07{n}21\n07{n}22",
                f"1{n + 1}-Mar-25",
                f"1{n + 1}-Mar-28",
                "",
                "OK",
            ]
        )
        rows.append(
            [
                tail,
                "Emergency light battery",
                "AFT CABIN",
                "BP-9",
                f"E90{n}",
                "",
                "",
                f"2{n}-Jan-27",
                "OK",
            ]
        )
    rows.append(["Total units", "", "", "", 25])
    return {"Sheet1": rows}


def spares() -> dict[str, Rows]:
    """A sheet of spares only, and one of fitted units, in another order and with other words."""
    fitted: Rows = [
        [
            "S/N",
            "P/N",
            "DESCRIPTION",
            "MFR",
            "A/C REG",
            "FITTED AT",
            "WEIGHT CHK DONE",
            "WEIGHT CHK DUE",
            "NOTES",
        ]
    ]
    stock: Rows = [
        ["SERVICEABLE STOCK - MAIN STORES"],
        [],
        ["S/N", "P/N", "DESCRIPTION", "MFR", "SHELF", "WEIGHT CHK DONE", "WEIGHT CHK DUE"],
    ]
    for n in range(12):
        done = on(2026, 1 + n % 9, 4)
        fitted.append(
            [
                f"XT-{500 + n}",
                "EX-44",
                "Halon extinguisher",
                "Quarry Works",
                ("Q-NNA", "Q-NNB", "Q-NNC")[n % 3],
                ("GALLEY 1", "GALLEY 2", "CKPT", "LAV A")[n // 3],
                done,
                later(done, 12),
                "",
            ]
        )
    for n in range(5):
        done = on(2026, 2 + n, 9)
        stock.append(
            [
                f"XT-{700 + n}",
                "EX-44",
                "Halon extinguisher",
                "Quarry Works",
                f"A{n}",
                done,
                later(done, 12),
            ]
        )
    return {"Fitted": fitted, "Spares": stock}


def slashed() -> dict[str, Rows]:
    """Slashed dates that can be read two ways, each of them: it has to be asked."""
    rows: Rows = [
        [
            "Aircraft",
            "Position",
            "Item",
            "Part number",
            "Serial number",
            "Overhauled on",
            "Next overhaul",
        ]
    ]
    for n in range(6):
        rows.append(
            [
                f"Q-S{'ABC'[n % 3]}A",
                f"{n // 3 + 1}L",
                "Slide",
                "SL-1",
                f"S{n}001",
                f"0{n + 1}/05/2025",
                f"0{n + 1}/05/2028",
            ]
        )
    return {"Slides": rows}


def foreign() -> dict[str, Rows]:
    """Headings in another language: what is left of them is told by contents."""
    rows: Rows = [
        ["Letadlo", "Umístění", "Popis", "Číslo dílu", "Výrobní číslo", "Datum revize", "Platnost"]
    ]
    for n in range(9):
        rows.append(
            [
                ("Q-CZA", "Q-CZB", "Q-CZC")[n // 3],
                ("1L", "1R", "2L")[n % 3],
                "Slide",
                "CZ-88-1",
                f"C{n}4410",
                on(2024, 1 + n, 2),
                on(2027, 1 + n, 2),
            ]
        )
    return {"Přehled": rows}


def no_item() -> dict[str, Rows]:
    """A sheet for each kind, named by it; three columns of two works, one of them reckoned days; headings in two rows."""
    book: dict[str, Rows] = {}
    for name, part in (("FIRE EXTINGUISHERS", "H-880-2"), ("PBE", "P-14-1")):
        rows: Rows = [
            ["", "", "", "", "HYDRO TEST", "", "", "WEIGHT CHECK", "", ""],
            ["REG", "LOC", "PN", "SN", "DONE", "DUE", "REM", "DONE", "DUE", "REM"],
        ]
        for n in range(8):
            tested, weighed = on(2023, 1 + n, 3), on(2026, 1 + n, 3)
            rows.append(
                [
                    f"Q-H{'AB'[n % 2]}A",
                    ("Cockpit", "Galley FWD", "L1 stowage", "Aft cabin LH")[n // 2],
                    part,
                    f"{part[0]}-{n}99",
                    tested,
                    later(tested, 60),
                    400 + n,
                    weighed,
                    later(weighed, 12),
                    100 + n,
                ]
            )
        book[name] = rows
    return book


def wrapped() -> dict[str, Rows]:
    """Headings on two lines of a cell, numbers as serial numbers, a life with its years in brackets over a date."""
    rows: Rows = [
        [
            "Reg.",
            "Component",
            "Installed\nlocation",
            "Part\nNumber",
            "Serial\nNumber",
            "Date of\nmanufacture",
            "Date\ninstalled",
            "Last\nhydro test",
            "Hydro test\nexpires",
            "Life limit\n(15 yrs)",
            "Comments",
        ]
    ]
    for n in range(9):
        rows.append(
            [
                f"Q-N{'ABC'[n % 3]}Z",
                "Oxygen cylinder",
                ("Fwd lav", "Aft lav", "Cockpit")[n // 3],
                "OX-1",
                float(90000 + n),
                "Mar-15",
                on(2023, 5, 1 + n),
                on(2022, 5, 1),
                on(2027, 5, 1),
                on(2030, 3, 31),
                "",
            ]
        )
    return {"O2": rows}


def blocks() -> dict[str, Rows]:
    """A block for each aircraft, its registration in a row alone, the headings again in each."""
    rows: Rows = []
    for tail in ("Q-MAA", "Q-MAB", "Q-MAC"):
        rows += [
            [f"AIRCRAFT {tail} MSN 1234"],
            ["Item", "Qty", "P/N", "S/N", "Location", "Overhaul date", "Next overhaul"],
        ]
        for n in range(5):
            rows.append(
                [
                    "Life raft",
                    "1",
                    "R-10",
                    f"{tail[-1]}{n}45",
                    f"Overhead bin {n}",
                    f"{n + 1} Jan 2025",
                    f"{n + 1} Jan 2028",
                ]
            )
        rows.append([])
    return {"Rafts": rows}


def at_doors() -> dict[str, Rows]:
    """A line for each aircraft and a column for each door: serial numbers only, what they are in the heading."""
    rows: Rows = [
        ["SLIDE SERIAL NUMBERS", "", "updated 27 Nov"],
        ["Reg", "MSN", "Slide 1L", "Slide 1R", "Slide 2L", "Slide 2R", "Remarks"],
    ]
    for n, tail in enumerate(("Q-PAA", "Q-PAB", "Q-PAC", "Q-PAD")):
        serials: list[object] = [f"A{n}{d}715" for d in range(4)]
        rows.append([tail, 3000 + n, *serials, ""])
    rows[3][4] = "TBA"
    rows[4][5] = "N/A"
    return {"Doors": rows}


def under_doors() -> dict[str, Rows]:
    """Doors merged over three columns each: part, serial number and the next overhaul of the slide there."""
    rows: Rows = [
        ["ESCAPE SLIDES"],
        ["A/C", "L1", "", "", "", "R1", "", "", ""],
        ["", *(["P/N", "S/N", "LAST OVH", "NEXT OVH"] * 2)],
    ]
    for n, tail in enumerate(("Q-PBA", "Q-PBB", "Q-PBC", "Q-PBD", "Q-PBE")):
        row: list[object] = [tail]
        for d in range(2):
            done = on(2024, 1 + n, 3 + d)
            row += [f"KA-20-{d + 1}", f"{d}{n}881", done, later(done, 36)]
        rows.append(row)
    return {"Slides": rows}


def totals() -> dict[str, Rows]:
    """Units with hours and cycles since new and since overhaul; a small sheet of aircraft with their own totals."""
    units: Rows = [
        [
            "Tail",
            "Pos",
            "Description",
            "P/N",
            "S/N",
            "TSN",
            "CSN",
            "TSO (FH)",
            "CSO",
            "Insp. done",
            "Insp. due",
        ]
    ]
    for n in range(8):
        done = on(2026, 1 + n, 12)
        units.append(
            [
                ("Q-TTA", "Q-TTB")[n % 2],
                f"D{n // 2 + 1}L",
                "Door cylinder",
                "DC-50",
                f"DC{n}72",
                f"{12000 + n}:30",
                6000 + n,
                800 + n,
                "" if n else "TBA",
                done,
                later(done, 24),
            ]
        )
    fleet: Rows = [["Aircraft", "TSN", "CSN", "As of"]]
    fleet += [[f"Q-TT{t}", 21000 + i, 9000 + i, on(2026, 11, 25)] for i, t in enumerate("AB")]
    return {"Cylinders": units, "Aircraft": fleet}


def five_clocks() -> dict[str, Rows]:
    """As a planner in a hurry keeps it: short heads, five clocks a row, aircraft without hyphen, subtotals, blanks."""
    rows: Rows = [
        ["", "EMER EQPT CTRL SHT", "", "", "", "", "", "", "", "", "", "", "ISS 7"],
        [],
        [
            "TAIL#",
            "LOC'N",
            "NOMEN.",
            "PNR",
            "SER#",
            "O/HAUL L/D",
            "O/HAUL N/D",
            "HST L/D",
            "HST N/D",
            "WT CK LAST",
            "WT CK NEXT",
            "BATT CHG DUE",
            "LLP EXP",
            "RMK",
        ],
    ]
    for t, tail in enumerate(("QJAA", "QJAB", "QJAC")):
        for n in range(4):
            hauled, tested = on(2024, 1 + n, 7 + t), on(2023, 5 + n, 2 + t)
            weighed = on(2026, 1 + n, 21 + t)
            rows.append(
                [
                    tail if n == 0 else "",
                    ("fwd l/h", "fwd r/h", "aft l/h", "aft r/h")[n],
                    "esc slide w/ btl",
                    "ES300-3",
                    f"{t}{n}0417",
                    hauled,
                    later(hauled, 36),
                    tested,
                    later(tested, 60),
                    weighed,
                    later(weighed, 12),
                    on(2028, 1 + n, 1),
                    on(2034, 1 + n, 1),
                    "chk w/ stores" if n == 3 else "",
                ]
            )
        rows += [["", "", f"total {tail}", "", 4], []]
    return {"CTRL": rows}


def by_equipment() -> dict[str, Rows]:
    """A block for each sort of equipment, its word above; the aircraft in a middle column; text dates; no title."""
    rows: Rows = []
    for word, part, months in (("PORTABLE OXYGEN", "PO-120", 60), ("SMOKE HOODS", "SH 7", 120)):
        rows += [[word], ["SN", "part no", "a/c", "where", "mfg", "last test", "next test", "st."]]
        for n in range(6):
            tested = on(2022 + n % 3, 1 + n, 11)
            rows.append(
                [
                    f"{part[:2]}{n}-77{n}",
                    part,
                    ("Q-LAA", "Q-LAB")[n % 2],
                    ("gal. aft", "row 14 LH", "ckpt")[n // 2],
                    f"{1 + n}/17",
                    f"{tested:%d %b %y}",
                    f"{later(tested, months):%d %b %y}",
                    "ok",
                ]
            )
        rows.append([])
    return {"equip": rows}


BOOKS = {
    "five_clocks": five_clocks,
    "by_equipment": by_equipment,
    "totals": totals,
    "at_doors": at_doors,
    "under_doors": under_doors,
    "no_item": no_item,
    "wrapped": wrapped,
    "blocks": blocks,
    "status": status,
    "works": works,
    "per_aircraft": per_aircraft,
    "months_across": months_across,
    "two_in_a_cell": two_in_a_cell,
    "spares": spares,
    "slashed": slashed,
    "foreign": foreign,
}

MEANT: dict[str, dict[str, str]] = {
    "five_clocks": {
        "CTRL": "aircraft position item part serial done:OVH next:OVH done:HST next:HST done:WGT next:WGT "
        "next:BATT next:LIFE remarks"
    },
    "by_equipment": {"equip": "serial part aircraft position made done:TEST next:TEST -"},
    "totals": {
        "Cylinders": "aircraft position item part serial tsn csn tso cso done:INSP next:INSP",
        "Aircraft": "aircraft hours cycles read_on",
    },
    "at_doors": {"Doors": "aircraft msn serial serial serial serial remarks"},
    "under_doors": {
        "Slides": "aircraft part serial done:OVH next:OVH part serial done:OVH next:OVH"
    },
    "no_item": {
        name: "aircraft position part serial done:HST next:HST - done:WGT next:WGT -"
        for name in ("FIRE EXTINGUISHERS", "PBE")
    },
    "wrapped": {
        "O2": "aircraft item position part serial made fitted done:HST next:HST next:LIFE remarks"
    },
    "blocks": {"Rafts": "item quantity part serial position done:OVH next:OVH"},
    "status": {
        "Status": "aircraft position item part serial made done:OVH next:OVH done:HST next:HST next:LIFE remarks"
    },
    "works": {"Due": "aircraft position item part serial work done: interval: next: -"},
    "per_aircraft": {
        tail: "- item position part serial made fitted done:HST next:HST next:LIFE"
        for tail in ("Q-RTA", "Q-RTB", "Q-RTC")
    },
    "two_in_a_cell": {"Sheet1": "aircraft item position part serial done:OVH next:OVH next:BATT -"},
    "spares": {
        "Fitted": "serial part item maker aircraft position done:WGT next:WGT remarks",
        "Spares": "serial part item maker station done:WGT next:WGT",
    },
    "slashed": {"Slides": "aircraft position item part serial done:OVH next:OVH"},
    "foreign": {"Přehled": "aircraft position item part serial done: next:"},
}


def written(sheets: dict[str, Rows], path: Path) -> Path:
    """A workbook as a spreadsheet program would leave it."""
    with xlsxwriter.Workbook(path) as book:
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for i, row in enumerate(rows):
                for j, cell in enumerate(row):
                    if isinstance(cell, dt.datetime):
                        sheet.write_datetime(i, j, cell, day)
                    elif cell != "":
                        sheet.write(i, j, cell)
    return path
