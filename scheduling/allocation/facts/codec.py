"""Needs and supplies as they are kept: plain JSON there and back, nothing lost."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from scheduling.matching.facts.facts import Fit, Left, Need, Rate, Supply, Way

Plain = dict[str, Any]
_DAYS = ("free_from", "lasts_until", "shelf_until", "return_by")


def need_plain(need: Need) -> Plain:
    found = asdict(need)
    found["on"] = need.on.isoformat()
    found["opportunities"] = [day.isoformat() for day in need.opportunities]
    found["owners"] = None if need.owners is None else sorted(need.owners)
    return found


def need_read(kept: Plain) -> Need:
    return Need(
        key=kept["key"],
        family=kept["family"],
        on=date.fromisoformat(kept["on"]),
        station=kept["station"],
        msn=kept["msn"],
        fits=tuple(Fit(**{**fit, "standards": tuple(fit["standards"])}) for fit in kept["fits"]),
        opportunities=tuple(date.fromisoformat(day) for day in kept["opportunities"]),
        least_days=kept["least_days"],
        owners=None if kept["owners"] is None else frozenset(kept["owners"]),
        # A proposal kept by an earlier release of this program has neither rates nor what is left.
        rates=tuple(Rate(**rate) for rate in kept.get("rates", ())),
        dual_release=kept.get("dual_release", ""),
        quantity=kept.get("quantity", 1),
    )


def supply_plain(supply: Supply) -> Plain:
    found = asdict(supply)
    for name in _DAYS:
        day = found[name]
        found[name] = day.isoformat() if day else None
    found["only_msns"] = None if supply.only_msns is None else sorted(supply.only_msns)
    return found


def supply_read(kept: Plain) -> Supply:
    days = {name: date.fromisoformat(kept[name]) if kept[name] else None for name in _DAYS}
    only = None if kept["only_msns"] is None else frozenset(kept["only_msns"])
    left = tuple(Left(**one) for one in kept.get("left", ()))
    return Supply(**{**kept, **days, "only_msns": only, "left": left})


def way_read(kept: Plain) -> Way:
    return Way(**kept)


def pairs_read(kept: list[list[str]]) -> tuple[tuple[str, str], ...]:
    return tuple((need, supply) for need, supply in kept)
