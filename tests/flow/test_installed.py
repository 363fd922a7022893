"""Installed characteristic: fractions are in the checks; here slope, limits, and the line with its pump solved another way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from softseat.errors import InputError
from softseat.flow.installed import authority_of, installed_flow, opening_fraction, system_flow, system_kv

SHAPES = ("isa", "polynomial", "weisbach", "simulated", "idelchik")


@pytest.mark.parametrize("shape", SHAPES)
@given(authority=st.floats(0.01, 1.0))
def test_the_flow_rises_from_none_to_all_and_the_gain_is_its_slope(shape, authority):
    at = np.linspace(0, 90, 181)
    q, drop, gain = installed_flow(at, authority, shape)
    assert (q[0], q[-1], drop[0]) == pytest.approx((0, 1, 1))
    assert drop[-1] == pytest.approx(authority)
    assert (np.diff(q) > 0).all()
    assert np.sum((gain[1:] + gain[:-1]) / 2) / 180 == pytest.approx(1.0, abs=0.02)  # the slope summed is the rise


def test_full_authority_is_the_inherent_curve():
    q, drop, _ = installed_flow(np.array([30.0, 60.0]), 1.0)
    assert q == pytest.approx(opening_fraction(np.array([30.0, 60.0])))
    assert drop == pytest.approx([1, 1])


def test_isa_fraction_is_cv_over_cv_full_open():
    """ANSI/ISA-75.01.01-2012, example 5: 285 and 521."""
    assert opening_fraction(60) == pytest.approx(285 / 521, rel=1e-6)


def test_an_oversized_valve_has_its_flow_by_half_stroke():
    """Textbook algebra at phi = 0.395 + ..: authority 0.05 gives 90 % of the flow at about 51 deg."""
    assert installed_flow(51.0, 0.05)[0] == pytest.approx(0.9, abs=0.02)


def test_bad_rows_are_alone():
    q = installed_flow(np.array([45.0, 95.0, 45.0]), np.array([0.1, 0.1, 0.0]))[0]
    assert np.isnan(q).tolist() == [False, True, True]
    assert np.isnan(authority_of([1.0, 3.0, -1.0], 2.0)).tolist() == [False, True, True]
    with pytest.raises(InputError):
        installed_flow(45, 0.1, "nobody")


@given(st.floats(5, 3000), st.floats(20, 3000), st.floats(1e4, 1e6))
def test_flow_in_the_line_balances_the_head(kv, line, available):
    q, drop = system_flow(kv, 870.0, available, line)

    def left(flow):
        return available - 870.0 / 999.103 * 1e5 * ((3600 * flow / kv) ** 2 + (3600 * flow / line) ** 2)

    assert q == pytest.approx(brentq(left, 0, 10, xtol=1e-14), rel=1e-6)
    back, same = system_kv(q, 870.0, available, line)
    assert back == pytest.approx(kv, rel=1e-6)
    assert same == pytest.approx(drop, rel=1e-6)


def test_a_line_that_takes_all_of_the_head_leaves_no_kv():
    assert np.isnan(system_kv([0.01, 1.0], 998.0, 1e5, 400.0)[0]).tolist() == [False, True]
