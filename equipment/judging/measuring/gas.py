"""What a gas in a rigid bottle shows on the gauge at another temperature: a real-gas calculation."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any

PSI_PA = 6894.757293168361
DATUM_PA = 101_325.0
# Where CO2 may condense out of a mixture, there is no single answer.
MIXTURE_COLDEST_F = 32.0
MIXTURE_MOST_CO2 = 0.30
COLDEST_F, HOTTEST_F = -65.0, 160.0
MOST_PSIG = 6000.0

# Gas -> (fluid, mole fraction) of each part.
GASES: dict[str, tuple[tuple[str, float], ...]] = {
    "nitrogen": (("Nitrogen", 1.0),),
    "oxygen": (("Oxygen", 1.0),),
    "air": (("Air", 1.0),),
    "helium": (("Helium", 1.0),),
    "co2_n2_10": (("CarbonDioxide", 0.1), ("Nitrogen", 0.9)),
    "co2_n2_20": (("CarbonDioxide", 0.2), ("Nitrogen", 0.8)),
    "co2_n2_30": (("CarbonDioxide", 0.3), ("Nitrogen", 0.7)),
    "carbon_dioxide": (("CarbonDioxide", 1.0),),
}
GAS_WORDS = {
    "nitrogen": "nitrogen",
    "oxygen": "oxygen",
    "air": "air",
    "helium": "helium",
    "co2_n2_10": "10 % carbon dioxide in nitrogen",
    "co2_n2_20": "20 % carbon dioxide in nitrogen",
    "co2_n2_30": "30 % carbon dioxide in nitrogen",
    "carbon_dioxide": "carbon dioxide",
}


@dataclass(frozen=True, slots=True)
class CannotSay:
    """Why the calculation has no answer here."""

    sentence: str


def expected_psig(
    gas: str, charge_psig: float, charge_temp_f: float, temperature_f: float
) -> float | CannotSay:
    """What a bottle charged so shows at a temperature, its density kept; gauge datum 101.325 kPa.

    For nitrogen, oxygen, air and helium from −65 to 160 °F, and carbon dioxide in nitrogen up to
    30 % by mole from 32 °F; elsewhere :class:`CannotSay`. It assumes a bottle that does not stretch.
    """
    reason = _why_not(gas, charge_psig, (charge_temp_f, temperature_f))
    if reason:
        return CannotSay(reason)
    try:
        pressure = _at_constant_density(gas, charge_psig, charge_temp_f, temperature_f)
    except ValueError:
        return CannotSay("The calculation has no answer for this gas at these conditions.")
    return (pressure - DATUM_PA) / PSI_PA


def _why_not(gas: str, charge_psig: float, temperatures: tuple[float, float]) -> str:
    parts = dict(GASES.get(gas, ()))
    carbon_dioxide = parts.get("CarbonDioxide", 0.0)
    if not parts:
        return "It cannot be said: what this gas does is not known here."
    if carbon_dioxide > MIXTURE_MOST_CO2:
        return "It cannot be said: carbon dioxide is partly liquid in a bottle. Weigh it instead."
    if carbon_dioxide and min(temperatures) < MIXTURE_COLDEST_F:
        return "It cannot be said below 32 °F: carbon dioxide may condense. Use the bottle's chart."
    if not all(COLDEST_F <= each <= HOTTEST_F for each in temperatures):
        return "It cannot be said beyond −65 to 160 °F."
    if not 0 < charge_psig <= MOST_PSIG:
        return "It cannot be said for a pressure like this."
    return ""


def _at_constant_density(gas: str, psig: float, from_f: float, to_f: float) -> float:
    library, state = _state(gas)
    state.update(library.PT_INPUTS, psig * PSI_PA + DATUM_PA, _kelvin(from_f))
    state.update(library.DmolarT_INPUTS, state.rhomolar(), _kelvin(to_f))
    return float(state.p())


def _kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@cache
def _library() -> Any:
    # Brought in when first needed: it takes two seconds, which most processes need not pay.
    return import_module("CoolProp.CoolProp")


def _state(gas: str) -> tuple[Any, Any]:
    library = _library()
    parts = GASES[gas]
    state = library.AbstractState("HEOS", "&".join(name for name, _ in parts))
    if len(parts) > 1:
        state.set_mole_fractions([fraction for _, fraction in parts])
    state.specify_phase(library.iphase_gas)
    return library, state
