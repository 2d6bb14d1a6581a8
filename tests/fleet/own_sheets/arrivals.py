"""Own workbooks of a third round, written before anything was read of them: what is stamped on cylinders, Portuguese,
and aircraft across with places down.

``MEANT`` says by book, sheet and column (counted from A) what each column is; of a sheet that is written anew, its new
columns.
"""

from __future__ import annotations

import datetime as dt

from .books import Rows, later, on

DAY_WORDS = "%d/%m/%Y"
#: Where a cylinder is, what it is, its part number, specification, service and test pressure, months of its test.
_CYLINDERS = (
    ("FWD LAV", "PORTABLE OXYGEN CYL", "KO-307-03", "3HT", 1850, 3083, 36),
    ("AFT GALLEY", "PORTABLE OXYGEN CYL", "KO-307-03", "3AA", 1800, 3000, 60),
    ("FLT DECK", "CREW OXYGEN CYL", "KO-365-5", "3HT", 1850, 3083, 36),
)


def stamped() -> dict[str, Rows]:
    """Specification, pressures and requalifier in columns; headings in two merged rows; aircraft merged down, a total
    under each, spares with a mistyped number and a wrong interval, a dashboard and a legend beside."""
    rows: Rows = [
        ["NORTHBANK - EMERGENCY EQUIPMENT STATUS"],
        ["Rev 41  /  as of 30 Nov 2026"],
        [],
        [
            "A/C",
            "LOC",
            "DESCRIPTION",
            "P/N",
            "S/N",
            "DOM",
            "DOT SPEC",
            "SVC PRESS",
            "TEST PRESS (PSI)",
            "RIN",
            "HYDROSTATIC TEST",
            "",
            "OVERHAUL",
            "",
            "REM (DAYS)",
            "RMKS",
        ],
        [""] * 10 + ["LAST", "DUE", "LAST", "DUE"],
    ]
    number = 100
    for t, tail in enumerate(("Q-NBA", "Q-NBB", "Q-NBC")):
        for n, (place, item, part, spec, service, test, months) in enumerate(_CYLINDERS):
            number += 1
            last = on(2024 + n % 2, 2 + t * 3, 11)
            code = f"DOT-{spec}" if t else spec
            rows.append(
                [
                    tail if n == 0 else "",
                    place,
                    item,
                    part,
                    f"{number:05d}",
                    on(2015, 5 + t, 2),
                    code,
                    service,
                    test,
                    "A123" if spec == "3HT" else "B456",
                    last,
                    later(last, months),
                    "",
                    "",
                    99,
                ]
            )
        for place in ("1L", "1R", "2L", "2R"):
            number += 1
            last = on(2025, 1 + t, 20)
            rows.append(
                [
                    "",
                    place,
                    "ESCAPE SLIDE",
                    f"KS-330-{'LR'.index(place[1]) + 1}",
                    f"ES{number}",
                    on(2018, 3, 9),
                ]
                + [""] * 6
                + [last, later(last, 36), 99, "ex Q-NBC, in shop?" if number == 118 else ""]
            )
        rows += [[f"TOTAL {tail}", "", "", "", 7], []]
    rows.append(["SPARES"])
    for n in range(4):
        number += 1
        last = on(2025, 6, 1 + n)
        serial = str(number) if n == 2 else f"{number:05d}"
        rows.append(
            [
                "",
                "STORES",
                "PORTABLE OXYGEN CYL",
                "KO-307-03",
                serial,
                on(2017, 1, 1),
                "3AA" if n == 3 else "3HT",
                1850,
                3083,
                "A123",
                last,
                later(last, 60 if n == 1 else 36),
            ]
        )
    rows += [[], ["Prepared by: J. Doe"], ["Approved:"]]
    return {
        "Dashboard": [["SUMMARY"], [], ["Overdue", 0], ["Due 30 days", 3], ["Serviceable", 41]],
        "EE STATUS": rows,
        "UTIL": _totals(),
        "Legend": [["Colour", "Meaning"], ["Red", "Overdue"], ["Amber", "< 30 days"]],
    }


def _totals() -> Rows:
    """Months across under merged cells, hours and cycles beneath, all aircraft together in the last row."""
    rows: Rows = [["TOTALS AT MONTH END"], [], ["A/C"], [""]]
    for month in (8, 9, 10, 11):
        rows[2] += [on(2026, month, 1), ""]
        rows[3] += ["FH", "FC"]
    for t, tail in enumerate(("Q-NBA", "Q-NBB", "Q-NBC")):
        rows.append([tail])
        for month in range(4):
            rows[-1] += [20000 + t * 1500 + month * 260, 9000 + t * 700 + month * 110]
    sums = [sum(int(str(row[at])) for row in rows[4:7]) for at in range(1, 9)]
    return [*rows, ["FLEET TOTAL", *sums], ["", *sums]]


