"""More own workbooks, written before anyone looked at what becomes of them: as other operators keep theirs.

``MEANT`` says by book, sheet and column (counted from A) what each column is.
"""

from __future__ import annotations

from .books import Rows, later, on


def hard_time() -> dict[str, Rows]:
    """Hard-time components in hours: totals of the unit, the limit, at which total it is due, what is left."""
    rows: Rows = [
        ["HARD TIME COMPONENTS - EMERGENCY EQUIPMENT", "", "", "", "printed 30.11.2026"],
        [],
    ]
    rows.append(
        [
            "Reg.",
            "ATA",
            "Description",
            "Pos",
            "P/N",
            "S/N",
            "TSN",
            "TSO",
            "OVH limit (FH)",
            "OVH due at TSN",
            "Remaining FH",
            "A/C TT",
        ]
    )
    for t, tail in enumerate(("Q-EAA", "Q-EAB", "Q-EAC")):
        for n in range(4):
            tsn, tso = 18000 + 100 * t + n, 900 + 50 * n
            rows.append(
                [
                    tail,
                    "25-66",
                    "Door actuator",
                    f"Door {n // 2 + 1} {'LR'[n % 2]}H",
                    "DA-700-2",
                    f"DA{t}{n}19",
                    tsn,
                    tso,
                    4000,
                    tsn - tso + 4000,
                    4000 - tso,
                    31000 + 100 * t,
                ]
            )
    return {"HT": rows}


def by_aircraft_hours() -> dict[str, Rows]:
    """Works counted by the aircraft's hours and cycles: at the last one, the interval, at the next one, left."""
    rows: Rows = [
        ["", "", "", "", "", "LAST INSPECTION", "", "", "NEXT INSPECTION", "", ""],
        [
            "A/C",
            "EQUIPMENT",
            "LOC",
            "PNR",
            "SNR",
            "DATE",
            "A/C FH",
            "A/C FC",
            "INTVL FH",
            "A/C FH",
            "REM FH",
        ],
    ]
    for t, tail in enumerate(("Q-WAA", "Q-WAB")):
        for n in range(3):
            done = 20000 + 500 * t + 20 * n
            rows.append(
                [
                    tail,
                    "Evac slide",
                    ("L1", "R1", "L2")[n],
                    "EV-12",
                    f"{t}{n}5520",
                    on(2026, 5, 3 + n),
                    done,
                    done // 2,
                    1500,
                    done + 1500,
                    done + 1500 - 20900 - 500 * t,
                ]
            )
    fleet: Rows = [["Reg", "Hours", "Cycles", "As at"]]
    fleet += [
        [f"Q-WA{t}", 20900 + 500 * i, 10400 + 250 * i, on(2026, 11, 29)] for i, t in enumerate("AB")
    ]
    return {"Slides insp": rows, "Fleet": fleet}


def facts_down() -> dict[str, Rows]:
    """A sheet for each aircraft, doors across and facts down, of the slide and then of its bottle."""
    book: dict[str, Rows] = {}
    for t, tail in enumerate(("Q-FAA", "Q-FAB")):
        made, done = on(2016, 3, 1), on(2025, 2 + t, 14)
        tested = on(2023, 4 + t, 2)
        doors = ("L1", "R1", "L2", "R2")
        book[tail] = [
            [f"SLIDES {tail}"],
            ["", *doors],
            ["SLIDE P/N", *(["SR-44-1"] * 4)],
            ["SLIDE S/N", *(f"SR{t}{d}07" for d in range(4))],
            ["DATE OF MANUF.", *([made] * 4)],
            ["LAST OVERHAUL", *([done] * 4)],
            ["NEXT OVERHAUL", *([later(done, 36)] * 4)],
            ["BOTTLE P/N", *(["BR-9"] * 4)],
            ["BOTTLE S/N", *(f"BR{t}{d}88" for d in range(4))],
            ["LAST HYDRO", *([tested] * 4)],
            ["NEXT HYDRO", *([later(tested, 60)] * 4)],
        ]
    return book


