import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.seat.ageing import arrhenius, rubber_life, set_after


def test_arrhenius_against_chemistry_by_hand():
    """Ea 83.14462618 kJ/mol is 10^4 R: the factor is exp(10^4 (1/300 - 1/310))."""
    assert arrhenius(310.0, 300.0, 83144.6261815324) == pytest.approx(np.exp(1e4 / 9300))


def test_life_at_the_test_is_the_tests_and_falls_by_the_slope():
    life = rubber_life([383.15, 373.15], 3.6e6, 383.15, 95000.0)
    assert life[0] == pytest.approx(3.6e6)
    assert np.log(life[1] / life[0]) == pytest.approx(95000 / 8.31446261815324 * (1 / 373.15 - 1 / 383.15))


def test_far_extrapolation_is_refused():
    life = rubber_life([343.15, 342.9, 413.15, 424.0], 3.6e6, 383.15, 95000.0, 383.15, 383.15, 40.0)
    assert np.isnan(life).tolist() == [False, True, False, True]
    assert not np.isnan(rubber_life(343.0, 3.6e6, 383.15, 95000.0, tested_low=353.15, extrapolation=40.0))


def test_set_at_the_test_and_after_long():
    args = (373.15, 0.2, 259200.0, 373.15, 95000.0, 0.4)
    assert set_after(259200.0, *args) == pytest.approx(0.2)
    assert set_after([0.0, 1e20], *args) == pytest.approx([0.0, 1.0])


@given(st.floats(1e3, 1e9), st.floats(1e3, 1e9), st.floats(335, 410))
def test_set_only_grows_with_time_and_warmth(a, b, t):
    early, late = set_after(sorted((a, b)), t, 0.25, 259200.0, 373.15, 90000.0, 0.4, 40.0)
    assert early <= late
    assert set_after(a, t + 1, 0.25, 259200.0, 373.15, 90000.0, 0.4, 40.0) >= set_after(a, t, 0.25, 259200.0, 373.15, 90000.0, 0.4, 40.0)


@pytest.mark.parametrize(("t", "ref"), [(0.0, 300.0), (-5.0, 300.0), (300.0, 0.0), (300.0, -0.5), (-300.0, -300.0), (np.nan, 300.0)])
def test_no_rate_below_absolute_zero(t, ref):
    assert np.isnan(arrhenius(t, ref, 9e4))