def portuguese() -> dict[str, Rows]:
    """Portuguese: lines numbered under *Item*, an aircraft above each block, left and right as E and D, dates as text."""
    rows: Rows = [
        ["CONTROLE DE EQUIPAMENTOS DE EMERGÊNCIA"],
        [],
        [
            "Item",
            "Descrição",
            "Localização",
            "P/N",
            "Nº de série",
            "Data de fabricação",
            "Revisão geral",
            "",
            "Teste hidrostático",
            "",
            "Validade",
            "Observações",
        ],
        [""] * 6 + ["Última", "Próxima", "Último", "Próximo"],
    ]
    number = 700
    for t, tail in enumerate(("Q-PTA", "Q-PTB")):
        rows.append([f"AERONAVE {tail}"])
        for k, (place, item, part) in enumerate(_PORTUGUESE, start=1):
            number += 1
            line = [k, item, place, part, f"PT{number}", on(2017, 4 + t, 3 + k).strftime(DAY_WORDS)]
            rows.append(line + _works_in_portuguese(item, k + t))
        rows.append(["Total", "", "", "", 8])
    rows.append(["SOBRESSALENTES"])
    for k in range(1, 4):
        line = [k, "Garrafa de oxigênio", "Almoxarifado", "OX-11", f"PT{number + k}", "05/06/2018"]
        rows.append(line + _works_in_portuguese("Garrafa", k))
    rows += [[], ["Elaborado por:"], ["Aprovado por:"]]
    return {"Equip. Emergência": rows}


_PORTUGUESE = (
    ("Porta 1 E", "Escorregadeira", "ES-220-1"),
    ("Porta 1 D", "Escorregadeira", "ES-220-2"),
    ("Porta 2 E", "Escorregadeira", "ES-220-1"),
    ("Porta 2 D", "Escorregadeira", "ES-220-2"),
    ("Cabine", "Extintor halon", "EX-9"),
    ("Galley dianteira", "Garrafa de oxigênio", "OX-11"),
    ("Galley traseira", "Garrafa de oxigênio", "OX-11"),
    ("Cabine", "Colete salva-vidas", "CV-3"),
)


def _works_in_portuguese(item: str, n: int) -> list[object]:
    if item.startswith("Escorreg"):
        last = on(2024, 9, 2 + n)
        return [last.strftime(DAY_WORDS), later(last, 36).strftime(DAY_WORDS), "", "", "", ""]
    if item.startswith("Colete"):
        return ["", "", "", "", "31/03/2028", "emprestado de Q-PTB?"]
    last = on(2025, 2, 13 + n)
    return ["", "", last.strftime(DAY_WORDS), later(last, 60).strftime(DAY_WORDS), "", ""]


def vests_across() -> dict[str, Rows]:
    """Places down, aircraft across; a cell holds the serial number above the expiry; the part number is in the title."""
    found: dict[str, Rows] = {}
    for title, part, mark in (("LIFE VESTS", "LV-100", "VE"), ("PBE", "PB-7", "PB")):
        rows: Rows = [[f"{title} P/N {part}"], [], ["POSITION", "Q-MXA", "Q-MXB", "Q-MXC"]]
        for i, place in enumerate(("COCKPIT CAPT", "COCKPIT F/O", "FWD GALLEY", "AFT GALLEY")):
            cells = [f"{mark}{100 + 10 * c + i}\nEXP {1 + i:02d}/20{28 + c}" for c in range(3)]
            rows.append([place, *cells])
        rows += [["TOTAL", 4, 4, 4], [], ["Checked by: QA"]]
        found[title] = rows
    return found


def italian_across() -> dict[str, Rows]:
    """Italian: places and what they hold down, aircraft across with number and expiry under each, spares as the last."""
    rows: Rows = [
        ["DOTAZIONI DI EMERGENZA"],
        ["Posizione", "Descrizione", "Q-ITA", "", "Q-ITB", "", "RICAMBI", ""],
        ["", "", "Matricola", "Scadenza", "Matricola", "Scadenza", "Matricola", "Scadenza"],
    ]
    for n, (place, item) in enumerate(
        (
            ("Cabina anteriore sx", "Estintore"),
            ("Cabina posteriore dx", "Estintore"),
            ("Cucina", "Cappuccio"),
        )
    ):
        ends = [dt.datetime(2028 + c, 2 + n, 5).strftime(DAY_WORDS) for c in range(3)]  # noqa: DTZ001
        cells = [cell for c in range(3) for cell in (f"IT{n}{c}41", ends[c])]
        rows.append([place, item, *(cells if n else [*cells[:4], "", ""])])
    return {"Dotazioni": rows}


BOOKS = {
    "stamped": stamped,
    "portuguese": portuguese,
    "vests_across": vests_across,
    "italian_across": italian_across,
}
MEANT = {
    "stamped": {
        "EE STATUS": "aircraft position item part serial made spec service proof requalifier done:HST next:HST"
        " done:OVH next:OVH - remarks"
    },
    "portuguese": {
        "Equip. Emergência": "- item position part serial made done:OVH next:OVH done:HST next:HST next:LIFE remarks"
    },
    "vests_across": {
        name: "aircraft position part serial next:LIFE" for name in ("LIFE VESTS", "PBE")
    },
    "italian_across": {"Dotazioni": "aircraft position item serial next:LIFE"},
}