def german() -> dict[str, Rows]:
    """German headings, text dates with dots, months with dots, a remark in brackets, a closing line."""
    rows: Rows = [
        ["Notausrüstung Kabine - Fristenliste", "", "", "Stand: 27.11.2026"],
        [
            "Nr.",
            "Kennz.",
            "Gerät",
            "Ort",
            "Teile-Nr.",
            "Serien-Nr.",
            "Herst.-Datum",
            "letzte Prüfung",
            "nächste Prüfung",
            "Bem.",
        ],
    ]
    for n in range(9):
        tested = on(2025, 1 + n, 13 + n)
        rows.append(
            [
                n + 1,
                ("Q-DEA", "Q-DEB", "Q-DEC")[n % 3],
                ("Feuerlöscher", "Rauchhaube", "Schwimmweste")[n // 3],
                ("Cockpit", "Galley vorn", "Kabine hinten")[n // 3],
                f"FL-{n // 3}0",
                f"G{n}-4{n}",
                f"0{n + 1}.2019",
                f"{tested:%d.%m.%Y}",
                f"{later(tested, 24):%d.%m.%Y}",
                "" if n else "(neu)",
            ]
        )
    rows += [[], ["geprüft:", "", "", "Datum:"]]
    return {"Fristen": rows}


def one_location() -> dict[str, Rows]:
    """Aircraft and place in one cell, stores among them; the part number behind the description; month-year labels."""
    rows: Rows = [
        ["Unit", "P/N", "Serial", "Where", "Label date", "Hydro done", "Hydro exp.", "Weigh exp."]
    ]
    for n in range(10):
        tail = ("Q-GAA", "Q-GAB")[n % 2]
        where = (
            f"{tail} / {('FWD LAV', 'COCKPIT', 'AFT GALLEY', 'ROW 12 RH')[n // 2]}"
            if n < 8
            else "STORES / SHELF 3"
        )
        tested = on(2024, 1 + n, 5)
        rows.append(
            [
                "Portable oxygen bottle",
                "OXB-11",
                f"OX{n}0{n}3",
                where,
                f"0{n % 9 + 1}/2017",
                tested,
                later(tested, 60),
                f"{('Jan', 'Apr', 'Jul')[n % 3]}-27",
            ]
        )
    return {"O2": rows}


def monthly_use() -> dict[str, Rows]:
    """Each month's hours with the total brought forward at the left, and the total at the right; cycles below."""
    months: list[object] = [on(2026, m, 1) for m in range(6, 12)]
    rows: Rows = [
        ["FLIGHT HOURS AND CYCLES 2026"],
        ["A/C", "", "B/F 31 MAY", *months, "TOTAL TO DATE"],
    ]
    for n, tail in enumerate(("Q-MUA", "Q-MUB", "Q-MUC")):
        hours: list[object] = [210 + 7 * ((m * 5 + n) % 4) for m in range(6)]
        cycles: list[object] = [96 + 3 * ((m * 3 + n) % 5) for m in range(6)]
        rows.append([tail, "FH", 21000 + n, *hours, 21000 + n + sum(hours)])  # type: ignore[arg-type]
        rows.append(["", "FC", 11000 + n, *cycles, 11000 + n + sum(cycles)])  # type: ignore[arg-type]
    units: Rows = [["A/C", "POS", "ITEM", "P/N", "S/N", "OVH DUE"]]
    units += [
        [f"Q-MU{t}", "1L", "SLIDE", "MU-1", f"M{i}711", on(2027, 3, 4)] for i, t in enumerate("ABC")
    ]
    return {"UTIL": rows, "SLIDES": units}


def numbered_across() -> dict[str, Rows]:
    """A line for each aircraft; numbered units of each sort across, each with its serial number and its date."""
    rows: Rows = [
        [
            "REG",
            "PBE 1 S/N",
            "PBE 1 EXP",
            "PBE 2 S/N",
            "PBE 2 EXP",
            "ELT S/N",
            "ELT BATT EXP",
            "RMKS",
        ],
    ]
    for n, tail in enumerate(("Q-XAA", "Q-XAB", "Q-XAC", "Q-XAD")):
        rows.append(
            [
                tail,
                f"P{n}1-44",
                on(2029, 1 + n, 1),
                f"P{n}2-44",
                on(2030, 1 + n, 1),
                f"EL{n}90",
                on(2027, 5 + n, 1),
                "",
            ]
        )
    return {"kit": rows}


def side_by_side() -> dict[str, Rows]:
    """Two tables beside each other with the same headings: left-hand and right-hand slides."""
    heads: list[object] = ["A/C", "DOOR", "P/N", "S/N", "OVH DONE", "OVH DUE"]
    rows: Rows = [["LEFT HAND SLIDES", *[""] * 6, "RIGHT HAND SLIDES"], [*heads, "", *heads]]
    for n, tail in enumerate(("Q-SSA", "Q-SSB", "Q-SSC", "Q-SSD")):
        line: list[object] = []
        for side in ("L", "R"):
            done = on(2024, 2 + n, 8)
            line += [tail, f"1{side}", f"SS-{side}", f"S{side}{n}66", done, later(done, 36), ""]
        rows.append(line[:-1])
    return {"slides": rows}


def worded_dates() -> dict[str, Rows]:
    """Dates with words around them, day numbers of a workbook, years alone; serial numbers with a mark before."""
    rows: Rows = [
        [
            "AIRCRAFT",
            "EQUIPMENT",
            "POSITION",
            "PART NO",
            "SERIAL NO",
            "YEAR BUILT",
            "INSPECTED",
            "DUE FOR INSPECTION",
        ],
    ]
    days = [on(2025, 1 + n, 9) for n in range(8)]
    for n, done in enumerate(days):
        due = later(done, 24)
        shown = (
            f"Due {due:%d %b %Y}",
            f"{due:%d %b %Y} *",
            f"{due:%d %b %Y} (C-CHECK)",
            f"DUE: {due:%d-%b-%y}",
        )
        rows.append(
            [
                ("Q-YAA", "Q-YAB")[n % 2],
                "Megaphone",
                ("FWD LH STOWAGE", "AFT RH STOWAGE")[n // 4],
                "MP-30",
                f"S/N {n}077{n}",
                2015 + n % 3,
                f"{done:%d %b %Y}".upper(),
                shown[n % 4],
            ]
        )
    return {"megaphones": rows}


def french() -> dict[str, Rows]:
    """French headings, dates by slashes with a day beyond twelve, spares under a section word of that language."""
    rows: Rows = [
        [
            "Immat.",
            "Emplacement",
            "Désignation",
            "Référence",
            "N° de série",
            "Date fab.",
            "Dernière révision",
            "Prochaine révision",
            "Observations",
        ],
    ]
    for n in range(8):
        done = on(2024, 1 + n, 14 + n)
        rows.append(
            [
                ("Q-FRA", "Q-FRB")[n % 2],
                f"Porte {n // 4 + 1} {'GD'[n // 2 % 2]}",
                "Toboggan",
                "TB-20-1",
                f"F{n}331",
                f"{n + 1:02d}/2016",
                f"{done:%d/%m/%Y}",
                f"{later(done, 36):%d/%m/%Y}",
                "",
            ]
        )
    return {"Toboggans": rows}


def cylinders() -> dict[str, Rows]:
    """Cylinders with what is stamped on them: specification, markings, test pressure, who tested them."""
    rows: Rows = [
        [
            "A/C",
            "LOC",
            "DESCRIPTION",
            "P/N",
            "S/N",
            "SPEC",
            "MARKINGS",
            "TEST PRESS (PSI)",
            "LAST HYDRO",
            "RIN",
            "HYDRO DUE",
        ]
    ]
    for n in range(6):
        tested = on(2024, 1 + n, 1)
        rows.append(
            [
                ("Q-CYA", "Q-CYB")[n % 2],
                ("COCKPIT", "FWD GALLEY", "AFT LAV")[n // 2],
                "Portable oxygen cylinder",
                "CY-5",
                f"CY{n}81{n}",
                "3HT",
                "+" if n else "*",
                3083,
                tested,
                "A123",
                later(tested, 36),
            ]
        )
    return {"Cylinders": rows}


BOOKS = {
    "cylinders": cylinders,
    "hard_time": hard_time,
    "by_aircraft_hours": by_aircraft_hours,
    "facts_down": facts_down,
    "german": german,
    "one_location": one_location,
    "monthly_use": monthly_use,
    "numbered_across": numbered_across,
    "side_by_side": side_by_side,
    "worded_dates": worded_dates,
    "french": french,
}

MEANT: dict[str, dict[str, str]] = {
    "cylinders": {
        "Cylinders": "aircraft position item part serial spec stamp_marks proof done:HST requalifier next:HST"
    },
    "hard_time": {
        "HT": "aircraft - item position part serial tsn tso interval-fh:OVH next-fh:OVH left-fh:OVH hours"
    },
    "by_aircraft_hours": {
        "Slides insp": "aircraft item position part serial done:INSP done-fh:INSP done-fc:INSP interval-fh:INSP "
        "next-fh:INSP left-fh:INSP",
        "Fleet": "aircraft hours cycles read_on",
    },
    "german": {"Fristen": "- aircraft item position part serial made done:TEST next:TEST remarks"},
    "one_location": {"O2": "item part serial position made done:HST next:HST next:WGT"},
    "monthly_use": {"SLIDES": "aircraft position item part serial next:OVH"},
    "numbered_across": {
        "kit": "aircraft serial next:LIFE serial next:LIFE serial next:BATT remarks"
    },
    "side_by_side": {"slides": "aircraft position part serial done:OVH next:OVH"},
    "worded_dates": {"megaphones": "aircraft item position part serial made done:INSP next:INSP"},
    "french": {"Toboggans": "aircraft position item part serial made done:OVH next:OVH remarks"},
}
