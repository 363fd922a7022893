from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.torque.band import spread
from softseat.torque.over_angle import ANGLES, Service, Valve, stand_and_age, torque_over_angle
from softseat.torque.system import gas_drop, line_loss, running
from softseat.torque.terms import bearing_torque


def valve(n=1, **change):
    size = np.full(n, 0.3)
    made = Valve(
        size, size * 0.12, size, np.full(n, 0.6e-3), spread(np.full(n, 330.0), 0.55), spread(np.full(n, 46.0), 0.55),
        np.stack([np.full(n, mu) for mu in (0.1, 0.18, 0.3)]),
    )  # fmt: skip
    return replace(made, **change)


def test_closed_disc_adds_up_and_the_band_is_the_root_of_the_squares():
    curve = torque_over_angle(valve(), Service(1e6, hydrostatic=np.array([12.0])), coverage=0.95)
    bearing = bearing_torque(1e6, 0.3, 0.036, np.array([0.1, 0.18, 0.3]))
    best = 330 + 46 + bearing[1] + 12
    assert curve.unseating[1, 0] == pytest.approx(best)
    assert curve.unseating[2, 0] == pytest.approx(best + np.hypot(0.55 * 376, bearing[2] - bearing[1]))
    assert curve.seating[1, 0] == pytest.approx(best)
    assert curve.terms["hydrostatic"][1, 0, 1:].tolist() == [0.0] * 18


def test_factors_multiply_what_is_certain_once():
    plain = torque_over_angle(valve(), Service(1e6))
    made = torque_over_angle(valve(), Service(1e6, media_factor=1.4, stand_factor=1.3))
    seat, bearing = 376.0, plain.terms["bearing"][1, 0, 0]
    assert made.unseating[1, 0] == pytest.approx(1.4 * (1.3 * seat + bearing))
    assert made.seating[1, 0] == pytest.approx(1.4 * (seat + bearing))
    assert stand_and_age(1.5, 1.25) == 1.5


def test_a_constant_drop_lets_the_flow_drive_and_a_real_line_does_not():
    drop = 1e6 / (1 + np.linspace(0, 400, ANGLES.size))
    assert torque_over_angle(valve(2), Service(np.full(2, 1e6))).flow_drives.tolist() == [True, True]
    assert not torque_over_angle(valve(), Service(drop[None, :])).flow_drives.any()


def test_break_torque_is_held_to_the_angle_asked():
    held = torque_over_angle(valve(), Service(0.0, hold=10.0)).terms["seat"][1, 0]
    assert held[:3].tolist() == [330.0] * 3
    assert held[3] < 30


def test_a_tested_coefficient_counts_where_it_is_tested():
    tested = np.full((1, ANGLES.size), np.nan)
    tested[0, 12] = 0.05
    curve = torque_over_angle(valve(coefficient=tested), Service(1e5))
    assert curve.terms["dynamic"][:, 0, 12].tolist() == pytest.approx([0.05 * 0.027 * 1e5] * 3)
    assert curve.terms["dynamic"][2, 0, 11] > curve.terms["dynamic"][0, 0, 11]


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 2e6), st.floats(0, 1e6))
def test_more_difference_is_more_torque_to_open_and_the_side_does_not_matter(p, more):
    here, there = (torque_over_angle(valve(), Service(x)) for x in (p, p + more))
    assert (there.opening[1] >= here.opening[1] - 1e-9).all()
    assert (torque_over_angle(valve(), Service(-p)).opening == here.opening).all()
    assert (here.opening[0] <= here.opening[1]).all()
    assert (here.opening[1] <= here.opening[2]).all()


def test_one_bad_row_among_good_ones():
    curve = torque_over_angle(valve(3), Service(np.array([1e6, np.nan, 1e6])))
    assert np.isnan(curve.required[1]).tolist() == [False, True, False]
    assert curve.opening.shape == (3, 3, 19)


def test_line_and_valve_share_the_head():
    k_line = line_loss(1e6, 4.0, 998.0, 0.4)
    drop, speed = running(1e6, np.array([np.inf, 30.0, 0.4]), k_line, 998.0)
    assert (drop[0], speed[0]) == (1e6, 0.0)
    assert speed[2] == pytest.approx(4.0)
    assert drop + k_line * 998.0 * speed**2 / 2 == pytest.approx([1e6] * 3)  # energy


def test_a_choked_gas_loads_no_further():
    assert gas_drop([2e5, 9e5], 1e6, 0.4, 1.4) == pytest.approx([2e5, 4e5])
