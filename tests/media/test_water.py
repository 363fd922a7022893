"""IAPWS releases: their printed check values, and an independent library over a grid."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws._iapws import _Viscosity
from iapws.iapws97 import _PSat_T, _Region1, _Region2

from softseat.media import water


# IAPWS R7-97(2012), Table 5
@pytest.mark.parametrize(
    ("t", "p", "v", "w", "cp"),
    [
        (300, 3e6, 0.100215168e-2, 0.150773921e4, 0.417301218e4),
        (300, 80e6, 0.971180894e-3, 0.163469054e4, 0.401008987e4),
        (500, 3e6, 0.120241800e-2, 0.124071337e4, 0.465580682e4),
    ],
)
def test_region_1_of_the_release(t, p, v, w, cp):
    state = water.liquid(t, p)
    assert (1 / state.density, state.sound_speed, state.heat_capacity) == (
        pytest.approx(v, rel=1e-8),
        pytest.approx(w, rel=1e-8),
        pytest.approx(cp, rel=1e-8),
    )


# IAPWS R7-97(2012), Table 15
@pytest.mark.parametrize(
    ("t", "p", "v", "w", "cp"),
    [
        (300, 0.0035e6, 0.394913866e2, 0.427920172e3, 0.191300162e4),
        (700, 0.0035e6, 0.923015898e2, 0.644289068e3, 0.208141274e4),
        (700, 30e6, 0.542946619e-2, 0.480386523e3, 0.103505092e5),
    ],
)
def test_region_2_of_the_release(t, p, v, w, cp):
    state = water.vapour(t, p)
    assert (1 / state.density, state.sound_speed, state.heat_capacity) == (
        pytest.approx(v, rel=1e-8),
        pytest.approx(w, rel=1e-8),
        pytest.approx(cp, rel=1e-8),
    )


# IAPWS R7-97(2012), Tables 35 and 36
@pytest.mark.parametrize(("t", "p"), [(300, 0.353658941e-2), (500, 0.263889776e1), (600, 0.123443146e2)])
def test_saturation_pressure_of_the_release(t, p):
    assert water.saturation_pressure(t) == pytest.approx(p * 1e6, rel=1e-8)


@pytest.mark.parametrize(("p", "t"), [(0.1, 0.372755919e3), (1.0, 0.453035632e3), (10.0, 0.584149488e3)])
def test_saturation_temperature_of_the_release(p, t):
    assert water.saturation_temperature(p * 1e6) == pytest.approx(t, rel=1e-8)


# IAPWS R12-08, Table 4, in uPa s
@pytest.mark.parametrize(
    ("t", "rho", "mu"),
    [
        (298.15, 998, 889.735100),
        (298.15, 1200, 1437.649467),
        (373.15, 1000, 307.883622),
        (433.15, 1, 14.538324),
        (433.15, 1000, 217.685358),
        (873.15, 1, 32.619287),
        (873.15, 100, 35.802262),
        (873.15, 600, 77.430195),
        (1173.15, 1, 44.217245),
        (1173.15, 100, 47.640433),
        (1173.15, 400, 64.154608),
    ],
)
def test_viscosity_of_the_release(t, rho, mu):
    assert water.viscosity(t, rho) * 1e6 == pytest.approx(mu, abs=5e-7)


def test_a_grid_of_an_independent_library():
    """The same release in another's hand: nothing but rounding may differ."""
    for t in (274.0, 299.3, 351.7, 417.9, 519.1):
        ps = water.saturation_pressure(t)
        assert ps == pytest.approx(_PSat_T(t) * 1e6, rel=1e-12)
        for p in (1.1 * float(ps), 7.3e6, 31e6):
            ours, theirs = water.liquid(t, p), _Region1(t, p / 1e6)
            assert ours.density * theirs["v"] == pytest.approx(1, rel=1e-10)
            assert ours.sound_speed == pytest.approx(theirs["w"], rel=1e-10)
            assert water.viscosity(t, ours.density) == pytest.approx(_Viscosity(float(ours.density), t), rel=1e-10)
        for p in (0.03 * float(ps), 0.97 * float(ps)):
            ours, theirs = water.vapour(t, p), _Region2(t, p / 1e6)
            assert ours.density * theirs["v"] == pytest.approx(1, rel=1e-10)
            assert ours.sound_speed == pytest.approx(theirs["w"], rel=1e-10)


@given(st.floats(273.16, 647.0))
def test_saturation_there_and_back(t):
    """The backward equation of the release is the forward one solved, both exact to rounding."""
    assert water.saturation_temperature(water.saturation_pressure(t)) == pytest.approx(t, abs=1e-5)


@given(st.lists(st.floats(280, 360), min_size=2, max_size=2, unique=True))
def test_warm_water_is_thinner_and_boils_sooner(pair):
    cold, warm = np.sort(pair)
    thin, thick = (water.viscosity(t, water.liquid(t, 1e6).density) for t in (warm, cold))
    assert thin <= thick
    assert water.saturation_pressure(cold) <= water.saturation_pressure(warm)


def test_one_bad_row_leaves_the_others_alone():
    t, p = np.array([293.15, np.nan, 200.0, 293.15, 293.15]), np.array([1e5, 1e5, 1e5, -1.0, 101e6])
    assert np.isnan(water.liquid(t, p).density).tolist() == [False, True, True, True, True]
    assert np.isnan(water.vapour([373.15, 373.15, np.nan], [0.9e5, 1.2e5, 0.9e5]).density).tolist() == [False, True, True]
    assert np.isnan(water.saturation_pressure([273.15, 273.0, 648.0])).tolist() == [False, True, True]
    assert np.isnan(water.saturation_temperature([1e5, 100.0, 23e6, np.nan])).tolist() == [False, True, True, True]
