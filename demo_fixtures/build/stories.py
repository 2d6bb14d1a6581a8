"""The ordinary unit's story, told backwards: from when its work falls due to when it was last done."""

from __future__ import annotations

from datetime import date, timedelta

from .aircraft import Aircraft
from .book import Book, Key, WorkFact, day, days_to, months_before, stamp_of
from .layouts import NARROW, Spot
from .packs import MONTH, ago, bottle_in, due_day, fitted_on, hydro, is_from_new, pack, supply


def tested_item(book: Book, craft: Aircraft, spot: Spot, part: str, months: int) -> Key:
    """A cylinder on its own: tested in the shop, then fitted. Returns its key."""
    tested = months_before(due_day(craft, months, book.rng), months)
    new = is_from_new(craft, tested)
    made = (
        day(craft.delivered - book.rng.randint(50, 110))
        if new
        else ago(tested, (3.0, 9.0), book.rng)
    )
    key = book.unit(part, stamp_of(made))
    if not new:
        hydro(book, key, stamp_of(tested))
    on = day(craft.delivered) if new else fitted_on(craft, tested, book.rng)
    supply(book, key, craft, spot.code, on - timedelta(days=20), on)
    return key


def door_cylinder(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Tested each five years, weighed each 24 calendar months where it is."""
    key = tested_item(book, craft, spot, "TWV-512", 60)
    weighed = months_before(due_day(craft, 24, book.rng, 5), 24)
    book.work(
        "WEIGH",
        key,
        weighed,
        released=weighed,
        who=f"{craft.station} line",
        document="VAR-MP-35-110",
    )


def oxygen(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Two makes of bottle: five years between tests, or three and a life."""
    is_three = spot.code.endswith("4")
    key = tested_item(
        book, craft, spot, "MWB-O312" if is_three else "MWB-O310", 36 if is_three else 60
    )
    if is_three:
        book.life(key, "FILL", day(-300), book.rng.randint(40, 900))


def overwing_bottle(book: Book, craft: Aircraft, spot: Spot) -> None:
    """The overwing slide's bottle, in the fuselage: it comes off on the line, by itself."""
    built = months_before(due_day(craft, 60, book.rng), 60)
    if new := is_from_new(craft, built):
        built = day(craft.delivered - 80)
    key = bottle_in("TWV-760", book, built, None)
    on = day(craft.delivered) if new else fitted_on(craft, built, book.rng)
    supply(book, key, craft, spot.code, built + timedelta(days=9), on)


def hood(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Ten years from manufacture; time on the shelf counts half."""
    latest = (
        day(book.rng.randint(craft.delivered, -80))
        if craft.from_on == craft.delivered
        else day(-300)
    )
    floor = months_before(due_day(craft, 30, book.rng, 0), 120)
    made = max(ago(latest, (0.3, 0.9), book.rng), floor)
    key = book.unit("MWB-H15", stamp_of(made))
    supply(
        book,
        key,
        craft,
        spot.code,
        made + timedelta(days=40),
        max(latest, made + timedelta(days=80)),
    )


def first_aid(book: Book, craft: Aircraft, spot: Spot) -> None:
    """A kit is as old as its earliest content."""
    made = months_before(due_day(craft, 36, book.rng) + timedelta(days=10), 36)
    key = book.unit("SMB-AID", stamp_of(made), note="Stamp of the earliest content.")
    supply(book, key, craft, spot.code, made + timedelta(days=30), fitted_on(craft, made, book.rng))


def vest_bin(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Six crew vests by serial number on the smaller type, a lot of six on the larger."""
    if craft.type_code != NARROW:
        made = months_before(due_day(craft, 120, book.rng), 120)
        if days_to(made) < craft.delivered - 500:
            made = (
                day(craft.delivered - book.rng.randint(90, 400))
                if craft.delivered > -3300
                else made
            )
        key = book.unit(
            "SMB-A2",
            stamp_of(made),
            f"LOT-{made:%y%m}/{craft.registration[-1]}{spot.code[-1]}",
            quantity=6,
        )
        on = fitted_on(craft, made, book.rng)
        book.receive(key, on - timedelta(days=9), quantity=6)
        book.install(key, craft, spot.code, on, quantity=6)
        return
    done = months_before(due_day(craft, 60, book.rng), 60)
    new = is_from_new(craft, done)
    on = day(craft.delivered) if new else fitted_on(craft, done, book.rng)
    for _ in range(spot.capacity - book.filled[craft.registration, spot.code]):
        made = ago(on if new else done, (0.2, 1.0) if new else (0.2, 4.6), book.rng)
        key = book.unit("SMB-A1", stamp_of(made))
        if not new:
            book.work("INSPECT", key, done, shop_released=done, document="SMB-CMM-01")
        supply(book, key, craft, spot.code, on - timedelta(days=15), on)


def megaphone(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Function tested each 365 days."""
    on = day(max(craft.from_on, -book.rng.randint(1100, 2000)))
    made = on - timedelta(days=book.rng.randint(100, 400))
    key = book.unit("OLD-MG2", made)
    supply(book, key, craft, spot.code, on - timedelta(days=10), on)
    done = due_day(craft, 12, book.rng, 8) - timedelta(days=365)
    if days_to(done) > craft.from_on:
        book.work("FUNCTION", key, done, released=done, who=f"{craft.station} line")
    if days_to(made) < -1500 and book.rng.random() < 0.7:
        book.work("MODIFY", key, day(-90), released=day(-90), document="VAR-EO-0211")


def beacon(book: Book, craft: Aircraft, spot: Spot) -> None:
    """A beacon, inspected each 12 calendar months, and its battery, good for half its stated life."""
    battery_made = months_before(due_day(craft, 36, book.rng, 150), 36)
    on = max(battery_made + timedelta(days=book.rng.randint(100, 140)), day(craft.from_on))
    beacon_key = book.unit(
        "FNB-7F" if spot.code == "ELT-1" else "FNB-7P", ago(battery_made, (0.5, 6.0), book.rng)
    )
    battery = book.unit("FNB-B72", stamp_of(battery_made))
    book.receive(battery, battery_made + timedelta(days=60))
    book.nest(battery, beacon_key, "BAT", battery_made + timedelta(days=75))
    book.life(
        battery,
        "USE",
        battery_made + timedelta(days=75),
        book.rng.choice([0, 0, 4, 9, 15]),
        "battery log",
    )
    supply(book, beacon_key, craft, spot.code, battery_made + timedelta(days=80), on)
    inspected = months_before(due_day(craft, 12, book.rng, 6), 12)
    if inspected > on:
        book.work(
            "INSPECT",
            beacon_key,
            inspected,
            released=inspected,
            who=f"{craft.station} line",
            document="VAR-MP-25-610",
        )


def light_pack(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Bound by flight hours on an aircraft that flies much, by months fitted on one that does not."""
    standard = book.rng.choice(["P1", "P2"])
    hours = 24000 if standard == "P2" else 20000
    days = hours * 60 / (craft.minutes_a_day * 0.95)
    due = due_day(craft, min(days, 72 * MONTH) / MONTH, book.rng, 60)
    on = max(due - timedelta(days=int(min(days, 72 * MONTH))), day(craft.from_on))
    key = book.unit("OLD-BP6", on - timedelta(days=book.rng.randint(60, 200)), standard=standard)
    supply(book, key, craft, spot.code, on - timedelta(days=8), on)
    stated = max(on, day(craft.readings_from + 3))
    book.life(key, "FH", stated, int(max(0, (stated - on).days) * craft.minutes_a_day * 0.93))


def floor_path(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Checked after 24 months or 6,000 hours, whichever is later."""
    on = day(max(craft.from_on, -book.rng.randint(1200, 2400)))
    key = book.unit("HVA-FP900", on - timedelta(days=book.rng.randint(50, 120)))
    supply(book, key, craft, spot.code, on - timedelta(days=6), on)
    done = months_before(due_day(craft, 24, book.rng, 10), 24)
    if days_to(done) > craft.from_on:
        book.work(
            "INSPECT",
            key,
            done,
            released=done,
            who=f"{craft.station} line",
            document="VAR-MP-33-510",
        )


def extinguisher(book: Book, craft: Aircraft, spot: Spot) -> None:
    """Tested at 12 years, then by its method; maintained each six years; weighed each year."""
    part = "CCF-W05" if spot.code == "EXT-4" else "CCF-A12"
    on, key = _tested_extinguisher(book, craft, part)
    supply(book, key, craft, spot.code, on - timedelta(days=15), on)
    weighed = months_before(due_day(craft, 12, book.rng, 6), 12)
    if weighed > on:
        book.work(
            "WEIGH",
            key,
            weighed,
            released=weighed,
            who=f"{craft.station} line",
            document="VAR-MP-26-201",
        )


def _tested_extinguisher(book: Book, craft: Aircraft, part: str) -> tuple[date, Key]:
    """When it was fitted, and its key: young and never tested, or older and tested one way or the other."""
    six = months_before(due_day(craft, 72, book.rng), 72)
    if days_to(six) < craft.delivered or book.rng.random() < 0.35:
        made = max(six, day(craft.delivered - 100))
        return max(made + timedelta(days=70), day(craft.from_on)), book.unit(part, stamp_of(made))
    tested = stamp_of(six)
    key = book.unit(part, stamp_of(ago(six, (12.1, 12.9), book.rng)))
    hydro(book, key, tested, book.rng.choice(["proof", "water_jacket"]))
    return fitted_on(craft, six, book.rng), key


STORIES = {
    "SLIDE": pack,
    "RAFT": pack,
    "OWSLIDE": pack,
    "BOTTLE": overwing_bottle,
    "DOORCYL": door_cylinder,
    "OXY": oxygen,
    "HOOD": hood,
    "EXT": extinguisher,
    "VEST": vest_bin,
    "MEGA": megaphone,
    "ELT": beacon,
    "LPACK": light_pack,
    "FPATH": floor_path,
    "AID": first_aid,
}


def fit_out(book: Book, craft: Aircraft, spots: list[Spot]) -> None:
    """This will fill every position of an aircraft that no hard case has filled."""
    for spot in spots:
        if (craft.registration, spot.code) not in book.taken:
            STORIES[spot.kind](book, craft, spot)


def aircraft_works(book: Book, craft: Aircraft, door_positions: list[str]) -> None:
    """What is done on the aircraft itself and at its positions."""
    span = min(12.0, 3000 * 60 / craft.minutes_a_day / MONTH)
    done = due_day(craft, span, book.rng, 6) - timedelta(days=int(span * MONTH))
    done = max(done, day(craft.readings_from + 1))
    minutes, cycles = craft.total_at(days_to(done))
    book.works.append(
        WorkFact(
            "FUNCTION",
            done,
            aircraft=craft.registration,
            minutes=minutes,
            cycles=cycles,
            released=done,
            who=f"{craft.station} line",
            document="VAR-MP-33-500",
        )
    )
    girt = months_before(due_day(craft, 24, book.rng, 8), 24)
    girt = max(girt, day(max(craft.from_on, craft.delivered) + 1))
    for position in door_positions:
        book.works.append(
            WorkFact(
                "INSPECT",
                girt,
                aircraft=craft.registration,
                position=position,
                released=girt,
                who=f"{craft.station} line",
                document="VAR-MP-52-130",
            )
        )
