"""Bottle pressure against temperature, by the real gas (published-facts section 8).

The tables were computed with CoolProp 8.0.0 and cross-checked with an independent GERG-2008
implementation, which agreed within 0.2 psi (nitrogen, mixtures) and 1.5 psi (oxygen). Tolerance
here: 0.2 psi, and 1.5 psi for oxygen, so that another release of the equations may move that much.
"""

from __future__ import annotations

from decimal import Decimal as D
from itertools import pairwise

import pytest

from equipment.judging.measuring.gas import CannotSay, expected_psig
from equipment.judging.measuring.pressure import Chart, judge_pressure, normalised, plausible
from equipment.judging.steps.judge import judge
from equipment.judging.steps.rules import rule_of

TOLERANCE = {"oxygen": 1.5}
# Charged to 3000 psig at 70 °F: °F -> nitrogen, ideal gas, oxygen, air, helium.
REAL = {
    -65: (1899.1, 2231.6, 1793.5, 1878.6, 2238.0),
    -40: (2105.0, 2373.9, 2019.5, 2088.4, 2379.5),
    0: (2432.4, 2601.6, 2378.4, 2421.9, 2605.5),
    32: (2692.7, 2783.7, 2663.4, 2687.0, 2786.0),
    50: (2838.5, 2886.2, 2823.1, 2835.5, 2887.4),
    59: (2911.2, 2937.4, 2902.8, 2909.6, 2938.1),
    70: (3000.0, 3000.0, 3000.0, 3000.0, 3000.0),
    90: (3161.1, 3113.8, 3176.4, 3164.0, 3112.5),
    100: (3241.4, 3170.7, 3264.4, 3245.9, 3168.7),
    120: (3401.8, 3284.6, 3440.0, 3409.2, 3281.0),
    140: (3561.8, 3398.4, 3615.2, 3572.1, 3393.3),
    160: (3721.4, 3512.2, 3790.0, 3734.6, 3505.4),
}
# The same charge: 10, 20 and 30 % carbon dioxide in nitrogen, by mole.
MIXTURES = {
    32: (2664.1, 2627.1, 2577.7),
    50: (2823.5, 2804.0, 2778.1),
    70: (3000.0, 3000.0, 3000.0),
    90: (3175.9, 3195.3, 3221.1),
    100: (3263.7, 3292.6, 3331.4),
    120: (3438.9, 3486.9, 3551.4),
    140: (3613.5, 3680.6, 3770.7),
    160: (3787.6, 3873.7, 3989.4),
}
# Other charges at 70 °F: charge, °F, nitrogen, oxygen.
OTHER = [
    (1850, -40, 1347.7, 1320.9),
    (1850, 0, 1531.3, 1514.6),
    (1850, 32, 1677.4, 1668.4),
    (1850, 100, 1985.7, 1992.7),
    (1850, 140, 2166.0, 2182.2),
    (1800, -40, 1313.7, 1288.7),
    (1800, 32, 1632.9, 1624.5),
    (1800, 100, 1931.4, 1937.9),
    (1800, 140, 2106.0, 2121.1),
]
GASES = ("nitrogen", "oxygen", "air", "helium")
MIXED = ("co2_n2_10", "co2_n2_20", "co2_n2_30")


def is_near(gas, got, printed):
    # A printed figure is itself rounded to 0.1.
    return got == pytest.approx(printed, abs=TOLERANCE.get(gas, 0.2))


@pytest.mark.parametrize("warmth", REAL)
def test_pure_gases_charged_to_3000_psig(warmth):
    nitrogen, _, *others = REAL[warmth]

    for gas, printed in zip(GASES, (nitrogen, *others), strict=True):
        assert is_near(gas, expected_psig(gas, 3000, 70, warmth), printed)


@pytest.mark.parametrize("warmth", MIXTURES)
def test_carbon_dioxide_in_nitrogen_charged_to_3000_psig(warmth):
    for gas, printed in zip(MIXED, MIXTURES[warmth], strict=True):
        assert is_near(gas, expected_psig(gas, 3000, 70, warmth), printed)


@pytest.mark.parametrize(("charge", "warmth", "nitrogen", "oxygen"), OTHER)
def test_oxygen_bottles_of_1800_and_1850_psig(charge, warmth, nitrogen, oxygen):
    assert is_near("nitrogen", expected_psig("nitrogen", charge, 70, warmth), nitrogen)
    assert is_near("oxygen", expected_psig("oxygen", charge, 70, warmth), oxygen)


