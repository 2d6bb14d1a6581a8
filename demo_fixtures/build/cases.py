"""The hard cases, each at a place that README.md names, with dates that a pencil can follow."""

from __future__ import annotations

from datetime import date, timedelta

from .aircraft import Aircraft
from .book import Book, Key, Stamp, day
from .packs import Pack, fit_pack, hydro, supply

Crafts = dict[str, Aircraft]


def hard_cases(book: Book, crafts: Crafts) -> None:
    """This will enter every case of the first sheets; what comes later is in ``later``."""
    for case in (
        _steps_at_fifteen,
        _stamps,
        _life_beats_test,
        _store_before_fitting,
        _cartridges,
        _directive,
        _extinguishers,
        _batteries,
        _backstops,
        _extended,
        _deployments,
    ):
        case(book, crafts)


def _steps_at_fifteen(book: Book, crafts: Crafts) -> None:
    """Overhauled after its 15th birthday; before it; and running into it."""
    old = date(2011, 2, 20)
    fit_pack(
        book,
        crafts["Q7-VAA"],
        "D1L-SLIDE",
        Pack("BQ21.110L", old, date(2026, 3, 20), date(2026, 4, 30), "B0815", "B"),
    )
    fit_pack(
        book,
        crafts["Q7-VAA"],
        "D1R-SLIDE",
        Pack("BQ21.110R", old, date(2025, 12, 18), date(2026, 1, 28), "B0816", "B"),
    )
    fit_pack(
        book,
        crafts["Q7-VBA"],
        "D1L-SLIDE",
        Pack("BQ44.210L", date(2012, 3, 20), date(2025, 2, 10), date(2025, 3, 24), "R0817"),
    )


def _stamps(book: Book, crafts: Crafts) -> None:
    """Good to the end of the stamped month, and 24 calendar months from a day of a month."""
    stamped = book.unit("MWB-O310", Stamp(2014, 6), "X0221")
    hydro(book, stamped, Stamp(2021, 12, is_named=True))
    supply(book, stamped, crafts["Q7-VAB"], "OXY-1", date(2022, 1, 20), date(2022, 2, 9))
    weighed = book.unit("TWV-512", Stamp(2019, 5), "D2403")
    hydro(book, weighed, Stamp(2024, 5))
    supply(book, weighed, crafts["Q7-VAA"], "D2L-CYL", date(2024, 6, 20), date(2024, 7, 2))
    book.work("WEIGH", weighed, date(2025, 3, 3), released=date(2025, 3, 3), who="QVMR line")


def _life_beats_test(book: Book, crafts: Crafts) -> None:
    """A steel bottle of July 2003, tested June 2026: its 24 years end before the test runs out."""
    inside = Pack(
        "BQ21.110R",
        date(2017, 5, 9),
        date(2026, 6, 22),
        date(2026, 8, 3),
        "B0724",
        "B",
        bottle="T0724",
        bottle_made=Stamp(2003, 7),
    )
    fit_pack(book, crafts["Q7-VAC"], "D2R-SLIDE", inside)
    filled = book.unit("MWB-O312", Stamp(2010, 4), "X3120")
    hydro(book, filled, Stamp(2026, 1))
    supply(book, filled, crafts["Q7-VAE"], "OXY-4", date(2026, 2, 20), date(2026, 3, 10))
    book.life(filled, "FILL", date(2026, 10, 20), 4371, "filling log")


def _store_before_fitting(book: Book, crafts: Crafts) -> None:
    """New slides that lay in the store before they were first fitted: 230 days, and over a year."""
    young = crafts["Q7-VAJ"]
    fit_pack(
        book,
        young,
        "D1L-SLIDE",
        Pack(
            "BQ21.115L",
            date(2024, 2, 10),
            None,
            date(2024, 10, 9),
            "B2601",
            "A",
            tested=Stamp(2024, 9),
        ),
    )
    fit_pack(
        book,
        young,
        "D1R-SLIDE",
        Pack(
            "BQ21.110R",
            date(2023, 3, 1),
            None,
            date(2024, 11, 5),
            "B2602",
            "B",
            tested=Stamp(2024, 10),
        ),
    )
    shelf = book.unit("MWB-H15", date(2018, 1, 10), "H0050")
    book.receive(shelf, date(2020, 1, 10))


