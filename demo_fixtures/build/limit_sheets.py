"""Programmes, limits with their clocks and amounts, works done, as lines of sheets."""

from __future__ import annotations

from scheduling.engine.basis import words

from . import operator
from .aircraft import Aircraft
from .book import Book, day
from .fleet_sheets import hours
from .programme import LESSOR_LIMITS, LIMITS, Amount, Clock, Limit
from .unit_sheets import named

Row = dict[str, object]
EVERY = [(operator.PROGRAMME, LIMITS), (operator.LESSOR_PROGRAMME, LESSOR_LIMITS)]


def _yes(is_so: bool) -> str:
    return "yes" if is_so else ""


def works() -> list[Row]:
    return [
        {
            "Code": code,
            "Name": name,
            "Done in place": _yes(stays),
            "Certified by": operator.CERTIFIED_BY.get(code, ""),
        }
        for code, name, stays in operator.WORKS
    ]


def programmes() -> list[Row]:
    return [
        {
            "Code": operator.PROGRAMME,
            "Name": "Varrowmoor maintenance programme",
            "Operator": operator.OPERATOR,
            "Revision": "14",
            "Govern spares": "yes",
        },
        {
            "Code": operator.LESSOR_PROGRAMME,
            "Name": "Ilmarsh programme, leased 440",
            "Operator": operator.LESSOR,
            "Revision": "6",
            "Govern spares": "no",
        },
    ]


def programmes_of_aircraft(crafts: list[Aircraft]) -> list[Row]:
    return [
        {"Aircraft": craft.registration, "From": day(craft.from_on), "Programme": craft.programme}
        for craft in crafts
    ]


def limits() -> list[Row]:
    return [_limit(code, limit) for code, found in EVERY for limit in found]


def _limit(programme: str, limit: Limit) -> Row:
    return {
        "Programme": programme,
        "Limit": limit.code,
        "Revision": limit.revision,
        "Title": limit.title,
        "Work": limit.work,
        "Subject": words.SUBJECTS[limit.subject].choice,
        "Document": limit.document,
        "Document revision": limit.document_revision,
        "From": limit.from_on,
        "Until": limit.until_on,
        "When": words.WHENS[limit.when].choice,
        "Directive": _yes(limit.directive),
        "Paragraph": limit.paragraph,
        "Kind": limit.kind,
        "Part numbers": ", ".join(limit.parts),
        "Serial numbers": ", ".join(limit.serials),
        "Manufactured to": limit.manufactured_to,
        "Positions": ", ".join(limit.positions),
        "MSNs": ", ".join(limit.msns),
        "Quota": limit.quota,
        "Variation days": limit.variation_days or "",
        "Variation percent": limit.variation_percent,
        "Variation days at most": limit.variation_most,
        "Variation hours": hours(limit.variation_minutes) if limit.variation_minutes else "",
        "Next from original due": _yes(limit.from_original),
        "Extendable": _yes(limit.extendable),
        "Extension days at most": limit.extension_days,
        "Also reset by": ", ".join(limit.resets),
    }


def clocks() -> list[Row]:
    return [
        _clock(code, limit, number, clock)
        for code, found in EVERY
        for limit in found
        for number, clock in enumerate(limit.clocks, 1)
    ]


def _of(programme: str, limit: Limit, number: int) -> Row:
    return {
        "Programme": programme,
        "Limit": limit.code,
        "Revision": limit.revision,
        "Clock": number,
    }


def _is_plain(clock: Clock) -> bool:
    """Whether the clock has one amount without conditions: then it stands in the clock's own line."""
    return clock.amounts == [Amount(clock.amounts[0].value)] and clock.amounts[0].value is not None


def _clock(programme: str, limit: Limit, number: int, clock: Clock) -> Row:
    amount = _amount(clock.measure, clock.amounts[0].value) if _is_plain(clock) else ""
    return {
        **_of(programme, limit, number),
        "Measure": clock.measure,
        "Amount": amount,
        "Counts from": words.STARTS[clock.counts_from].choice,
        "First from": words.STARTS[clock.first_from].choice if clock.first_from else "",
        "Given on": clock.given_on,
        "Last done by": words.ANCHORS[clock.anchor].choice,
        "Runs": words.RUNS[clock.runs].choice,
        "Store ratio percent": clock.ratio,
        "Store cap months": clock.cap,
        "Cap each time": _yes(clock.cap_each),
        "Before first fitting only": _yes(clock.before_first),
        "Rounds": words.ROUNDS[clock.rounds].choice,
        "Month-only stamp": words.STAMPS[clock.stamp].choice,
        "Compares": words.COMPARES[clock.compares].choice,
        "Never later on": clock.never_later_on,
        "Never later months": clock.never_later_months,
        "When it runs out": words.RUNS_OUT[clock.runs_out].choice,
    }


def _amount(measure: str, value: int | None) -> object:
    if value is None:
        return ""
    return hours(value) if measure in {"FH", "USE"} else value


def amounts() -> list[Row]:
    return [
        {
            **_of(code, limit, number),
            "Order": order,
            "Amount": _amount(clock.measure, amount.value),
            "Share percent": amount.share,
            "Time": words.TURNS[amount.when].choice,
            "Age from months": amount.age_from,
            "Age": words.AGES[amount.age_basis].choice if amount.age_from else "",
            "Method": amount.method,
            "Standard": amount.standard,
        }
        for code, found in EVERY
        for limit in found
        for number, clock in enumerate(limit.clocks, 1)
        if not _is_plain(clock)
        for order, amount in enumerate(clock.amounts, 1)
    ]


def works_done(book: Book) -> list[Row]:
    return [
        {
            **named(work.key),
            "Aircraft": work.aircraft,
            "Position": work.position,
            "Work": work.work,
            "Limit": work.limit,
            "Done on": work.on,
            "Released on": work.released,
            "Shop released on": work.shop_released,
            "Original due on": work.original_due,
            "Method": work.method,
            "Hours": hours(work.minutes) if work.minutes else "",
            "Cycles": work.cycles,
            "Result": "passed",
            "Who": work.who,
            "Document": work.document,
            "Certificate": work.certificate,
            "Correction": "",
        }
        for work in book.works
    ]
