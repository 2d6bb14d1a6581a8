"""When ordinary work falls due, and the slide packs with all that is inside them."""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date, timedelta

from .aircraft import Aircraft
from .book import Book, Key, Stamp, day, days_to, months_before, stamp_of
from .layouts import Spot
from .parts import BY_NUMBER

MARGIN = 22
# how much of the work falls due at the aircraft's next check: the planner's next two months
DUE_SOON = 0.05
MONTH = 30.44


def due_day(craft: Aircraft, months: float, rng: random.Random, newest: int = 70) -> date:
    """A day on which ordinary work may fall due: well after the aircraft's next check, so that the
    list is not a wall of red, and no later than freshly done work would (``newest`` days ago)."""
    ahead = craft.checks_ahead
    earliest = (ahead[0] if ahead else 30) + MARGIN
    latest = max(earliest + 5, int(months * MONTH) - newest)
    if len(ahead) > 1 and rng.random() < DUE_SOON:
        latest = min(latest, max(earliest + 5, ahead[1] - 12))
    return day(rng.randint(earliest, latest))


def fitted_on(craft: Aircraft, done: date, rng: random.Random) -> date:
    """A few weeks after the work in the shop, but not before the aircraft came."""
    return max(done + timedelta(days=rng.randint(34, 62)), day(craft.from_on))


def is_from_new(craft: Aircraft, done: date) -> bool:
    """Whether a work so long ago would be older than the aircraft: then the unit came new with it."""
    return days_to(done) < craft.delivered


def ago(on: date, years: tuple[float, float], rng: random.Random) -> date:
    """A day between so many years before another."""
    return on - timedelta(days=int(rng.uniform(*years) * 365.25))


def supply(  # noqa: PLR0917 (told in the order it happens)
    book: Book, key: Key, craft: Aircraft, position: str, ready: date, on: date
) -> None:
    """Received into the store when ready, fitted later."""
    book.receive(key, min(ready, on - timedelta(days=1)))
    book.install(key, craft, position, on)


def pack(book: Book, craft: Aircraft, spot: Spot) -> None:
    """A slide, slide-raft or overwing slide with all that is inside it."""
    months = 48 if spot.kind == "OWSLIDE" else 36
    done: date | None = months_before(due_day(craft, months, book.rng), months)
    assert done is not None
    if is_from_new(craft, done):
        made, done, on = (
            day(craft.delivered - book.rng.randint(60, 130)),
            None,
            day(craft.delivered),
        )
    else:
        made, on = ago(done, (0.4, 10.5), book.rng), fitted_on(craft, done, book.rng)
    wanted = Pack(pack_part(craft, spot), made, done, on, standard=pack_standard(spot, book.rng))
    fit_pack(book, craft, spot.code, wanted)


@dataclass(frozen=True, slots=True)
class Pack:
    """A slide pack to fit: when made, last overhauled (None: new) and fitted; what is in it, if told."""

    part: str
    made: date | None
    done: date | None
    on: date
    serial: str = ""
    standard: str = ""
    bottle: str = ""
    bottle_made: Stamp | None = None
    light: str = ""
    tested: Stamp | None = None
    cartridge: tuple[str, Stamp] | None = None


def fit_pack(book: Book, craft: Aircraft, position: str, wanted: Pack) -> Key:
    """This will enter a pack with all that is inside it, and fit it."""
    kind = BY_NUMBER[wanted.part].kind
    key = book.unit(wanted.part, wanted.made, wanted.serial, standard=wanted.standard)
    built = wanted.done or wanted.made or wanted.on - timedelta(days=40)
    fill_pack(book, key, kind, built, wanted)
    if wanted.done:
        paper = book.paper(key, wanted.done, "overhauled", "Brightquay Evacuation")
        book.work(
            "OVERHAUL",
            key,
            wanted.done,
            shop_released=wanted.done,
            who="Brightquay Evacuation, Dunmarrow shop",
            document="QBR-CMM",
            certificate=paper,
        )
    if kind == "SLIDE":
        book.life(key, "INFL", built, book.rng.randint(0, 3))
    supply(book, key, craft, position, built + timedelta(days=12), wanted.on)
    return key


