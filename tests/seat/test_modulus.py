import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.seat.modulus import modulus_at, rubber_modulus, strip_modulus


# Gent's line in its other printed form, E [MPa] = 0.0981 (56 + 7.62336 S)/(0.137505 (254 - 2.54 S)), worked by hand to 4 digits.
@pytest.mark.parametrize(("shore", "mpa"), [(40, 1.690), (50, 2.456), (60, 3.605), (65, 4.426), (70, 5.521), (75, 7.053), (80, 9.351)])
def test_gent_table(shore, mpa):
    assert rubber_modulus(shore) / 1e6 == pytest.approx(mpa, abs=5e-4)


@given(st.floats(20, 95), st.floats(20, 95))
def test_a_harder_rubber_is_stiffer(a, b):
    soft, hard = rubber_modulus(sorted((a, b)))
    assert soft <= hard


def test_hardness_beyond_the_scale_leaves_the_others_alone():
    assert np.isnan(rubber_modulus([70, 100, 5, np.nan])).tolist() == [False, True, True, True]


# Own plane-strain finite elements against the closed form; the form is known to be low for narrow strips.
@pytest.mark.parametrize(
    ("shape", "low", "high"), [(0.25, -0.07, -0.05), (0.5, -0.06, -0.04), (1, -0.01, 0.0), (2, 0.02, 0.04), (4, 0.02, 0.04)]
)
def test_bonded_strip_against_finite_elements(bonded_strip, shape, low, high):
    assert low < strip_modulus(1.0, shape, 364.0) / bonded_strip(shape) - 1 < high


def test_incompressible_strip_closed_form():
    assert strip_modulus(3.0, 2.0) == pytest.approx(20.0)  # 4/3 E (1 + S^2)


@given(st.floats(1e5, 2e7), st.floats(0, 20))
def test_a_strip_is_never_stiffer_than_its_bulk(young, shape):
    assert strip_modulus(young, shape, 2e9) <= min(2e9, strip_modulus(young, shape)) * (1 + 1e-12)


def test_modulus_follows_absolute_temperature_and_stiffens_in_the_cold():
    assert modulus_at(2e6, 586.3) == pytest.approx(4e6)
    assert modulus_at(1e6, [228, 243, 278, 227], 228, 228) == pytest.approx([7e6, 2e6 * 243 / 228, 1e6 * 278 / 228, np.nan], nan_ok=True)


def test_the_rise_in_the_cold_has_no_step():
    t = np.linspace(228, 300, 500)
    change = np.diff(np.log(modulus_at(1e6, t, 293.15, 228.0)))
    assert np.abs(change).max() < 0.02
