"""What is not fitted: the float on the shelves, what is in the shop, what is in quarantine."""

from __future__ import annotations

from datetime import date, timedelta

from .aircraft import Aircraft
from .book import Book, Key, Move, Spotted, TitleFact, day, days_to, stamp_of
from .operator import SHOPS
from .packs import ago, fill_pack, hydro
from .parts import BY_NUMBER

# part number, how many on the shelf, months before the reference day that the work was done
SHELF = [
    ("BQ21.110L", 2, 5),
    ("BQ21.110R", 2, 6),
    ("BQ21.115L", 2, 3),
    ("BQ21.310", 2, 7),
    ("BQ44.210L", 2, 4),
    ("BQ44.210R", 2, 5),
    ("TWV-760", 2, 6),
    ("TWV-512", 5, 8),
    ("MWB-O310", 6, 7),
    ("MWB-O312", 2, 4),
    ("MWB-H15", 5, 9),
    ("CCF-A12", 8, 10),
    ("CCF-W05", 3, 10),
    ("SMB-A1", 10, 5),
    ("SMB-AID", 4, 4),
    ("FNB-7F", 1, 3),
    ("FNB-7P", 2, 3),
    ("OLD-BP6", 5, 6),
    ("OLD-MG2", 2, 5),
    ("HVA-FP900", 6, 9),
]
STORES = ["QVMR", "QVMR", "QESP", "QVMR", "QTLH", "QVMR", "QESP"]
QUARANTINED = {
    "X": "Gauge below its band.",
    "E": "Seal broken.",
    "V": "Found wet.",
    "P": "Case cracked.",
}
PACKS = {"SLIDE", "RAFT", "OWSLIDE"}


def shelves(book: Book) -> None:
    """This will put the float on the shelves, papers complete; a few units go to quarantine."""
    for part, count, months in SHELF:
        for number in range(count):
            ready = day(-int(months * 30) - book.rng.randint(0, 90))
            key = _spare(book, part, ready)
            station = STORES[(number + months) % len(STORES)]
            book.receive(key, ready + timedelta(days=16), station)
            book.paper(key, ready, "overhauled" if BY_NUMBER[part].kind in PACKS else "inspected")
            letter = BY_NUMBER[part].serial
            if number == count - 1 and letter in QUARANTINED:
                place = Spotted("quarantine", station=station)
                book.move(
                    key,
                    "quarantined",
                    place,
                    day(-book.rng.randint(4, 40)),
                    reason=QUARANTINED[letter],
                )


def _spare(book: Book, part: str, ready: date) -> Key:
    kind = BY_NUMBER[part].kind
    if kind in PACKS:
        key = book.unit(
            part, ago(ready, (1.0, 9.0), book.rng), standard="A" if kind == "SLIDE" else ""
        )
        fill_pack(book, key, kind, ready, None)
        book.work("OVERHAUL", key, ready, shop_released=ready, who=SHOPS[0], document="QBR-CMM")
        if kind == "SLIDE":
            book.life(key, "INFL", ready, 1)
        return key
    if kind in {"BOTTLE", "DOORCYL", "OXY"}:
        return _tested_spare(book, part, ready)
    made = ago(ready, (0.1, 0.8), book.rng)
    standard = "P2" if kind == "LPACK" else ""
    key = book.unit(part, stamp_of(made), standard=standard)
    if kind == "LPACK":
        book.life(key, "FH", ready, 0)
    if kind == "ELT":
        battery = book.unit("FNB-B72", stamp_of(ready))
        book.receive(battery, ready + timedelta(days=20))
        book.nest(battery, key, "BAT", ready + timedelta(days=21))
        book.life(battery, "USE", ready + timedelta(days=21), 0, "battery log")
    return key


def _tested_spare(book: Book, part: str, ready: date) -> Key:
    key = book.unit(part, stamp_of(ago(ready, (2.0, 8.0), book.rng)))
    hydro(book, key, stamp_of(ready))
    _weigh(book, key, ready)
    if part == "MWB-O312":
        book.life(key, "FILL", ready, book.rng.randint(30, 300))
    if part == "TWV-760":
        cartridge = book.unit("TWV-C18", stamp_of(ready), f"LOT-S{key.serial[1:]}/01")
        book.receive(cartridge, ready + timedelta(days=2))
        book.nest(cartridge, key, "CART", ready + timedelta(days=3))
    return key


def _weigh(book: Book, key: Key, on: date) -> None:
    """A door cylinder is weighed where it is tested."""
    if BY_NUMBER[key.part].kind == "DOORCYL":
        book.work("WEIGH", key, on, shop_released=on, document="VAR-MP-35-110")


