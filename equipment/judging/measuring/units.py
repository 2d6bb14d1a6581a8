"""The units that a step's value may be written in, by the sort of thing measured; converted by pint."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

# sort -> unit as the house writes it -> (pint's name, other ways of writing it, folded).
UNITS: dict[str, dict[str, tuple[str, str]]] = {
    "torque": {
        "N·m": ("newton*meter", "nm newtonmetre newtonmetres newtonmeter newtonmeters"),
        "in-lb": (
            "inch*force_pound",
            "inlb lbin inlbf lbfin inlbs lbsin inchpound inchpounds poundinches",
        ),
        "ft-lb": (
            "foot*force_pound",
            "ftlb lbft ftlbf lbfft ftlbs lbsft footpound footpounds poundfeet",
        ),
        "kgf·cm": ("kilogram_force*centimeter", "kgfcm kgcm cmkg cmkgf"),
        "kgf·m": ("kilogram_force*meter", "kgfm kgm mkg mkgf"),
        "daN·m": ("decanewton*meter", "danm"),
        "cN·m": ("centinewton*meter", "cnm"),
    },
    "resistance": {
        "mΩ": ("milliohm", "mω milliohm milliohms millohm millohms mohm mohms"),
        "Ω": ("ohm", "ω ohm ohms r"),
        "µΩ": ("microohm", "μω microohm microohms uohm uohms μohm uω"),
    },
    "pressure": {
        "psi": ("psi", "psi psig lbfin2 lbin2"),
        "bar": ("bar", "bar bars barg"),
        "kPa": ("kilopascal", "kpa kpag"),
        "MPa": ("megapascal", "mpa mpag"),
    },
    "temperature": {
        "°F": ("degree_Fahrenheit", "f °f degf degreef degreesf fahrenheit degreesfahrenheit"),
        "°C": ("degree_Celsius", "c °c degc degreec degreesc celsius degreescelsius"),
    },
    "mass": {
        "kg": ("kilogram", "kg kgs kilo kilos kilogram kilograms"),
        "g": ("gram", "g gr gram grams"),
        "lb": ("pound", "lb lbs pound pounds"),
        "oz": ("ounce", "oz ounce ounces"),
    },
    "time": {
        "min": ("minute", "min mins minute minutes m"),
        "s": ("second", "s sec secs second seconds"),
        "h": ("hour", "h hr hrs hour hours"),
    },
    "length": {
        "cm": ("centimeter", "cm centimetre centimetres centimeter centimeters"),
        "mm": ("millimeter", "mm millimetre millimetres millimeter millimeters"),
        "in": ("inch", 'in ins inch inches " ″'),
        "m": ("meter", "m metre metres meter meters"),
    },
    "angle": {"°": ("degree", "° deg degree degrees")},
    "luminance": {
        "cd/m²": ("candela/meter**2", "cdm2 cdm nit nits"),
        "fL": ("foot_lambert", "fl ftl footlambert footlamberts"),
        "µL": ("micro_lambert", "μl microlambert microlamberts"),
    },
    "illuminance": {
        "lx": ("lux", "lx lux"),
        "fc": ("foot_candle", "fc ftc footcandle footcandles"),
    },
    "flow": {
        "l/min": ("liter/minute", "lmin lpm litresperminute litersperminute"),
        "ml/min": ("milliliter/minute", "mlmin ccmin mlperminute"),
        "cfm": ("foot**3/minute", "cfm ft3min cubicfeetperminute"),
    },
    "volume": {
        "ml": ("milliliter", "ml cc millilitre millilitres milliliter milliliters"),
        "l": ("liter", "l litre litres liter liters"),
    },
    "force": {
        "N": ("newton", "n newton newtons"),
        "daN": ("decanewton", "dan"),
        "lbf": ("force_pound", "lbf poundforce poundsforce"),
        "kgf": ("kilogram_force", "kgf kp"),
    },
    "insulation": {
        "MΩ": ("megaohm", "megaohm megaohms megohm megohms"),
        "kΩ": ("kiloohm", "kω kiloohm kiloohms kohm kohms"),
        "GΩ": ("gigaohm", "gω gigaohm gigaohms gohm gohms"),
    },
    "current": {
        "mA": ("milliampere", "ma milliampere milliamperes milliamp milliamps"),
        "A": ("ampere", "a ampere amperes amp amps"),
    },
    "voltage": {
        "V": ("volt", "v volt volts vdc"),
        "mV": ("millivolt", "mv millivolt millivolts"),
    },
    "count": {"": ("dimensionless", "pc pcs piece pieces ea each off")},
}
# Counted from a vacuum, where a gauge counts from the air outside.
ABSOLUTE = {"psia", "bara", "kpaa", "mpaa", "psiabs", "barabs"}
FIGURES = 15


def units_of(sort: str) -> list[str]:
    """The units that a field of this sort offers, the usual one first."""
    return list(UNITS[sort])


def folded(text: str) -> str:
    """A unit's letters alone: ``lbf·ft``, ``LBF FT`` and ``lbf-ft`` are one."""
    plain = text.replace("º", "°").replace("²", "2").replace("''", '"')
    plain = unicodedata.normalize("NFKC", plain)
    return re.sub(r"[\s.·⋅∙•*×x\-‐-―/()'_]+", "", plain).casefold()


def is_ambiguous(text: str, sort: str) -> bool:
    """Whether a capital M may be meant as milli or as mega, which are 10⁹ apart: ``MΩ``, ``MOHM``."""
    return (
        sort == "resistance"
        and text.strip().startswith("M")
        and folded(text) in {"mω", "mohm", "mohms"}
    )


def unit_named(text: str, sort: str) -> str | None:
    """The house's own writing of a unit that somebody wrote; None if this sort has no such unit."""
    if text in UNITS[sort]:
        return text
    if is_ambiguous(text, sort):
        return None
    word = folded(text)
    for unit, (_, writings) in UNITS[sort].items():
        if word in writings.split():
            return unit
    return None


@cache
def sort_of(unit: str) -> str | None:
    """What a unit measures, by any way of writing it; ``m`` is read as metres, ``min`` as time."""
    if unit == "":
        return "count"
    exact = [sort for sort, units in UNITS.items() if unit in units]
    return next(iter(exact or [sort for sort in UNITS if unit_named(unit, sort)]), None)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    # Loaded and made when first needed: it takes a second, which a process without values need not pay.
    registry: pint.UnitRegistry[Any] = import_module("pint").UnitRegistry(non_int_type=Decimal)
    # 1/π candela a square foot; 10⁻⁶/π candela a square centimetre; a lumen a square foot.
    registry.define("foot_lambert = 3.42625909963539 * candela / meter ** 2")
    registry.define("micro_lambert = 0.00318309886183791 * candela / meter ** 2")
    registry.define("foot_candle = 10.7639104167097 * lux")
    return registry


def converted(value: Decimal, unit: str, to: str, sort: str) -> Decimal:
    """The value in another unit of its sort, to 15 figures; exactly itself in its own unit.

    Temperatures move with their zero (32 °F is 0 °C); a pressure is a gauge's in both units.
    """
    if unit == to:
        return value
    names = UNITS[sort]
    answer = _registry().Quantity(value, names[unit][0]).to(names[to][0]).magnitude
    return tidied(Decimal(answer))


def tidied(value: Decimal) -> Decimal:
    """To 15 figures: without those that a division leaves behind (11.999… for 12)."""
    if not value:
        return Decimal(0)
    step = Decimal(1).scaleb(max(value.adjusted() - FIGURES + 1, -FIGURES))
    return value.quantize(step).normalize() + Decimal(0)
