"""Wave speed and Joukowsky: closed forms, limits, and the arithmetic of the table of pipes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.flow.wave import critical_time, joukowsky, pipe_wave_speed, wave_speed
from softseat.tables import read

WATER = {"density": 998.0, "bulk_modulus": 2.19e9}
PIPE = {"young": 166e9, "bore": 0.305, "wall": 0.0087, "poisson": 0.28}


def test_a_rigid_pipe_has_the_speed_of_sound_of_water():
    """sqrt(K/rho) = sqrt(2.19e9/998), by hand 1481.3 m/s."""
    assert wave_speed(**WATER) == pytest.approx(1481.34, abs=0.01)


def test_restraint_by_the_factors_of_wylie_and_streeter():
    """c1 = 1, 1 - mu/2, 1 - mu2 give (1481.34/a)^2 - 1 = (K/E)(D/e) c1."""
    flexible = 2.19e9 / 166e9 * 0.305 / 0.0087
    for restraint, factor in (("joints", 1.0), ("upstream", 0.86), ("anchored", 0.9216)):
        a = wave_speed(**WATER, **PIPE, restraint=restraint)
        assert (2.19e9 / 998 / a**2 - 1) / flexible == pytest.approx(factor, rel=1e-9)


@given(st.floats(3, 400), st.sampled_from(("joints", "upstream", "anchored")))
def test_a_thick_wall_tends_to_the_thin_one_and_is_never_faster(ratio, restraint):
    thin, thick = (
        wave_speed(**WATER, young=0.9e9, bore=ratio, wall=1.0, poisson=0.46, restraint=restraint, theory=t) for t in ("thin", "thick")
    )
    assert thick <= thin
    assert thick == pytest.approx(thin, rel=1.5 / ratio)


@given(st.floats(1e-7, 0.3), st.floats(5e4, 2e6))
def test_free_gas_by_woods_mixture(share, pressure):
    """1/(rho a2) is the sum of the compressibilities by volume (Wood 1930), isothermal gas."""
    a = wave_speed(**WATER, gas_share=share, pressure=pressure)
    assert 1 / (998 * (1 - share) * a**2) == pytest.approx((1 - share) / 2.19e9 + share / pressure)
    assert a < wave_speed(**WATER)


def test_one_bad_row_leaves_the_others_alone():
    a = wave_speed([998.0, -1.0, 998.0, 998.0], 2.19e9, 207e9, 0.5, [0.01, 0.01, 0.0, 0.01], gas_share=[0, 0, 0, 0.01])
    assert np.isnan(a).tolist() == [False, True, True, True]
    assert a[0] == pytest.approx(1197.995, abs=1e-3)


def test_a_word_that_is_not_known_is_refused():
    with pytest.raises(InputError, match="anchored"):
        wave_speed(**WATER, **PIPE, restraint="free")
    with pytest.raises(InputError, match="thick"):
        wave_speed(**WATER, **PIPE, theory="medium")
    with pytest.raises(InputError, match="wall"):
        wave_speed(**WATER, young=1e9, bore=0.1)
    with pytest.raises(UnknownName, match="ductile_iron"):
        pipe_wave_speed("wood", 998.0, 2.19e9)


@pytest.mark.parametrize("pipe", [r["pipe_system"] for r in read("pipe_elasticity")])
def test_the_band_of_a_pipe_is_in_order_and_inside_rigid(pipe):
    low, best, high = pipe_wave_speed(pipe, [998.0, 1030.0], np.nan)
    assert (low < best).all() and (best < high).all() and (high < 1490).all() and (low > 100).all()  # noqa: PT018


def test_a_stated_wall_narrows_the_band():
    assert np.ptp(pipe_wave_speed("pe", 998.0, 2.19e9, 9.0)) < np.ptp(pipe_wave_speed("pe", 998.0, 2.19e9))


def test_pe_sdr_11_against_the_closed_form_of_a_soft_pipe():
    """Stiff liquid: a tends to sqrt(E e/(rho D c1)); thick-wall c1, anchored, by hand 2(1.46)/9 + 0.9(0.7884) = 1.03400."""
    a = pipe_wave_speed("pe", 998.0, 2.19e14, 9.0)[1]
    assert a == pytest.approx(np.sqrt(0.9e9 / 998 / (9 * 1.03400)), rel=1e-4)


@given(st.floats(800, 1300), st.floats(100, 1500), st.floats(0, 10))
def test_joukowsky_is_a_product(rho, a, dv):
    assert joukowsky(rho, a, dv) == pytest.approx(rho * a * dv)
    assert critical_time(640, a) * a == pytest.approx(1280)