def predecessors(book: Book, crafts: dict[str, Aircraft]) -> None:
    """Who was there before: units taken off when the present ones came, sent to the shop, some back."""
    wanted = {"SLIDE": 6, "RAFT": 5, "DOORCYL": 5, "OXY": 4, "EXT": 6}
    for move in [m for m in book.moves if _has_room_before(m, crafts)]:
        kind = BY_NUMBER[move.key.part].kind
        if wanted.get(kind, 0) and book.rng.random() < 0.2:
            wanted[kind] -= 1
            _predecessor(book, move, crafts[move.to.aircraft])


def _has_room_before(move: Move, crafts: dict[str, Aircraft]) -> bool:
    if move.to.sort != "aircraft" or move.to.aircraft not in crafts or move.reference:
        return False
    fitted = days_to(move.on)
    return -420 < fitted < -25 and fitted - crafts[move.to.aircraft].from_on > 400


def _predecessor(book: Book, present: Move, craft: Aircraft) -> None:
    part, kind = present.key.part, BY_NUMBER[present.key.part].kind
    on = present.on - timedelta(days=book.rng.randint(200, 380))
    built = on - timedelta(days=40)
    key = book.unit(part, ago(built, (2.0, 6.0), book.rng), standard="A" if kind == "SLIDE" else "")
    if kind in {"SLIDE", "RAFT"}:
        fill_pack(book, key, kind, built, None)
        book.work("OVERHAUL", key, built, shop_released=built, who=SHOPS[0], document="QBR-CMM")
        book.life(key, "INFL", built, 2) if kind == "SLIDE" else None
    else:
        hydro(book, key, stamp_of(built), "proof" if kind == "EXT" else "")
        _weigh(book, key, built)
        if part == "MWB-O312":
            book.life(key, "FILL", built, 77)
    book.receive(key, built + timedelta(days=15))
    book.install(key, craft, present.to.position, on)
    off = present.on - timedelta(days=1)
    shop = Spotted("shop", name=SHOPS[0] if kind in {"SLIDE", "RAFT"} else SHOPS[1])
    book.move(
        key,
        "removed",
        Spotted("quarantine", station="QVMR"),
        off,
        order=1,
        page=f"VL-{70000 + days_to(off) % 9999}",
        reason="Work due.",
    )
    book.move(
        key, "sent", shop, off + timedelta(days=6), document=f"VAR-RO-{abs(days_to(off)):04d}"
    )
    if days_to(off) < -110:
        _back(book, key, kind, off + timedelta(days=64))


def _back(book: Book, key: Key, kind: str, back: date) -> None:
    """Returned from the shop with the work done, and released to stock."""
    done = back - timedelta(days=9)
    if kind in {"SLIDE", "RAFT"}:
        book.work(
            "OVERHAUL",
            key,
            done,
            shop_released=done,
            who=SHOPS[0],
            document="QBR-CMM",
            certificate=book.paper(key, done, "overhauled", "Brightquay Evacuation"),
        )
    else:
        hydro(book, key, stamp_of(done), "proof" if kind == "EXT" else "")
        _weigh(book, key, done)
    book.move(
        key,
        "returned",
        Spotted("store", station="QVMR"),
        back,
        document=f"VAR-RI-{book.rng.randint(100, 999)}",
    )


def owned_by_others(book: Book) -> None:
    """A pool loan, an exchange with its core due back, a consigned unit."""
    for number, (part, sort, more) in enumerate(
        [
            ("BQ44.210L", "pool_loan", {"return_by": day(120), "restriction": "HL-440 only"}),
            ("TWV-512", "exchange", {"core_due": day(25)}),
            ("FNB-7P", "consigned", {"customs": "Bonded, entry Q-4471"}),
        ]
    ):
        ready = day(-30 - 7 * number)
        key = _spare(book, part, ready)
        book.receive(key, ready + timedelta(days=5), "QVMR")
        book.paper(key, ready, "inspected", "Petrelle Regional")
        owner, document = "Petrelle Regional", f"VAR-PL-{number + 31}"
        book.titles.append(
            TitleFact(key, sort, owner, ready + timedelta(days=5), document=document, **more)  # type: ignore[arg-type]
        )


def gone(book: Book) -> None:
    """Scrapped, sold and lost: their history stays."""
    for number, (sort, how, part) in enumerate(
        [
            ("scrapped", "scrapped", "MWB-O310"),
            ("scrapped", "scrapped", "CCF-A12"),
            ("sold", "sold", "FNB-7P"),
            ("lost", "lost", "SMB-A1"),
        ]
    ):
        key = book.unit(part, day(-3600 + number * 90))
        book.receive(key, day(-3000 + number * 80))
        book.move(
            key,
            sort,
            Spotted("gone", name=how),
            day(-300 + number * 41),
            document=f"VAR-DS-{41 + number}",
        )