@pytest.mark.parametrize(
    ("gas", "reading", "warmth", "at_70"),
    [
        ("nitrogen", 2700, 32, 3008.4),  # GP-01: the ideal gas would say 2909.8, 3 % low
        ("nitrogen", 3250, 100, 3007.8),  # GP-03
        ("nitrogen", 2100, -40, 2992.2),  # GP-05
        ("oxygen", 1850, 90, 1760.5),  # GP-07
    ],
)
def test_a_reading_brought_to_70_degrees(gas, reading, warmth, at_70):
    # Through the product: it is kept with the entry, and said beside the verdict of the bottle's chart.
    points = [[-65, 1000, 4000], [160, 2000, 5000]]
    data = {"points": points, "gas": gas, "document": "invented"}
    rule = rule_of("pressure", {"unit": "psi", "chart": data})

    outcome = judge(rule, {"value": str(reading), "temperature": str(warmth)})

    assert is_near(gas, float(outcome.values["at_70_f"]["value"]), at_70)
    assert any(said.startswith("Brought to 70 °F") for said in outcome.beside)


def test_the_ideal_gas_hides_a_leak():
    # Design section 6: nitrogen, 3,100 psig at 100 °F, is 2,871 at 70 °F, not 2,933.
    ideal = (3100 + 14.696) * (70 + 459.67) / (100 + 459.67) - 14.696

    assert round(normalised("nitrogen", 3100, 100)) == 2871
    assert round(ideal) == 2933


@pytest.mark.parametrize("warmth", [w for w in REAL if w != 70])
def test_the_ideal_gas_is_off_as_printed_and_never_used(warmth):
    nitrogen, ideal, *_ = REAL[warmth]
    by_formula = (3000 + 14.696) * (warmth + 459.67) / (70 + 459.67) - 14.696

    assert by_formula == pytest.approx(ideal, abs=0.1)
    assert abs(expected_psig("nitrogen", 3000, 70, warmth) - nitrogen) < 0.2
    assert abs(ideal - nitrogen) > 20


def test_near_70_degrees_nitrogen_moves_8_psi_for_each_degree():
    # "N2 at 3000 psig 8.06 psi/°F, ideal 5.69".
    slope = (expected_psig("nitrogen", 3000, 70, 71) - expected_psig("nitrogen", 3000, 70, 69)) / 2

    assert slope == pytest.approx(8.06, abs=0.02)


@pytest.mark.parametrize("gas", MIXED)
@pytest.mark.parametrize("warmth", [-65, -40, 0, 31])
def test_below_freezing_carbon_dioxide_may_condense_and_nothing_is_said(gas, warmth):
    answer = plausible(gas, 3000, 70, 2500, warmth)

    assert (answer.expected_psig, answer.off_psig) == (None, None)
    assert "condense" in answer.sentence


def test_of_pure_carbon_dioxide_nothing_is_said():
    # Its saturation at 70 °F is 838.1 psig: a bottle holds liquid, and is weighed.
    assert isinstance(expected_psig("carbon_dioxide", 800, 70, 90), CannotSay)


@pytest.mark.parametrize("gas", GASES)
def test_warmer_or_fuller_shows_more(gas):
    # GP-09.
    by_warmth = [expected_psig(gas, 3000, 70, warmth) for warmth in range(-65, 161, 15)]
    by_reading = [normalised(gas, reading, 20) for reading in range(500, 5000, 300)]

    assert all(lower < higher for lower, higher in pairwise(by_warmth))
    assert all(lower < higher for lower, higher in pairwise(by_reading))


@pytest.mark.parametrize("warmth", [None, D("31.9"), D("100.1"), D(-40)])
def test_without_a_temperature_or_beyond_the_chart_it_is_not_a_pass(warmth):
    # GP-11.
    points = ((D(32), D(2600), D(2780)), (D(70), D(2900), D(3100)), (D(100), D(3130), D(3350)))
    chart = Chart(points, "nitrogen", "invented", "1")

    assert judge_pressure(chart, D(2950), warmth).verdict == "cannot_judge"


def test_the_chart_governs_even_where_the_gas_says_otherwise():
    # Section 8, last line: the approved chart governs; the calculation is a plausibility check.
    points = ((D(32), D(2000), D(2100)), (D(100), D(2000), D(2100)))
    chart = Chart(points, "nitrogen", "invented", "1")

    assert judge_pressure(chart, D(2050), D(70)).verdict == "in"
    assert plausible("nitrogen", 3000, 70, 2050, 70).off_psig == pytest.approx(-950)
