"""A limit in plain sentences, in the words in which the due list explains it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from equipment.models import PartNumber
from fleet.models import Kind, Measure
from fleet.words.said import count_words, day_words, days_words, hours_words
from scheduling.engine.basis.limits import Amount, Clock, Limit
from scheduling.engine.basis.words import COMPARES, ROUNDS, RUNS, RUNS_OUT, STARTS
from scheduling.engine.telling.wording import conditions
from scheduling.facts.rules import Rule


@dataclass(frozen=True, slots=True)
class Names:
    """What rules name by their keys, read once for any number of them."""

    kinds: Mapping[int, str]
    parts: Mapping[int, str]
    measures: Mapping[str, Measure]

    @classmethod
    def of(cls, rules: Iterable[Rule]) -> Names:
        parts = {key for rule in rules for key in rule.part_ids}
        return cls(
            dict(Kind.objects.values_list("pk", "name")),
            dict(PartNumber.objects.filter(pk__in=parts).values_list("pk", "number")),
            {one.code: one for one in Measure.objects.all()},
        )


def sentence_of(rule: Rule, names: Names) -> str:
    """``Each door slide needs overhaul every 36 months from the last one, first from manufacture.``"""
    limit = rule.limit
    clocks = [_clock(clock, names) for clock in limit.clocks]
    if not clocks:
        return f"{subject_of(rule, names)} needs {_small(limit.work)}, but no clock says when."
    which = f", whichever comes {limit.when}" if len(clocks) > 1 else ""
    return f"{subject_of(rule, names)} needs {_small(limit.work)} {'; or '.join(clocks)}{which}."


def subject_of(rule: Rule, names: Names) -> str:
    """On what it falls due: ``Each door slide of part number 101``."""
    kind = _small(names.kinds.get(rule.kind_id or 0, "")) or "unit"
    word = {
        "unit": f"Each {kind}",
        "position": f"Each position of a {kind}" if rule.kind_id else "Each position",
        "aircraft": "Each aircraft",
        "population": f"{count_words(rule.limit.quota)} of all the {kind}s",
    }[rule.limit.subject]
    return " ".join([word, *_narrowed(rule, names)])


def _small(words: str) -> str:
    """A name within a sentence; initials stay."""
    return words[:1].lower() + words[1:] if words[1:2].islower() else words


def _narrowed(rule: Rule, names: Names) -> Iterable[str]:
    if rule.part_ids:
        listed = ", ".join(sorted(names.parts.get(key, "?") for key in rule.part_ids))
        yield f"of part number {listed}"
    if rule.standards:
        yield f"at standard {', '.join(one or 'as built' for one in rule.standards)}"
    if rule.serials:
        yield f"with serial number {spans_words(rule.serials)}"
    if rule.manufactured_from:
        yield f"made on or after {day_words(rule.manufactured_from)}"
    if rule.manufactured_to:
        yield f"made on or before {day_words(rule.manufactured_to)}"
    if rule.positions:
        yield f"at {', '.join(sorted(rule.positions))}"
    if rule.msns:
        yield f"on MSN {spans_words(rule.msns)}"


def spans_words(spans: Iterable[tuple[str, str]]) -> str:
    """``A1, B1 to B9``."""
    return ", ".join(low if low == high else f"{low} to {high}" for low, high in spans)


def _clock(clock: Clock, names: Names) -> str:
    amounts = " or ".join(_amount(clock, each, names) for each in clock.amounts)
    if clock.counts_from == "last_done":
        words = f"every {amounts} from the last one"
        if clock.first_from:
            words += f", first from {STARTS[clock.first_from].said}"
    elif clock.counts_from == "given_date":
        words = f"{amounts} after {day_words(clock.given_on)}"
    else:
        words = f"{amounts} after {STARTS[clock.counts_from].said}"
    return "".join([words, *_further(clock, names)])


def _amount(clock: Clock, amount: Amount, names: Names) -> str:
    if amount.value is None:
        return conditions(amount)
    why = conditions(amount)
    return _quantity(clock.measure, amount.value, names) + (f" ({why})" if why else "")


def _quantity(measure: str, value: int, names: Names) -> str:
    if measure == "months":
        return f"{count_words(value)} month{'' if value == 1 else 's'}"
    if measure == "days":
        return days_words(value)
    counted = names.measures.get(measure)
    if counted is None:
        return f"{count_words(value)} {measure}"
    is_hours = counted.unit == Measure.MINUTES
    return f"{hours_words(value) if is_hours else count_words(value)} {counted.name}"


def _further(clock: Clock, names: Names) -> Iterable[str]:
    """What is not as usual of a clock."""
    if clock.runs != "always":
        yield f" ({RUNS[clock.runs].choice})"
    if ROUNDS[clock.rounds].said:
        yield f", to {ROUNDS[clock.rounds].said}"
    if COMPARES[clock.compares].said:
        yield f", due {COMPARES[clock.compares].said}"
    if clock.never_later_on:
        yield f", never later than {day_words(clock.never_later_on)}"
    if clock.never_later_months:
        yield f", never later than {clock.never_later_months} months from manufacture"
    if clock.never_later_total is not None:
        total = _quantity(clock.measure, clock.never_later_total, names)
        yield f", never later than {total} since new"


def consequences(limit: Limit) -> list[str]:
    """What its end means, its variation and how far it may be extended, each a sentence."""
    found = list(dict.fromkeys(RUNS_OUT[clock.runs_out].said for clock in limit.clocks))
    tolerance = limit.variation
    parts = [
        days_words(tolerance.days) if tolerance.days else "",
        f"{_plain(tolerance.percent)} % of the interval" if tolerance.percent else "",
        f"{hours_words(tolerance.minutes)} h" if tolerance.minutes else "",
        f"{count_words(tolerance.count)} counts" if tolerance.count else "",
    ]
    if any(parts):
        most = f", at most {days_words(tolerance.days_most)}" if tolerance.days_most else ""
        found.append(f"Permitted variation: {', '.join(filter(None, parts))}{most}.")
    if limit.extendable:
        most = (
            f" by at most {days_words(limit.extension_days_most)}"
            if limit.extension_days_most
            else ""
        )
        found.append(f"It can be extended{most}.")
    return found


def _plain(number: Fraction) -> str:
    return f"{float(number):g}"
