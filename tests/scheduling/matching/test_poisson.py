"""The interval of a rate against published tables, and what must hold of any."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import poisson

from scheduling.matching.solving.poisson import between_interval, mean_interval, rate_interval

#: F. Garwood, Fiducial Limits for the Poisson Distribution, Biometrika 28 (1936): 95 %, as reprinted in
#: Pearson and Hartley, Biometrika Tables for Statisticians, table 40.
GARWOOD = {
    0: (0.0, 3.69),
    1: (0.0253, 5.57),
    2: (0.242, 7.22),
    3: (0.619, 8.77),
    5: (1.62, 11.67),
    10: (4.80, 18.39),
    20: (12.22, 30.89),
    50: (37.11, 65.92),
}
#: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1: factors by which the estimated MTBF is
#: multiplied, two-sided, for tests ended by time.
NIST = {
    (1, 0.95): (0.1795, 39.4978),
    (1, 0.90): (0.2108, 19.4958),
    (2, 0.95): (0.2768, 8.2573),
    (2, 0.90): (0.3177, 5.6281),
}


#: GraphPad, How QuickCalcs computes the confidence interval of a count (by Garwood's method): of 25 events.
GRAPHPAD = {0.90: (17.38, 34.92), 0.95: (16.18, 36.90), 0.99: (14.00, 41.00)}


@pytest.mark.parametrize("sure", GRAPHPAD)
def test_a_count_of_25_has_the_published_limits(sure):
    assert mean_interval(25, sure) == pytest.approx(GRAPHPAD[sure], abs=6e-3)


@pytest.mark.parametrize("events", GARWOOD)
def test_a_mean_has_the_limits_of_the_published_table(events):
    least, most = mean_interval(events)

    assert (least, most) == pytest.approx(GARWOOD[events], rel=1e-3, abs=6e-3)


@pytest.mark.parametrize(("events", "sure"), NIST)
def test_a_time_between_has_the_factors_of_the_published_table(events, sure):
    hours = 12_000.0
    found = between_interval(events, hours, sure)

    factors = (found.least / (hours / events), found.most / (hours / events))
    assert factors == pytest.approx(NIST[events, sure], rel=2e-5, abs=6e-5)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 400), st.floats(0.5, 0.999))
def test_so_many_or_more_is_as_rare_at_the_least_as_so_many_or_fewer_at_the_most(events, sure):
    least, most = mean_interval(events, sure)

    beside = (1 - sure) / 2
    assert poisson.cdf(events, most) == pytest.approx(beside, rel=1e-6)
    if events:
        assert poisson.sf(events - 1, least) == pytest.approx(beside, rel=1e-6)
    assert least <= events <= most


def test_without_an_event_the_time_between_is_bounded_below_only():
    found = between_interval(0, 1000.0)

    assert found.least == pytest.approx(1000 / 3.6889, rel=1e-4) and found.most is None
    assert rate_interval(0, 1000.0).least == 0.0


def test_nothing_exposed_says_nothing_and_nonsense_is_refused():
    assert rate_interval(3, 0.0) is None and between_interval(0, 0.0) is None
    for wrong in ((-1, 0.95), (1, 1.0), (1, 0.0)):
        with pytest.raises(ValueError):
            mean_interval(*wrong)
