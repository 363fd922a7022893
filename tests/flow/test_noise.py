"""Noise: printed examples are in the checks; here an open library over a grid, the spectrum, and the pipe."""

import fluids.control_valve as library
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.noise_gas import gas_noise, gas_noise_spectrum
from softseat.flow.noise_gas_source import gas_noise_source
from softseat.flow.noise_liquid import liquid_noise, liquid_noise_spectrum, liquid_pipe_loss
from softseat.flow.noise_liquid_source import liquid_noise_source
from softseat.flow.sound_bands import FREQUENCIES, a_weights, noise_coefficients, octave_levels

RNG = np.random.default_rng(23)
N = 400
CV = 1.1560992283536566  # Cv of one Kv as the open library has it
KV = RNG.uniform(20, 1500, N)
SHARED = {"kv": KV, "fl": RNG.uniform(0.5, 0.9, N), "fd": RNG.uniform(0.2, 0.6, N), "wall": RNG.uniform(0.003, 0.012, N)}
BORE = RNG.uniform(0.04, 0.3, N)
P1 = RNG.uniform(2e5, 25e5, N)
AIR = {"pipe_density": 7800.0, "pipe_sound_speed": 5000.0, "air_sound_speed": 343.0}


def test_liquid_noise_equals_the_open_library_over_a_grid():
    p2, m, pv = P1 * RNG.uniform(0.2, 0.97, N), RNG.uniform(1, 200, N), RNG.uniform(5e2, 3e4, N)
    ours, regime = liquid_noise(m, P1, p2, pv, 985.0, 1450.0, **SHARED, valve_bore=BORE, pipe_bore=1.1 * BORE, **AIR, air_density=1.2)
    theirs = [
        library.control_valve_noise_l_2015(m=m[i], P1=P1[i], P2=p2[i], Psat=pv[i], rho=985.0, c=1450.0, Kv=KV[i] / (0.865 * CV), d=BORE[i],
            Di=1.1 * BORE[i], FL=SHARED["fl"][i], Fd=SHARED["fd"][i], t_pipe=SHARED["wall"][i], An=-4.3)
        for i in range(N)
    ]  # fmt: skip
    assert set(regime.tolist()) == {"turbulent", "cavitating"}
    np.testing.assert_allclose(ours, theirs, atol=1e-9)


def test_gas_noise_equals_the_open_library_over_a_grid_where_the_pipe_flow_is_slow():
    """Above Mach 0.3 the library takes the valve's acoustic efficiency for the expander, the standard its own (-3.0)."""
    p2, t1, gamma, mm = P1 * RNG.uniform(0.02, 0.97, N), RNG.uniform(250, 450, N), RNG.uniform(1.1, 1.6, N), RNG.uniform(0.004, 0.06, N)
    density = P1 * mm / (8.314 * t1)
    di = BORE * RNG.uniform(1, 2, N)
    m = RNG.uniform(0.01, 0.28, N) * np.pi / 4 * di**2 * density * p2 / P1 * np.sqrt(gamma * 8.314 * t1 / mm)
    ours, regime = gas_noise(m, P1, p2, t1, density, gamma, mm, **SHARED, valve_bore=BORE, pipe_bore=di, **AIR)
    theirs = [
        library.control_valve_noise_g_2011(m=m[i], P1=P1[i], P2=p2[i], T1=t1[i], rho=density[i], gamma=gamma[i], MW=1e3 * mm[i],
            Kv=KV[i] / (0.865 * CV), d=BORE[i], Di=di[i], t_pipe=SHARED["wall"][i], Fd=SHARED["fd"][i], FL=SHARED["fl"][i],
            An=-4.2, Stp=0.3)
        for i in range(N)
    ]  # fmt: skip
    assert set(regime.tolist()) == {1, 2, 3, 4, 5}
    np.testing.assert_allclose(ours, theirs, atol=1e-9)


PRINTED_6 = {
    "mass_flow": 0.89,
    "p1": 1e6,
    "p2": 5e4,
    "t1": 450,
    "density": 5.3,
    "gamma": 1.22,
    "molar_mass": 0.0198,
    "kv": 0.865 * 30,
    "valve_bore": 0.1,
    "pipe_bore": 0.15,
    "fl": 0.792 / 0.984,
    "fd": 0.296,
    "acoustic_efficiency": -3.8,
    "strouhal": 0.2,
}


