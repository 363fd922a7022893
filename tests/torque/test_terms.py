import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.torque.terms import bearing_torque, hydrostatic_torque, rim_torque, stem_seal_torque


def test_rim_is_the_integral_of_friction_with_its_lever():
    angle = np.linspace(0, 2 * np.pi, 40001)
    assert rim_torque(7300.0, 0.43, 0.317) == pytest.approx(
        np.trapezoid(0.43 * 7300.0 * 0.1585**2 * np.abs(np.sin(angle)), angle), rel=1e-7
    )


def test_hydrostatic_is_the_first_moment_of_the_pressure_on_the_disc():
    """rho g integral of y^2 times chord, the liquid to the crown on one side only."""
    r = 0.21
    y = np.linspace(-r, r, 200001)
    chord = 2 * np.sqrt(r * r - y * y)
    assert hydrostatic_torque(997.0, 2 * r, 9.81) == pytest.approx(np.trapezoid(997.0 * 9.81 * y * y * chord, y), rel=1e-6)


def test_bearing_is_half_the_load_on_each_side_with_the_shafts_radius():
    load = 0.8e6 * np.pi * 0.125**2
    assert bearing_torque(0.8e6, 0.25, 0.03, 0.17) == pytest.approx(2 * (load / 2) * 0.17 * 0.015)


def test_stem_seal_by_its_ring():
    assert stem_seal_torque(2e6, 3e-3, 0.03, 0.2) == pytest.approx(0.2 * 2e6 * (np.pi * 0.03 * 3e-3) * 0.015)


@given(st.floats(-2e6, 2e6), st.floats(0, 1), st.floats(0, 1))
def test_bearing_grows_with_difference_and_friction_from_either_side(p, mu, more):
    assert bearing_torque(p, 0.3, 0.036, mu) == bearing_torque(-p, 0.3, 0.036, mu)
    assert bearing_torque(p * (1 + more), 0.3, 0.036, mu + more) >= bearing_torque(p, 0.3, 0.036, mu)


def test_one_missing_row():
    assert np.isnan(rim_torque([7300.0, np.nan], 0.4, 0.3)).tolist() == [False, True]
