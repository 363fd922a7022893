import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.torque.shaft import shaft_stress, square_torsion
from softseat.torque.strength import joint_share, link_limits, pin_joint, shaft_limit, weakest_link


def test_the_limit_is_the_torque_that_just_reaches_the_allowed_stress():
    _, bending, _, _ = shaft_stress(0.0, 1e6, 0.3, 0.036, 0.34, 6e8)
    limit = shaft_limit(0.036, 6e8, bending, design_factor=1.5)
    assert shaft_stress(limit, 1e6, 0.3, 0.036, 0.34, 6e8)[3] == pytest.approx(1 / 1.5)


def test_the_square_end_yields_in_shear():
    end = link_limits(0.05, 6e8, square=0.022, design_factor=1.0)["drive"]
    assert square_torsion(end, 0.022) == pytest.approx(6e8 / np.sqrt(3))


def test_weakest_link_by_name():
    limits = link_limits([0.02, 0.036, 0.036, np.nan], 6e8, 0.0, [0.027, 0.027, 0.036, np.nan], [np.nan, 5000.0, 600.0, np.nan])
    assert weakest_link(limits).tolist() == ["shaft", "drive", "joint", ""]
    least = shaft_limit([0.02, 0.036, 0.036, np.nan], 6e8, 0.0, [0.027, 0.027, 0.036, np.nan], [np.nan, 5000.0, 600.0, np.nan])
    assert least[2] == 600.0
    assert np.isnan(least[3])


def test_bending_that_uses_up_the_shaft_leaves_nothing():
    assert shaft_limit(0.036, 3e8, 2.5e8, design_factor=1.5) == 0.0


def test_joint_against_the_shaft():
    """Pins as large as to carry exactly the shaft's own yield torque have the share 1."""
    d, proof = 0.036, 5e8
    pin = np.sqrt(4 / np.pi * d**2 * np.pi / 16)  # pi/4 p^2 d tau = pi/16 d^3 tau
    assert joint_share(pin_joint(pin, d, 1, proof), d, proof) == pytest.approx(1.0)


@given(st.floats(0.01, 0.2), st.floats(1e8, 1e9), st.floats(0, 5e8))
def test_more_bending_leaves_less(d, proof, bending):
    free, bent = shaft_limit(d, proof, [0.0, bending])
    assert bent <= free