def pack_part(craft: Aircraft, spot: Spot) -> str:
    """The part number of the hand that the position wants."""
    if spot.kind == "OWSLIDE":
        return "BQ21.320" if craft.delivered > -1500 else "BQ21.310"
    hand = spot.code[2]
    if spot.kind == "RAFT":
        return f"BQ44.210{hand}"
    return "BQ21.115L" if hand == "L" and craft.msn >= "1105" else f"BQ21.110{hand}"


def pack_standard(spot: Spot, rng: random.Random) -> str:
    """Door slides of the narrow type have standards; most are at the later one."""
    return "A" if spot.kind == "SLIDE" and rng.random() < 0.4 else ""


def fill_pack(book: Book, pack_key: Key, kind: str, built: date, wanted: Pack | None) -> None:
    """What is inside a pack, put in at the shop when the pack was built or overhauled."""
    light_made = ago(built, (0.1, 4.2), book.rng)
    unread = wanted.light if wanted else ""
    stamp = None if unread else stamp_of(light_made)
    standard = "L2" if light_made > day(-1500) else "L1"
    light = book.unit("OLD-SL3", stamp, unread, standard=standard)
    _put_inside(book, light, pack_key, "LIGHT", built)
    if kind != "OWSLIDE":
        part = "TWV-720" if kind == "SLIDE" else "TWV-755"
        _put_inside(book, bottle_in(part, book, built, wanted), pack_key, "BTL", built)
    if kind == "RAFT":
        kit = book.unit("SMB-K8", stamp_of(ago(built, (0.1, 1.6), book.rng)))
        _put_inside(book, kit, pack_key, "KIT", built)


def _put_inside(book: Book, key: Key, parent: Key, position: str, built: date) -> None:
    book.receive(key, built + timedelta(days=3))
    book.nest(key, parent, position, built + timedelta(days=6))


def bottle_in(part: str, book: Book, built: date, wanted: Pack | None) -> Key:
    """A bottle, tested when the pack was built, with a cartridge of a lot in its valve."""
    tested = built - timedelta(days=4)
    years = {"TWV-720": (0.1, 17.0), "TWV-755": (0.1, 6.5), "TWV-760": (0.1, 12.0)}[part]
    made = (wanted and wanted.bottle_made) or stamp_of(ago(tested, years, book.rng))
    key = book.unit(part, made, wanted.bottle if wanted else "")
    stamp = (wanted and wanted.tested) or stamp_of(tested)
    if (stamp.first - made.first).days > 200:
        hydro(book, key, stamp)
    if part != "TWV-760":
        book.life(key, "FILL", built, 2 + (built - made.first).days // 700)
    cartridge = cartridge_for(book, built, wanted)
    book.receive(cartridge, built + timedelta(days=1))
    book.nest(cartridge, key, "CART", built + timedelta(days=2))
    return key


def cartridge_for(book: Book, built: date, wanted: Pack | None) -> Key:
    """The cartridge told of, or one of the batch in use in the year the bottle was built."""
    if wanted and wanted.cartridge:
        return book.unit("TWV-C18", wanted.cartridge[1], wanted.cartridge[0])
    is_late = built.month > 4
    made = Stamp(built.year, 2) if is_late else Stamp(built.year - 1, 9)
    batch = f"{made.year % 100:02d}{made.month:02d}"
    book.serials[batch] += 1
    return book.unit("TWV-C18", made, f"LOT-{batch}/{book.serials[batch] - 1000:02d}")


def hydro(book: Book, key: Key, when: Stamp, method: str = "") -> None:
    """A hydrostatic test with only the month stamped."""
    paper = book.paper(key, when.first + timedelta(days=20), "tested", "Tarnwick Vessels")
    book.work(
        "HYDRO", key, when, method=method, who="Tarnwick Vessels, test house", certificate=paper
    )
