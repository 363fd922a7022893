"""Opening for a flow: the flow through the disc at the opening that was found is the flow asked for."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.flow.curves import kv_curve
from softseat.flow.disc import Disc
from softseat.flow.gas import gas_flow
from softseat.flow.liquid import liquid_flow
from softseat.flow.opening import control_range, gas_opening, liquid_opening, opening_for_kv
from softseat.flow.sizes import compare_sizes

WATER = {"density": 998.0, "pv": 2.3e3, "pc": 22.06e6}
AIR = {"t1": 300.0, "molar_mass": 0.02897, "gamma": 1.4, "z": 1.0}


@given(st.floats(0.05, 0.9), st.floats(0.05, 0.6))
def test_opening_and_kv_undo_each_other(share, bore):
    kv = float(kv_curve(bore, 90.0)[0]) * share
    low, best, high = opening_for_kv(kv, bore)
    assert low < best < high
    assert kv_curve(bore, best)[1] == pytest.approx(kv, rel=1e-4)
    assert kv_curve(bore, high)[0] == pytest.approx(kv, rel=1e-4)


@given(st.floats(2e-3, 0.08), st.floats(0.2, 0.97))
def test_the_disc_passes_the_liquid_flow_at_the_opening_found(q, share):
    """FL falls as the disc opens, so a disc that is large enough without choking may not be with it."""
    disc = Disc(0.15)
    opening, needed, choked = liquid_opening(disc, q, 6e5, 6e5 * share, **WATER, pipe_in=0.2, pipe_out=0.2)
    for end in range(3):
        if not np.isnan(opening[end]):
            at = opening[end]
            kv, fl = disc.kv(at)[end], disc.fl(at)[end]
            passed, limited = liquid_flow(kv, 6e5, 6e5 * share, **WATER, fl=fl, valve_bore=0.15, pipe_in=0.2, pipe_out=0.2)
            assert passed == pytest.approx(q, rel=1e-4)
            assert needed[end] == pytest.approx(kv, rel=1e-4)
            assert bool(limited) == bool(choked[end])


def test_the_disc_passes_the_gas_flow_at_the_opening_found():
    disc = Disc(np.array([0.2, 0.15]))
    opening = gas_opening(disc, flow=np.array([1.1, 0.7]), p1=6e5, p2=5.1e5, **AIR, pipe_in=0.2, pipe_out=0.2)[0]
    xt = disc.xt(opening[1])[1]
    passed = gas_flow(disc.kv(opening[1])[1], 6e5, 5.1e5, **AIR, xt=xt, valve_bore=disc.bore, pipe_in=0.2, pipe_out=0.2)[0]
    np.testing.assert_allclose(passed, [1.1, 0.7], rtol=1e-4)
    assert (np.diff(opening, axis=0) < 0).all()


def test_a_disc_that_is_too_small_has_no_opening_and_leaves_the_others_alone():
    opening = liquid_opening(Disc(0.1), np.array([0.01, 0.4, np.nan]), 6e5, 5e5, **WATER)[0]
    assert np.isnan(opening).tolist() == [[False, True, True]] * 3


def test_a_tested_valve_has_no_band():
    disc = Disc(0.1, tested_kv=([20, 50, 90], [20, 120, 400]))
    opening = liquid_opening(disc, 120 / 3600, 3e5, 2e5, 999.103, 1e3, 22e6)[0]
    assert opening[1] == pytest.approx(50, abs=1e-3)  # 120 m3/h of water at 1 bar is Kv 120
    assert np.ptp(opening) < 1e-3


def test_viscosity_opens_the_disc():
    thin, thick = (liquid_opening(Disc(0.1), 0.01, 3e5, 2.5e5, 900.0, 1e3, 3e6, mu)[0][1] for mu in (1e-3, 1.0))
    assert thick > thin


def test_turndown_is_the_ratio_of_the_two_kv():
    low, high, ratio = control_range(0.2, 20, 70)
    assert ratio == high / low > 5
    assert np.isnan(control_range(0.2, 0, 70)[2])


def test_smaller_sizes_open_further_and_run_faster():
    sizes = compare_sizes([0.1, 0.125, 0.15, 0.2], np.array([0.03, 0.02]), 6e5, 4e5, **WATER, pipe_bore=0.2)
    assert sizes.opening.shape == (3, 4, 2)
    assert (np.diff(sizes.opening[1], axis=0) < 0).all()
    assert (np.diff(sizes.velocity, axis=0) < 0).all()
    assert (np.diff(sizes.kv_needed[1], axis=0) < 0).all()  # the reducers of the smaller valve take more
    assert sizes.suits(20, 70, 4.0).any(axis=0).all()
    assert not sizes.suits(20, 70, 0.1).any()


def test_no_flow_needs_no_opening():
    opening = liquid_opening(Disc(0.15), np.array([0.0, 0.02]), 6e5, 5e5, **WATER)[0]
    assert opening[:, 0] == pytest.approx([0, 0, 0], abs=1e-9)
    assert (opening[:, 1] > 5).all()