def _cartridges(book: Book, crafts: Crafts) -> None:
    """Ten years from manufacture or five from fitting, and a lot of 24 in the store."""
    craft = crafts["Q7-VAD"]
    made = date(2016, 8, 8)
    for position, part, serial, cartridge in (
        ("D1L-SLIDE", "BQ21.110L", "B0801", ("LOT-1805/01", Stamp(2018, 5))),
        ("D1R-SLIDE", "BQ21.110R", "B0802", ("LOT-2310/01", Stamp(2023, 10))),
    ):
        wanted = Pack(
            part,
            made,
            date(2024, 4, 16),
            date(2024, 6, 4),
            serial,
            "B",
            bottle=f"T{serial[1:]}",
            cartridge=cartridge,
        )
        fit_pack(book, craft, position, wanted)
    lot = book.unit("TWV-C18", Stamp(2026, 2), "LOT-2602", quantity=24)
    book.receive(lot, date(2026, 3, 30), quantity=24)
    book.paper(lot, date(2026, 3, 2), "new", "Tarnwick Vessels")


# serial numbers of the listed bottles by what became of them; those before are open
REPEATED, ENDED, NOT_OURS = ("T4105", "T4110"), ("T4111", "T4113"), ("T4114", "T4114")
LISTED_AT = [
    ("Q7-VAA", "D2L"),
    ("Q7-VAD", "D2L"),
    ("Q7-VAE", "D1R"),
    ("Q7-VAJ", "D2R"),
    ("Q7-VAA", "D2R"),
    ("Q7-VAB", "D2L"),
    ("Q7-VAB", "D2R"),
    ("Q7-VAC", "D1L"),
    ("Q7-VAD", "D2R"),
    ("Q7-VAF", "D2L"),
    ("Q7-VAG", "D1R"),
    ("Q7-VAG", "D2R"),
    ("Q7-VAJ", "D2L"),
    ("Q7-VAF", "D1R"),
]


def _directive(book: Book, crafts: Crafts) -> None:
    """Fourteen bottles of the listed serials; see ``later`` for how each was disposed of."""
    for number, (registration, door) in enumerate(LISTED_AT, 4101):
        craft = crafts[registration]
        done = date(2024, 9, 2) + timedelta(days=23 * (number - 4101))
        serial = f"T{number}"
        pack = Pack(
            f"BQ21.110{door[2]}",
            done - timedelta(days=2900),
            done,
            done + timedelta(days=41),
            standard="B",
            bottle=serial,
            bottle_made=Stamp(2015, 11),
        )
        fit_pack(book, craft, f"{door}-SLIDE", pack)
        key = Key("TWV-720", serial)
        for measure, total in (
            ("FH", 60 * (9000 + 137 * (number % 17))),
            ("FC", 5200 + 61 * (number % 13)),
        ):
            book.life(key, measure, done, total)
        if REPEATED[0] <= serial <= REPEATED[1]:
            on = day(-34 + (number - 4105) * 4)
            book.work(
                "VALVECHK",
                key,
                on,
                released=on,
                who=f"{craft.station} line",
                document="QAA-AD-26-04",
            )


