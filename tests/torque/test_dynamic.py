import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.tables import read
from softseat.torque.dynamic import dynamic_torque, dynamic_torque_band, plate_in_stream, torque_coefficient

SIMULATED = {float(r["opening_deg"]): r for r in read("disc_curves_simulated") if r["disc"] == "lens"}


@pytest.mark.parametrize("opening", [40.0, 50.0, 60.0, 70.0, 80.0])
def test_best_value_is_the_simulated_lens_disc(opening):
    """The nodes of the derived curve against the simulation's own table."""
    _, _, _, ct, ctv = torque_coefficient(opening)
    assert ct == pytest.approx(float(SIMULATED[opening]["ct"]), rel=1e-9)
    if SIMULATED[opening]["ctv"]:
        assert ctv == pytest.approx(float(SIMULATED[opening]["ctv"]), rel=1e-9)


@pytest.mark.parametrize("opening", [20, 30, 40, 50, 60])
def test_net_and_velocity_forms_of_the_theory_agree(opening):
    """The two are one torque: ctv = ct K, with the remixing loss that the same solution gives."""
    loss = {int(r["opening"]): float(r["k_borda"]) for r in read("disc_torque_coefficients") if r["k_borda"]}[opening]
    net, _, speed, *_ = torque_coefficient(opening)
    assert speed == pytest.approx(net * loss, rel=8e-4)  # four printed digits of each


def test_plate_far_from_walls_closed_form():
    """Square to the stream: 2 pi/(4 + pi), Kirchhoff; nearly edge on, the centre of pressure goes to 3/16 ahead."""
    force, ahead = plate_in_stream([90.0, 1e-6, 0.0, 91.0])
    assert force[0] == pytest.approx(2 * np.pi / (4 + np.pi))
    assert ahead[:2] == pytest.approx([0.0, 3 / 16], abs=1e-7)
    assert np.isnan(force).tolist() == [False, False, True, True]


def test_a_tested_coefficient_takes_the_place_of_the_curve():
    assert dynamic_torque(60, 0.3, 5e4, coefficient=0.07) == pytest.approx(0.07 * 0.027 * 5e4)


def test_near_open_the_velocity_rules_where_it_is_known():
    by_speed = dynamic_torque(80, 0.3, 1e9, velocity=3.0, density=998.0)  # an absurd drop changes nothing
    assert by_speed == pytest.approx(float(SIMULATED[80.0]["ctv"]) * 0.027 * 998.0 * 9.0 / 2)
    assert dynamic_torque(60, 0.3, 5e4, velocity=3.0, density=998.0) == dynamic_torque(60, 0.3, 5e4)


@given(st.floats(0, 90), st.floats(0, 1e6), st.floats(1, 3))
def test_band_is_in_order_grows_with_the_drop_and_has_no_side(opening, drop, more):
    low, best, high = dynamic_torque_band(opening, 0.4, drop)
    assert 0 <= low <= best <= high
    assert dynamic_torque(opening, 0.4, drop * more) >= best
    assert dynamic_torque(opening, 0.4, -drop) == best


def test_closed_and_open_carry_none_and_outside_is_nan():
    assert dynamic_torque([0, 90], 0.3, 1e5) == pytest.approx([0, 0])
    assert np.isnan(dynamic_torque([-1, 45, 95], 0.3, 1e5)).tolist() == [True, False, True]
