"""Cavitation: indices and limits are in the checks; here order, scaling and regimes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.cavitation import cavitation_index, cavitation_limits, cavitation_regime, incipient_xfz, scaled_sigma
from softseat.flow.liquid import liquid_kv


@given(st.floats(1e4, 1e6), st.floats(0.01, 0.99), st.floats(0, 9e3))
def test_the_two_indices_differ_by_one(p1, share, pv):
    sigma, sigma2 = cavitation_index(p1, p1 * share, pv)
    assert sigma - sigma2 == pytest.approx(1)


@given(st.floats(5, 2000), st.floats(0.45, 0.95), st.floats(0.2, 0.6), st.floats(2e5, 2e6))
def test_limits_fall_from_incipient_to_choking(kv, fl, fd, p1):
    limits = np.array(cavitation_limits(kv, fl, fd, p1, 3e3, 22e6))
    assert (np.diff(limits) <= 1e-12).all()


@given(st.floats(0.4, 0.95), st.floats(2e5, 2e6), st.floats(0.05, 0.95))
def test_choking_by_the_index_is_choking_by_the_sizing(fl, p1, share):
    choked = liquid_kv(0.1, p1, p1 * share, 998.0, 3e3, 22e6, fl)[1]
    margin = cavitation_regime(p1, p1 * share, 3e3, 100, fl, 0.5, 22e6)[1]
    assert bool(choked) == bool(margin <= 1) or margin == pytest.approx(1)


def test_regimes_in_their_order_and_flashing():
    """FL 0.63: sigma choking 2.52; p1 6 bar, water: 1 bar of drop is sigma 6, 2 bar 3, 3 bar 2."""
    words, margin = cavitation_regime(6e5, np.array([5.5e5, 5e5, 4e5, 3e5, 1e3, 6e5, np.nan]), 2.3e3, 246.5, 0.63, 0.57)
    assert words.tolist() == ["none", "incipient", "damage", "choking", "flashing", "", ""]
    assert np.isnan(margin).tolist() == [False] * 5 + [True] * 2


def test_a_tested_xfz_takes_the_place_of_the_estimate_row_by_row():
    xfz, at_p1 = incipient_xfz(200, 0.6, 0.5, [6e5, 12e5], [np.nan, 0.3])
    assert xfz[0] == incipient_xfz(200, 0.6, 0.5)[0]
    assert xfz[1] == 0.3
    assert at_p1[1] == pytest.approx(0.3 * 0.5**0.125)


def test_scaling_is_none_at_the_tested_size_and_pressure_and_raises_for_larger_ones():
    same = {"p1": 6e5, "pv": 1e5, "reference_difference": 5e5, "kv": 700, "valve_bore": 0.2, "reference_bore": 0.2}
    assert scaled_sigma(2.5, "damage", **same) == pytest.approx(2.5)
    assert scaled_sigma(2.5, "damage", **{**same, "p1": 11e5}) == pytest.approx(1.5 * 2**0.3 + 1)  # the form itself, a = 0.3
    assert scaled_sigma(2.5, "choking", **{**same, "p1": 11e5}) == pytest.approx(2.5)
    assert scaled_sigma(2.5, "damage", **{**same, "reference_bore": 0.1}) > 2.5
    with pytest.raises(InputError, match="incipient"):
        scaled_sigma(2.5, "loud", **same)
