import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.seat.contact import holding_pressure, punch_stiffness, rim_contact, seat_contact

length = st.floats(0.0, 1.0)


# Finite elements made here (scikit-fem, Q2/Q1), linear and frictionless, at points between those the model was fitted to.
@pytest.mark.parametrize(("radius", "land", "depth"), [(0.4, 0.0, 0.06), (0.8, 0.0, 0.09)])
def test_round_edge_against_finite_elements(pressed_layer, radius, land, depth):
    line, peak = pressed_layer(radius, land, depth, cells=(60, 12))
    found = rim_contact(1.0, radius, land, depth, 1.0, finite_strain=False)
    assert found.line_load == pytest.approx(line, rel=0.03)
    assert found.peak_pressure == pytest.approx(peak, rel=0.03)


@pytest.mark.parametrize(("radius", "land", "depth"), [(0.4, 0.35, 0.07)])
def test_land_is_a_little_low_and_its_pressure_on_the_safe_side(pressed_layer, radius, land, depth):
    line, peak = pressed_layer(radius, land, depth, cells=(60, 12))
    found = rim_contact(1.0, radius, land, depth, 1.0, finite_strain=False)
    assert -0.05 < found.line_load / line - 1 < 0
    assert -0.30 < found.peak_pressure / peak - 1 < 0


@pytest.mark.parametrize("width", [0.25, 0.6])
def test_flat_punch_against_finite_elements(pressed_layer, width):
    line, _ = pressed_layer(1.0, 2 * width, 0.01, flat=True, cells=(60, 12))
    assert punch_stiffness(width) == pytest.approx(line / 0.01, rel=0.02)


# felupe, neo-Hooke, contact in the deformed position.
@pytest.mark.parametrize(("radius", "depth"), [(0.5, 0.09), (1.0, 0.10)])
def test_finite_strain_against_finite_elements(pressed_rubber, radius, depth):
    assert -0.03 < rim_contact(1.0, radius, 0.0, depth, 1.0).line_load / pressed_rubber(radius, depth) - 1 < 0


def test_half_space_limit_of_a_light_touch():
    """Hertz: p0 = 2 P'/(pi a), a^2 = 4 r P'/(pi E*), E* = E/(1 - 1/4)."""
    found = rim_contact(1.0, 0.05, 0.0, 1e-3, 1.0, finite_strain=False)
    a = np.sqrt(4 * 0.05 * found.line_load / (np.pi * 4 / 3))
    assert found.peak_pressure == pytest.approx(2 * found.line_load / (np.pi * a), rel=2e-3)


def test_torque_is_friction_times_load_times_diameter_squared():
    line, *_, torque, low, high = (float(x) for x in seat_contact(0.3, 8e-3, 4e-3, 3e-3, 0.6e-3, 0.37, hardness=70))
    angle = np.linspace(0, 2 * np.pi, 20001)
    lever = 0.15 * np.abs(np.sin(angle))  # quadrature of the friction round the rim, each with its own lever
    assert torque == pytest.approx(np.trapezoid(0.37 * line * lever * 0.15, angle), rel=1e-6)
    assert low < torque < high


def test_without_interference_no_load_no_pressure_no_torque():
    assert [float(x) for x in seat_contact(0.3, 8e-3, 4e-3, 3e-3, 0.0, 0.5, 70)] == [0.0] * 6


@settings(max_examples=60, deadline=None)
@given(length, length, length, length)
def test_more_interference_hardness_friction_or_pressure_is_more_torque(a, b, c, d):
    def torque(depth, hardness, friction, pressure):
        return seat_contact(0.25, 8e-3, 4e-3, 2e-3, 1e-4 + 1e-3 * depth, 0.1 + friction, 40 + 40 * hardness, difference=2e6 * pressure)[3]

    base = torque(a, b, c, d)
    rise = 0.05 + 0.5 * a
    assert torque(a + rise, b, c, d) > base
    assert torque(a, b + rise / 2, c, d) > base
    assert torque(a, b, c + rise, d) > base
    assert torque(a, b, c, d + rise) > base
    assert torque(a, b, c, -d) == base  # pressure from the other side


@given(st.floats(0.05, 3.0), st.floats(1e-4, 0.15))
def test_the_load_grows_with_the_depth_without_steps(radius, depth):
    here = rim_contact(1.0, radius, 0.0, [depth, depth * 1.001], 1.0).line_load
    assert here[0] < here[1] < here[0] * 1.004 or np.isnan(here).any()


def test_one_bad_row_among_good_ones():
    line, *_ = seat_contact(0.3, [8e-3, 8e-3, -8e-3, 8e-3], 4e-3, 3e-3, [0.6e-3, np.nan, 0.6e-3, 6e-3], 0.5, 70)
    assert np.isnan(line).tolist() == [False, True, True, True]  # the last: contact wider than the model goes


def test_neither_hardness_nor_modulus_is_the_callers_mistake():
    with pytest.raises(InputError, match="hardness"):
        seat_contact(0.3, 8e-3, 4e-3, 3e-3, 0.6e-3, 0.5)


def test_held_pressure_keeps_its_share_of_the_peak():
    p = holding_pressure(1.0e6, 1.25)
    assert 1.0e6 + 0.43 * p == pytest.approx(1.25 * p)  # energised peak over held pressure is m
