"""More own workbooks, written before anything was read of them: other tongues, other shapes, other messes.

``MEANT`` says by book, sheet and column (counted from A) what each column is.
"""

from __future__ import annotations

from .books import Rows, later, on

_ENE = ("ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic")
_MON = ("Jan", "Feb", "März", "Apr", "Mai", "Juni", "Juli", "Aug", "Sept", "Okt", "Nov", "Dez")


def spanish() -> dict[str, Rows]:
    """Spanish, headings in two rows, months in words, the aircraft merged, spares under a word of theirs."""
    rows: Rows = [
        ["CONTROL DE EQUIPO DE EMERGENCIA", "", "", "", "", "", "", "Actualizado: 30-nov-26"],
        [],
        [
            "Matrícula",
            "Ubicación",
            "Descripción",
            "P/N",
            "N/S",
            "F. Fab.",
            "Prueba hidrostática",
            "",
            "Peso",
            "",
            "Observaciones",
        ],
        ["", "", "", "", "", "", "Última", "Próxima", "Última", "Próxima", ""],
    ]
    number = 300
    for t, tail in enumerate(("Q-ESA", "Q-ESB", "Q-ESC")):
        for n, (place, item) in enumerate(
            (
                ("Cabina delantera izq.", "Extintor"),
                ("Cabina trasera der.", "Extintor"),
                ("Puerta 1 izquierda", "Tobogán"),
                ("Cabina de mando", "Linterna"),
            )
        ):
            number += 7
            tested = on(2022 + n % 3, 1 + (t + n) % 12, 5 + n)
            weighed = on(2026, 1 + n, 11)
            is_bottle = item == "Extintor"
            rows.append(
                [
                    tail if n == 0 else None,
                    place,
                    item,
                    f"X{n}-44",
                    f"ES{number}",
                    f"{_ENE[n]}-{15 + n}",
                    _es(tested) if is_bottle else "N/A",
                    _es(later(tested, 60)) if is_bottle else "N/A",
                    _es(weighed) if is_bottle else "-",
                    _es(later(weighed, 12)) if is_bottle else "-",
                    "Revisar sello" if number % 5 == 0 else "",
                ]
            )
    rows += [[], ["REPUESTOS EN ALMACÉN"]]
    for n in range(2):
        tested = on(2024, 3 + n, 9)
        rows.append(
            [
                "",
                "Almacén",
                "Extintor",
                "X0-44",
                f"ES90{n}",
                "abr-19",
                _es(tested),
                _es(later(tested, 60)),
                "",
                "",
                "",
            ]
        )
    rows += [[], ["Total: 14"], ["Firma:", "", "", "Fecha:"]]
    return {"Equipo": rows}


def _es(day) -> str:  # type: ignore[no-untyped-def]
    return f"{day.day:02d}-{_ENE[day.month - 1]}-{day.year % 100:02d}"


def german_halls() -> dict[str, Rows]:
    """German, each hall a sheet, dotted dates and months in words, a unit's works beside each other."""
    book: dict[str, Rows] = {}
    for hall, tails in (("Halle 1", ("Q-HAA", "Q-HAB")), ("Halle 2", ("Q-HBA",))):
        rows: Rows = [
            [f"Rettungsmittel {hall}", "", "", "", "", "", "", "Stand 30.11.2026"],
            [
                "Lfz.",
                "Einbauort",
                "Gerät",
                "Teile-Nr.",
                "Werk-Nr.",
                "Baujahr",
                "Letzte Überholung",
                "Nächste Überholung",
                "Gültig bis",
                "Bemerkung",
            ],
        ]
        for t, tail in enumerate(tails):
            for n, (place, item) in enumerate(
                (
                    ("Tür 1 links", "Notrutsche"),
                    ("Tür 1 rechts", "Notrutsche"),
                    ("Küche vorn", "Feuerlöscher"),
                    ("Reihe 12", "Schwimmweste"),
                    ("Kabine hinten", "Megafon"),
                )
            ):
                done = on(2024, 1 + (n + t) % 12, 2 + 3 * n)
                is_slide = item == "Notrutsche"
                rows.append(
                    [
                        tail if n == 0 else "",
                        place,
                        item,
                        f"R {n}10-{t}",
                        f"{hall[-1]}{t}0{n}7",
                        f"{_MON[n]} {2014 + n}",
                        f"{done:%d.%m.%Y}" if is_slide else "entf.",
                        f"{later(done, 36):%d.%m.%Y}" if is_slide else "entf.",
                        "" if is_slide else f"{_MON[3 + n]} {2027 + n % 2}",
                        "",
                    ]
                )
        rows += [["", "", "", "", "", "", "", "", "", ""], ["Geprüft:", "", "", "Unterschrift"]]
        book[hall] = rows
    return book


def months_down() -> dict[str, Rows]:
    """Months down, aircraft across with hours and cycles beneath each; units in a sheet beside it."""
    use: Rows = [
        ["UTILISATION", "", "", "", "", "", ""],
        ["Month", "Q-MDA", "", "Q-MDB", "", "Q-MDC", ""],
        ["", "TOTAL FH", "TOTAL FC", "TOTAL FH", "TOTAL FC", "TOTAL FH", "TOTAL FC"],
    ]
    for month in range(6):
        use.append(
            [
                on(2026, 6 + month, 1),
                *(v for k in range(3) for v in (9000 * (k + 1) + 200 * month, 4000 + 90 * month)),
            ]
        )
    units: Rows = [["TAIL NO", "STATION", "UNIT", "PART #", "SER #", "INSPECTED", "INSPECT BY"]]
    for n in range(9):
        done = on(2026, 1 + n % 6, 3)
        units.append(
            [
                f"Q-MD{'ABC'[n // 3]}",
                ("FWD ENTRY L", "FWD ENTRY R", "AFT CABIN")[n % 3],
                ("SLIDE", "SLIDE", "PBE")[n % 3],
                "M-9" if n % 3 < 2 else "M-5",
                f"MD{n}40{n}",
                done,
                later(done, 12),
            ]
        )
    return {"Use": use, "Units": units}


MEANT: dict[str, dict[str, str]] = {
    "spanish": {
        "Equipo": "aircraft position item part serial made done:HST next:HST done:WGT next:WGT remarks"
    },
    "german_halls": {
        sheet: "aircraft position item part serial made done:OVH next:OVH next:LIFE remarks"
        for sheet in ("Halle 1", "Halle 2")
    },
    "months_down": {"Units": "aircraft position item part serial done:INSP next:INSP"},
}
BOOKS = {"spanish": spanish, "german_halls": german_halls, "months_down": months_down}
