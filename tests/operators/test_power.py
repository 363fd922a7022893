import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.operators.power import cylinder_torque, duty_needed, duty_rank, electric_stroke_time, stroke_shape

ANGLE = np.linspace(0, 90, 37)
TURN = np.radians(ANGLE - 45)


def test_scotch_yoke_by_virtual_work():
    """Travel x = h tan(turn), so torque = F dx/d(turn), F constant for air and straight in x for a spring."""
    air = 1000 * 0.05 / np.cos(TURN) ** 2
    spring = (1000 - 8000 * 0.05 * np.tan(TURN)) * 0.05 / np.cos(TURN) ** 2
    for torque in (air, spring):
        assert stroke_shape([torque[0]], [torque[18]], [torque[36]], ANGLE, [True])[0] == pytest.approx(torque)


def test_rack_is_straight_between_its_points():
    assert stroke_shape([100.0], [80.0], [60.0], [0, 22.5, 45, 90], [False])[0] == pytest.approx([100, 90, 80, 60])


def test_cylinder_torque_from_air():
    assert cylinder_torque(501325.0, 40.0, 30.0, "rack") == pytest.approx(160.0)
    assert cylinder_torque(501325.0, 40.0, 0.0, "yoke") == pytest.approx(320.0)
    assert np.isnan(cylinder_torque(9e4, 40.0, 0.0, "rack"))
    with pytest.raises(UnknownName, match="yoke"):
        cylinder_torque(501325.0, 40.0, 0.0, "vane")


@given(st.floats(0, 1e3), st.floats(0, 1e3), st.floats(0, 1e3), st.booleans())
def test_every_shape_goes_through_its_points(a, m, b, yoke):
    assert stroke_shape([a], [m], [b], [0, 45, 90], [yoke])[0] == pytest.approx([a, m, b], abs=1e-9)


def test_duty():
    assert duty_rank(["on-off", "", "modulating"]).tolist() == [0, 0, 2]
    assert duty_needed([False, False, True], [20.0, 90.0, np.nan], 60.0).tolist() == [0, 2, 2]
    with pytest.raises(UnknownName, match="on-off"):
        duty_rank(["often"])


def test_time_of_a_quarter_turn():
    assert electric_stroke_time([1.0, 0.0]) == pytest.approx([15.0, np.nan], nan_ok=True)
