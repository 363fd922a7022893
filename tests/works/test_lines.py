"""Lines through readings against scipy, and what outliers do to them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from softseat.works.lines import least_squares, spread_of, student, theil_sen


def noisy(seed, count=41, slope=-0.0123):
    rng = np.random.default_rng(seed)
    x = np.sort(rng.uniform(0, 130, count))
    return x, 16.7 + slope * x + rng.normal(0, 0.21, count)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 10, 30, 118, 3000])
@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.95, 0.99])
def test_student_against_scipy(freedom, coverage):
    """scipy.stats.t, an independent implementation; Hill prints six figures above four degrees, three at three."""
    assert student(coverage, freedom) == pytest.approx(stats.t.ppf((1 + coverage) / 2, freedom), rel=2e-3 if freedom < 5 else 1e-5)


@pytest.mark.parametrize("seed", range(5))
def test_least_squares_against_scipy(seed):
    x, y = noisy(seed)
    line, other = least_squares(x, y, 0.95), stats.linregress(x, y)
    assert (line.slope, line.intercept, line.error) == pytest.approx((other.slope, other.intercept, other.stderr), rel=1e-9)
    assert line.high - line.slope == pytest.approx(stats.t.ppf(0.975, 39) * other.stderr, rel=1e-5)


@pytest.mark.parametrize("seed", range(5))
def test_theil_sen_against_scipy(seed):
    x, y = noisy(seed)
    line, other = theil_sen(x, y, 0.95), stats.theilslopes(y, x, 0.95)
    assert (line.slope, line.low, line.high) == pytest.approx((other.slope, other.low_slope, other.high_slope), rel=1e-9)


def test_an_interval_of_readings_that_err_together_is_wider_and_holds_the_truth():
    rng, seen, plain = np.random.default_rng(7), 0, 0
    x = np.arange(120.0)
    for _ in range(200):
        error = np.zeros(120)
        for k in range(1, 120):
            error[k] = 0.7 * error[k - 1] + rng.normal(0, 0.05)
        seen += (line := least_squares(x, 3 - 0.002 * x + error, 0.95, together=True)).low <= -0.002 <= line.high
        plain += (line := least_squares(x, 3 - 0.002 * x + error, 0.95)).low <= -0.002 <= line.high
    assert plain < 160
    assert seen > 175


def test_a_quarter_of_wild_readings_does_not_turn_the_robust_line():
    x, y = noisy(3)
    wild = y.copy()
    wild[::4] += 40
    assert theil_sen(x, wild, 0.95).slope == pytest.approx(-0.0123, abs=0.006)
    assert abs(least_squares(x, np.where(x > 100, wild, y), 0.95).slope + 0.0123) > 0.02


def test_readings_that_are_missing_are_left_out_and_too_few_give_nothing():
    x, y = noisy(2)
    y[[3, 9]] = np.nan
    assert least_squares(x, y, 0.95).count == theil_sen(x, y, 0.95).count == 39
    assert np.isnan(least_squares([1, 2], [3, 4], 0.95).slope)
    assert np.isnan(theil_sen([2, 2, 2], [1, 2, 3], 0.95).slope)


@given(st.floats(-1e3, 1e3), st.floats(-50, 50), st.floats(0.1, 10))
def test_a_straight_row_gives_its_own_line(intercept, slope, step):
    x = step * np.arange(9)
    for line in (least_squares(x, intercept + slope * x, 0.9), theil_sen(x, intercept + slope * x, 0.9)):
        assert line.slope == pytest.approx(slope, abs=1e-6)
        assert line.intercept == pytest.approx(intercept, abs=1e-5)


def test_robust_deviation_against_scipy():
    values = np.random.default_rng(1).normal(3, 2.5, 400)
    assert spread_of(values) == pytest.approx(stats.median_abs_deviation(values, scale="normal"), rel=1e-12)
    assert np.isnan(spread_of([np.nan]))