def test_the_expander_is_what_makes_annex_example_6_print_94():
    """IEC 60534-8-3:2010, annex, example 6, Mach 0.396 behind: 93.26 by the valve alone would print 93."""
    together = gas_noise(**PRINTED_6, wall=0.008, pipe_density=8000.0)[0]
    source = gas_noise_source(**PRINTED_6)
    alone = gas_noise_spectrum(
        source._replace(expander_level=np.array(np.nan)), 1e6, 5e4, 450, 5.3, 1.22, 0.0198, 0.1, 0.15, 0.008, pipe_density=8e3
    )
    assert round(float(together)) == 94
    assert round(10 * np.log10(np.sum(10 ** ((alone + a_weights()) / 10)))) == 93


LIQUID = {"mass_flow": 40.0, "p1": 1e6, "p2": np.array([6.5e5, 9e5]), "pv": 2320.0, "density": 997.0, "sound_speed": 1400.0, "kv": 78.0,
          "valve_bore": 0.1, "pipe_bore": 0.107, "fl": 0.92, "fd": 0.42}  # fmt: skip


def test_the_level_is_the_a_weighted_sum_of_the_spectrum():
    thirds = liquid_noise_spectrum(liquid_noise_source(**LIQUID), 0.107, 0.0036)
    assert thirds.shape == (33, 2)
    level = 10 * np.log10(np.sum(10 ** ((thirds + a_weights()[:, None]) / 10), axis=0))
    np.testing.assert_allclose(level, liquid_noise(**LIQUID, wall=0.0036)[0])
    total = 10 * np.log10(np.sum(10 ** (thirds / 10), axis=0))
    np.testing.assert_allclose(10 * np.log10(np.sum(10 ** (octave_levels(thirds) / 10), axis=0)), total)


def test_a_weights_as_printed():
    """IEC 61672-1:2013: the table against the formula of its annex E at the exact mid frequencies."""
    f2 = np.square(1000 * 10 ** (np.arange(-19, 14) / 10))
    low = np.sqrt((f2 + 107.65265**2) * (f2 + 737.86223**2))
    formula = 20 * np.log10(12194.217**2 * f2**2 / ((f2 + 20.598997**2) * low * (f2 + 12194.217**2))) + 2.0
    np.testing.assert_allclose(a_weights(), formula, atol=0.052)
    np.testing.assert_array_equal(a_weights(), library.A_weights_l_2015)
    np.testing.assert_allclose(FREQUENCIES, library.fis_l_2015)


@given(st.floats(0.002, 0.02), st.floats(1.1, 3))
def test_a_thicker_wall_is_never_louder(wall, more):
    walls = np.array([wall, wall * more])
    liquid = liquid_noise(40.0, 1e6, 6.5e5, 2320.0, 997.0, 1400.0, 78.0, 0.1, 0.107, walls, 0.9, 0.4)[0]
    gas = gas_noise(2.0, 1e6, 6e5, 300.0, 11.6, 1.4, 0.029, 78.0, 0.1, 0.2, walls, 0.6, 0.5)[0]
    assert liquid[1] < liquid[0]
    assert gas[1] < gas[0]


@given(st.floats(0.3, 0.9), st.floats(0.02, 0.2))
def test_a_larger_drop_is_louder_in_gas(share, lower):
    level = gas_noise(2.0, 1e6, 1e6 * np.array([share, share - lower]), 300.0, 11.6, 1.4, 0.029, 78.0, 0.1, 0.2, 0.006, 0.6, 0.5)[0]
    assert level[1] > level[0]


def test_the_wall_passes_most_at_its_ring_frequency():
    ring, best, loss = liquid_pipe_loss(np.array([100.0, 1e3, 1.4e4]), 0.107, 0.0036)
    assert (loss < best).all()
    assert liquid_pipe_loss(ring, 0.107, 0.0036)[2] == pytest.approx(best - 20 * np.log10(2))


def test_bad_rows_are_alone():
    p2 = np.array([6.5e5, 1.1e6, 1e3, np.nan])
    noise, regime = liquid_noise(40.0, 1e6, p2, 2320.0, 997.0, 1400.0, 78.0, 0.1, 0.107, 0.0036, 0.9, 0.4)
    assert np.isnan(noise).tolist() == [False, True, True, True]
    assert regime.tolist() == ["cavitating", "", "", ""]
    noise, number = gas_noise(2.0, 1e6, np.array([6e5, 1.1e6, np.nan]), 300.0, 11.6, 1.4, 0.029, 78.0, 0.1, 0.2, 0.006, 0.6, 0.5)
    assert np.isnan(noise).tolist() == np.isnan(number).tolist() == [False, True, True]


def test_mistakes_of_the_caller():
    with pytest.raises(InputError, match="swing-through"):
        noise_coefficients("nobody")
    with pytest.raises(InputError, match="33"):
        octave_levels([60.0] * 32)