def _extinguishers(book: Book, crafts: Crafts) -> None:
    """By proof pressure, by water jacket, restarted by a recharge, weighed inside the variation."""
    for serial, position, method in (
        ("E0707", "EXT-1", "proof"),
        ("E1212", "EXT-2", "water_jacket"),
    ):
        key = book.unit("CCF-A12", Stamp(2008, 9), serial)
        hydro(book, key, Stamp(2020, 9), method)
        book.work("SIXYEAR", key, date(2024, 6, 11), shop_released=date(2024, 6, 11))
        supply(book, key, crafts["Q7-VAB"], position, date(2024, 6, 20), date(2024, 7, 8))
        book.work("WEIGH", key, date(2026, 4, 20), released=date(2026, 4, 20), who="QVMR line")
    recharged = book.unit("CCF-A12", Stamp(2021, 1), "E0606")
    book.work("RECHARGE", recharged, date(2024, 10, 7), shop_released=date(2024, 10, 7))
    supply(book, recharged, crafts["Q7-VAC"], "EXT-1", date(2024, 10, 20), date(2024, 11, 6))
    book.work("WEIGH", recharged, date(2026, 6, 2), released=date(2026, 6, 2), who="QTLH line")
    late = book.unit("CCF-A12", Stamp(2023, 3), "E0315")
    supply(book, late, crafts["Q7-VAG"], "EXT-1", date(2023, 5, 2), date(2023, 6, 6))
    book.work(
        "WEIGH",
        late,
        date(2026, 2, 20),
        released=date(2026, 2, 20),
        original_due=date(2026, 2, 10),
        who="QVMR line",
    )


def _batteries(book: Book, crafts: Crafts) -> None:
    """At one hour of use a beacon's battery is good; after more than one hour it is not."""
    for minutes, registration in ((60, "Q7-VAD"), (61, "Q7-VAC")):
        craft = crafts[registration]
        beacon = book.unit("FNB-7P", date(2021, 6, 14), f"F00{minutes}")
        battery = book.unit("FNB-B72", Stamp(2025, 4), f"C00{minutes}")
        book.receive(battery, date(2025, 5, 6))
        book.nest(battery, beacon, "BAT", date(2025, 5, 12))
        supply(book, beacon, craft, "ELT-2", date(2025, 5, 20), date(2025, 6, 17))
        book.life(battery, "USE", date(2026, 10, 5), minutes, "battery log")
        book.work(
            "INSPECT",
            beacon,
            date(2026, 6, 9),
            released=date(2026, 6, 9),
            who=f"{craft.station} line",
        )


def _backstops(book: Book, crafts: Crafts) -> None:
    """Inspected lately, but never later than ten years from manufacture."""
    vest = book.unit("SMB-A1", Stamp(2017, 3), "V0010")
    book.work("INSPECT", vest, date(2025, 10, 1), shop_released=date(2025, 10, 1))
    supply(book, vest, crafts["Q7-VAB"], "VBIN-1", date(2025, 10, 9), date(2025, 11, 3))
    for number in range(11, 16):
        vest = book.unit("SMB-A1", Stamp(2021, 5), f"V00{number}")
        supply(book, vest, crafts["Q7-VAB"], "VBIN-1", date(2025, 10, 9), date(2025, 11, 3))


def _extended(book: Book, crafts: Crafts) -> None:
    """A slide-raft past its three years, flown on under a numbered extension; see ``later``."""
    pack = Pack("BQ44.210L", date(2016, 4, 12), date(2023, 11, 3), date(2023, 12, 15), "R4402")
    fit_pack(book, crafts["Q7-VBC"], "D2L-SLIDE", pack)


def _deployments(book: Book, crafts: Crafts) -> None:
    """Three trials of door slides within three years, as the quota wants; the earliest runs out."""
    for serial, on in (
        ("B0815", date(2024, 9, 5)),
        ("B0816", date(2025, 3, 12)),
        ("B0724", date(2026, 1, 15)),
    ):
        part = "BQ21.110L" if serial == "B0815" else "BQ21.110R"
        book.work(
            "DEPLOY",
            Key(part, serial),
            on,
            shop_released=on,
            who="Brightquay Evacuation, Dunmarrow shop",
        )
