"""Pressure against a bottle's own chart, and beside it what the gas itself would show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from equipment.judging.verdicts import Judgement, amount_words, number_words, range_words, within

from .gas import GAS_WORDS, CannotSay, expected_psig
from .units import converted, tidied

# Temperature, least, most; no most where only a least is laid down.
Point = tuple[Decimal, Decimal, Decimal | None]
REFERENCE_F = Decimal(70)
CHART_TOLERANCE = Decimal("0.02")


@dataclass(frozen=True, slots=True)
class Chart:
    """A bottle's approved chart: (temperature in °F, least, most) by rising temperature.

    Pressures are a gauge's, in ``unit``; ``document`` and ``revision`` say whose chart it is.
    ``charge`` at ``charge_at_f`` is the bottle's nominal charge, for what the gas itself would show.
    """

    points: tuple[Point, ...]
    gas: str
    document: str
    revision: str
    unit: str = "psi"
    charge: Decimal | None = None
    charge_at_f: Decimal = REFERENCE_F

    @property
    def words(self) -> str:
        revision = f" revision {self.revision}" if self.revision else ""
        return f"the chart of {self.document}{revision}"


@dataclass(frozen=True, slots=True)
class Plausibility:
    """What the gas would show, and how far a reading is from it; no verdict. Both None: cannot say."""

    expected_psig: float | None
    off_psig: float | None
    sentence: str


def range_at(chart: Chart, temperature_f: Decimal) -> tuple[Decimal, Decimal | None] | None:
    """Least and most at a temperature, linear between the chart's points; None beyond them.

    The most is None where a point beside that temperature has none.
    """
    for (t0, low0, high0), (t1, low1, high1) in pairwise(chart.points):
        if t0 <= temperature_f <= t1:
            share = (temperature_f - t0) / (t1 - t0)
            low = tidied(low0 + (low1 - low0) * share)
            if high0 is None or high1 is None:
                return low, None
            return low, tidied(high0 + (high1 - high0) * share)
    return None


def in_fahrenheit(points: Iterable[Point], unit: str) -> tuple[Point, ...]:
    """Points whose temperatures are in ``unit``, by rising temperature in °F."""
    warm = [(converted(t, unit, "°F", "temperature"), low, high) for t, low, high in points]
    return tuple(sorted(warm, key=lambda point: point[0]))


def plain_points(points: Iterable[Point]) -> list[list[float | None]]:
    """Points as they are kept."""
    return [[None if each is None else float(each) for each in point] for point in points]


def judge_pressure(chart: Chart, reading: Decimal, temperature_f: Decimal | None) -> Judgement:
    """Whether a reading is in the chart's band at its temperature, ends included.

    Without a temperature, or beyond the chart's points, it cannot be judged: that is not a pass.
    """
    if temperature_f is None:
        return Judgement("cannot_judge", "It cannot be judged: the temperature is not recorded.")
    band = range_at(chart, temperature_f)
    warmth = amount_words(temperature_f, "°F")
    if band is None:
        ends = f"{number_words(chart.points[0][0])} to {number_words(chart.points[-1][0])} °F"
        sentence = f"It cannot be judged: {warmth} is beyond {chart.words}, which covers {ends}."
        return Judgement("cannot_judge", sentence)
    by = within(band[0], reading, band[1], chart.unit)
    wanted = range_words(*band, chart.unit)
    said = f"{amount_words(reading, chart.unit)} at {warmth}"
    if by is None:
        return Judgement("in", f"{said} is within {wanted} of {chart.words}.")
    return Judgement("out", f"{said} is outside {wanted} of {chart.words}: {by}.", by)


def plausible(
    gas: str, charge_psig: float, charge_temp_f: float, reading_psig: float, temperature_f: float
) -> Plausibility:
    """What a bottle charged so would show now, and how far the reading is from it.

    A plausibility check and no verdict: the bottle's own chart governs.
    """
    expected = expected_psig(gas, charge_psig, charge_temp_f, temperature_f)
    if isinstance(expected, CannotSay):
        return Plausibility(None, None, expected.sentence)
    off = reading_psig - expected
    charge = f"{_psi(charge_psig)} at {charge_temp_f:g} °F"
    sentence = (
        f"{GAS_WORDS[gas].capitalize()} charged to {charge} would show {_psi(expected)} "
        f"at {temperature_f:g} °F; the gauge shows {_difference(off)}."
    )
    return Plausibility(expected, off, sentence)


def normalised(
    gas: str, reading_psig: float, temperature_f: float, to_f: float = 70.0
) -> float | CannotSay:
    """A reading brought to another temperature, 70 °F unless told, in psig."""
    return expected_psig(gas, reading_psig, temperature_f, to_f)


def _psi(pressure: float) -> str:
    return amount_words(Decimal(round(pressure)), "psi")


def _difference(off: float) -> str:
    whole = round(off)
    if not whole:
        return "the same"
    return f"{_psi(abs(whole))} {'more' if whole > 0 else 'less'}"


def check_chart(chart: Chart, tolerance: Decimal = CHART_TOLERANCE) -> list[str]:
    """What is odd about a chart as it is entered, in sentences; nothing if it is sound.

    Its points must rise in temperature and pressure, least below most; each is held against the
    gas from the point nearest 70 °F, within a share of the pressure (2 % unless told).
    """
    shape = shape_of(chart)
    return shape or _against_gas(chart, tolerance)


def shape_of(chart: Chart) -> list[str]:
    """What makes a chart unusable: too few points, out of order, least above most; in sentences."""
    if len(chart.points) < 2:
        return ["A chart needs at least two points."]
    found = [
        f"At {number_words(t)} °F the least, {number_words(low)}, is not below the most, "
        f"{number_words(high)}."
        for t, low, high in chart.points
        if high is not None and not 0 < low < high
    ]
    found += [
        f"At {number_words(t)} °F the least, {number_words(low)}, is nothing."
        for t, low, high in chart.points
        if high is None and low <= 0
    ]
    for (t0, low0, high0), (t1, low1, high1) in pairwise(chart.points):
        if t1 <= t0:
            found.append(f"{number_words(t1)} °F does not come after {number_words(t0)} °F.")
        elif low1 < low0 or (high0 is not None and high1 is not None and high1 < high0):
            found.append(f"The pressure falls from {number_words(t0)} to {number_words(t1)} °F.")
    return found


def _against_gas(chart: Chart, tolerance: Decimal) -> list[str]:
    reference = min(chart.points, key=lambda point: abs(point[0] - REFERENCE_F))
    found = []
    for point in chart.points:
        for from_pressure, pressure, which in (
            (reference[1], point[1], "least"),
            (reference[2], point[2], "most"),
        ):
            if from_pressure is None or pressure is None:
                continue
            by_gas = _by_gas(chart, reference[0], from_pressure, point[0])
            if by_gas is None or abs(pressure - by_gas) <= tolerance * by_gas:
                continue
            found.append(
                f"At {number_words(point[0])} °F the {which}, {number_words(pressure)}, does "
                f"not fit {GAS_WORDS[chart.gas]}, which would show {_whole(by_gas, chart.unit)}."
            )
    return found


def _by_gas(chart: Chart, from_f: Decimal, pressure: Decimal, to_f: Decimal) -> Decimal | None:
    """What the gas would show at another point of the chart, in its unit; None if it cannot be said."""
    charge = float(converted(pressure, chart.unit, "psi", "pressure"))
    psig = expected_psig(chart.gas, charge, float(from_f), float(to_f))
    if isinstance(psig, CannotSay):
        return None
    return converted(Decimal(repr(psig)), "psi", chart.unit, "pressure")


def _whole(pressure: Decimal, unit: str) -> str:
    step = Decimal(1) if pressure > 100 else Decimal("0.1")
    return amount_words(pressure.quantize(step), unit)
