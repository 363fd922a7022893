import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.torque.seating import leaving_angle, rim_share, seat_torque_band


def test_a_works_test_fixes_the_level_and_narrows_the_band():
    bare = seat_torque_band(400.0)
    tested = seat_torque_band(400.0, 250.0, 500.0)
    assert bare.tolist() == pytest.approx([180.0, 400.0, 620.0])  # 55 %
    assert tested.tolist() == pytest.approx([150.0, 200.0, 250.0])  # 25 % about 400 x 250/500


def test_share_is_the_integral_over_the_rim():
    """Load taken as proportional to the interference left at each point; quadrature round the rim."""
    phi = np.linspace(0, np.pi, 200001)
    for angle in (2.0, 5.0, 9.0, 20.0):
        left = np.clip(0.6e-3 - 0.075 * np.sin(phi) ** 2 * np.sin(np.radians(angle)) ** 2, 0, None) / 0.6e-3
        assert rim_share(angle, 0.6e-3, 0.3) == pytest.approx(np.trapezoid(left * np.sin(phi), phi) / 2, rel=1e-4)


@given(st.floats(0, 89), st.floats(1e-6, 3e-3), st.floats(0.04, 1.0))
def test_share_only_falls(opening, gap, diameter):
    here, later = rim_share([opening, opening + 1], gap, diameter)
    assert -1e-9 <= later <= here + 1e-9 <= 1 + 2e-9


def test_a_rim_that_does_not_touch_has_no_share_but_the_closed_one():
    assert rim_share([0, 5, 45], 0.0, 0.3).tolist() == [1.0, 0.0, 0.0]
    assert np.isnan(rim_share([5, 5, -1], [-1e-3, np.nan, 1e-3], 0.3)).all()


def test_leaving_angle_by_geometry():
    angle = leaving_angle(0.6e-3, 0.3)
    assert 0.075 * np.sin(np.radians(angle)) ** 2 == pytest.approx(0.6e-3)
