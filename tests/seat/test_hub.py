import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.seat.hub import hub_contact
from softseat.seat.modulus import strip_modulus

SIZES = (0.062, 0.036, 0.6e-3, 8e-3)


def test_torque_is_the_integral_of_friction_over_both_rings():
    pressure, torque = hub_contact(*SIZES, 5.5e6, 0.45)
    r = np.linspace(0.018, 0.031, 20001)
    assert torque == pytest.approx(2 * np.trapezoid(0.45 * float(pressure) * 2 * np.pi * r * r, r), rel=1e-7)


def test_pressure_is_that_of_the_bonded_strip():
    pressure, _ = hub_contact(*SIZES, 5.5e6, 0.45)
    assert pressure == pytest.approx(strip_modulus(5.5e6, 0.026 / 0.032, 2e9) * 0.6e-3 / 8e-3)


@given(st.floats(0.0, 1e-3), st.floats(0.0, 1e-3))
def test_deeper_is_harder_and_nothing_is_nothing(a, b):
    torque = hub_contact(0.062, 0.036, [0.0, *sorted((a, b))], 8e-3, 5.5e6, 0.45)[1]
    assert torque[0] == 0 <= torque[1] <= torque[2]


def test_hub_not_larger_than_shaft():
    assert np.isnan(hub_contact([0.062, 0.03], 0.036, 0.6e-3, 8e-3, 5.5e6, 0.45)[1]).tolist() == [False, True]
