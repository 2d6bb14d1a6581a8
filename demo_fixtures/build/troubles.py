"""What a real fleet has too: facts that are missing, work that is late, records that are wrong."""

from __future__ import annotations

from datetime import date, timedelta

from .aircraft import LEASED_IN
from .book import Book, Key, Spotted, Stamp, TitleFact, day
from .cases import Crafts
from .operator import BORROWER, LESSOR
from .packs import Pack, fit_pack, hydro, supply


def troubles(book: Book, crafts: Crafts) -> None:
    """This will enter every trouble of the first sheets; some are put right in ``later``."""
    for trouble in (_facts_missing, _leased_in, _out_of_phase, _overdue, _to_be_corrected):
        trouble(book, crafts)


def _facts_missing(book: Book, crafts: Crafts) -> None:
    """A bottle whose plate cannot be read, and a light unit without its date."""
    bottle = book.unit("MWB-O310", None, "X0999", note="Plate painted over: no date legible.")
    supply(book, bottle, crafts["Q7-VAD"], "OXY-3", date(2025, 8, 1), date(2025, 8, 18))
    lit = Pack(
        "BQ21.115L",
        date(2016, 10, 3),
        date(2025, 5, 22),
        date(2025, 7, 2),
        "B0404",
        "A",
        light="L0404",
    )
    fit_pack(book, crafts["Q7-VAG"], "D1L-SLIDE", lit)
    untold = book.unit("CCF-A12", Stamp(2008, 10), "E0808")
    hydro(book, untold, Stamp(2020, 10))
    book.work("SIXYEAR", untold, date(2024, 3, 12), shop_released=date(2024, 3, 12))
    supply(book, untold, crafts["Q7-VAG"], "EXT-2", date(2024, 3, 25), date(2024, 4, 16))
    book.work("WEIGH", untold, date(2026, 5, 5), released=date(2026, 5, 5), who="QVMR line")
    kit = book.unit("SMB-AID", None, "A0001", note="List of contents lost.")
    supply(book, kit, crafts["Q7-VBC"], "AID-3", date(2026, 1, 9), date(2026, 1, 27))


def _leased_in(book: Book, crafts: Crafts) -> None:
    """Units of the leased aircraft of which the previous operator stated totals and nothing else."""
    craft = crafts[LEASED_IN]
    accepted = day(craft.from_on)
    for serial, position, hours, cycles in (
        ("R7701", "D3L", 30110, 4890),
        ("R7702", "D3R", 28740, 4655),
    ):
        pack = Pack(f"BQ44.210{position[2]}", None, None, accepted, serial)
        key = fit_pack(book, craft, f"{position}-SLIDE", pack)
        book.life(
            key, "FH", accepted, hours * 60, "Ilmarsh status list", quality="previous_operator"
        )
        book.life(key, "FC", accepted, cycles, "Ilmarsh status list", quality="previous_operator")
    light = book.unit("OLD-BP6", None, "P7703", standard="P1")
    supply(book, light, craft, "LPK-1", accepted - timedelta(days=1), accepted)
    book.life(
        light, "FH", accepted, 15900 * 60 + 30, "Ilmarsh status list", quality="previous_operator"
    )
    for serial, hand in (("R7701", "L"), ("R7702", "R")):
        key = Key(f"BQ44.210{hand}", serial)
        document = "ILM-LA-4013"
        book.titles.append(TitleFact(key, "leased", LESSOR, accepted, day(1600), document=document))


def _out_of_phase(book: Book, crafts: Crafts) -> None:
    """Work that runs out a few days before the aircraft's next check begins."""
    fit_pack(
        book,
        crafts["Q7-VAE"],
        "D1L-SLIDE",
        Pack("BQ21.110L", date(2014, 7, 1), date(2023, 11, 24), date(2023, 12, 20), "B0902", "B"),
    )
    fit_pack(
        book,
        crafts["Q7-VBA"],
        "D4L-SLIDE",
        Pack("BQ44.210L", date(2015, 9, 15), date(2023, 12, 5), date(2024, 1, 16), "R0905"),
    )
    fit_pack(
        book,
        crafts["Q7-VAF"],
        "OWL-SLIDE",
        Pack("BQ21.310", date(2014, 2, 4), date(2022, 12, 1), date(2023, 1, 12), "W0914"),
    )
    for registration, position, part, serial, work, done in (
        ("Q7-VBB", "MEGA-1", "OLD-MG2", "M0907", "FUNCTION", date(2025, 12, 1)),
        ("Q7-VBE", "EXT-3", "CCF-A12", "E0912", "WEIGH", date(2025, 12, 3)),
        ("Q7-VAK", "EXT-2", "CCF-A12", "E0913", "WEIGH", date(2025, 12, 8)),
    ):
        made: date | Stamp = Stamp(2022, 8) if part == "CCF-A12" else date(2022, 11, 3)
        key = book.unit(part, made, serial)
        craft = crafts[registration]
        on = max(date(2023, 6, 5), day(craft.from_on))
        supply(book, key, craft, position, on - timedelta(days=12), on)
        book.work(work, key, done, released=done, who=f"{craft.station} line")


def _overdue(book: Book, crafts: Crafts) -> None:
    """A test that ran out though the bottle may stay until emptied; a function test; a shelf."""
    emptied = book.unit("MWB-O310", Stamp(2013, 9), "X0411")
    hydro(book, emptied, Stamp(2021, 8))
    supply(book, emptied, crafts["Q7-VBE"], "OXY-2", date(2022, 5, 20), date(2022, 6, 8))
    megaphone = book.unit("OLD-MG2", date(2019, 3, 28), "M0911")
    supply(book, megaphone, crafts["Q7-VAD"], "MEGA-2", date(2019, 9, 2), date(2019, 9, 17))
    book.work("FUNCTION", megaphone, date(2025, 11, 2), released=date(2025, 11, 2), who="QVMR line")
    shelved = book.unit("CCF-A12", Stamp(2020, 7), "E0999")
    book.receive(shelved, date(2024, 9, 9), "QTLH")


def _to_be_corrected(book: Book, crafts: Crafts) -> None:
    """What the later sheets put right: a wrong position, a serial number read twice, a new number."""
    moved = book.unit("CCF-A12", Stamp(2023, 2), "E0503")
    book.receive(moved, date(2026, 8, 20))
    made = book.move(
        moved,
        "installed",
        Spotted("aircraft", "Q7-VAE", "EXT-1"),
        date(2026, 9, 8),
        order=2,
        page="VL-88120",
    )
    assert made
    book.taken |= {("Q7-VAE", "EXT-1"), ("Q7-VAE", "EXT-2")}
    book.receive(book.unit("CCF-A12", Stamp(2022, 12), "E0504"), date(2026, 8, 21))
    twice = book.unit("SMB-A1", Stamp(2022, 1), "V0117")
    supply(book, twice, crafts["Q7-VAG"], "VBIN-1", date(2023, 10, 2), date(2023, 11, 14))
    book.taken.discard(("Q7-VAG", "VBIN-1"))
    book.unit("SMB-A1", Stamp(2022, 1), "VO117", note="Read with a letter O.")
    pack = Pack("BQ21.110L", date(2018, 3, 6), date(2024, 12, 10), date(2025, 1, 22), "B2110", "A")
    fit_pack(book, crafts["Q7-VAF"], "D1L-SLIDE", pack)
    lent = book.unit("OLD-MG2", date(2023, 2, 2), "M0301")
    book.receive(lent, date(2023, 4, 4))
    book.move(
        lent, "lent", Spotted("party", name=BORROWER), date(2026, 10, 13), document="VAR-LN-19"
    )
