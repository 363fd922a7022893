"""Opening over time: kinematics, ends, and the valve curve on the way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.coefficient import loss_from_kv
from softseat.flow.surge_line import GRAVITY
from softseat.flow.surge_stroke import LAWS, hand_stroke, kv_conductance, stroke_opening, valve_over_time


@given(st.sampled_from(LAWS), st.floats(0.1, 300), st.floats(5, 90), st.floats(0.2, 1.0))
def test_every_stroke_starts_open_ends_shut_and_never_turns_back(law, total, start, force):
    t = np.linspace(0, 1.2 * total, 97)
    theta = stroke_opening(t, total, law, start, break_opening=start / 3, break_time=total / 5, end_force=force)
    assert theta[0] == pytest.approx(start)
    assert (theta[t >= total] == pytest.approx(0, abs=1e-9 * start)) or np.abs(theta[t >= total]).max() < 1e-9 * start
    assert (np.diff(theta) <= 1e-9).all()


def test_the_yoke_is_slowest_at_its_ends():
    """Even piston: tan of the angle from the middle is even; at the end the speed is 2/pi of a linear stroke, at the middle 4/pi."""
    speed = -np.gradient(stroke_opening(np.linspace(0, 1, 20001), 1.0, "yoke"), 1 / 20000)
    assert speed[[1, 10000, -2]] / 90 == pytest.approx([2 / np.pi, 4 / np.pi, 2 / np.pi], rel=1e-3)


def test_the_spring_slows_down_with_its_force():
    """Speed of the piston falls with the force: end over start is the ratio of the forces (travel from the angle by the yoke)."""
    s = (1 - np.tan(np.deg2rad(stroke_opening(np.linspace(0, 1, 20001), 1.0, "spring", end_force=0.55) - 45))) / 2
    speed = np.diff(s)
    assert speed[-1] / speed[0] == pytest.approx(0.55, rel=1e-3)


def test_two_speeds_by_hand():
    """90 to 20 degrees in 5 s, the rest in 25 s: 48 at 3 s, 20 at 5, 12 at 15."""
    assert stroke_opening([3, 5, 15, 30], 30, "two-speed", break_opening=20, break_time=5) == pytest.approx([48, 20, 12, 0])


def test_a_gear_by_hand():
    """A 40:1 gear has ten turns for the quarter; one turn in two seconds takes 20 s."""
    assert hand_stroke([40, -1], 0.5)[0] == pytest.approx(20)
    assert np.isnan(hand_stroke([40, -1], 0.5)).tolist() == [False, True]


def test_bad_rows_and_bad_words():
    assert np.isnan(stroke_opening([1, 1, 1], [4, np.nan, 4])).tolist() == [False, True, False]
    assert stroke_opening([0, 1e-9], 0.0).tolist() == [90, 0]
    with pytest.raises(InputError, match="two-speed"):
        stroke_opening(1, 2, "snap")


@given(st.floats(10, 50000), st.floats(0.05, 2))
def test_conductance_is_the_same_valve_as_its_loss_coefficient(kv, bore):
    """dH = K v2/2g and Q = C sqrt(dH)."""
    head = loss_from_kv(kv, bore) * (0.1 / (np.pi / 4 * bore**2)) ** 2 / 2 / GRAVITY
    assert (0.1 / kv_conductance(kv)) ** 2 == pytest.approx(head)


def test_the_curve_is_followed_over_time():
    openings = np.linspace(0, 90, 91)
    curve = np.stack([openings**2, 3 * openings], axis=1)
    at = valve_over_time(lambda t: stroke_opening(t, np.array([10.0, 20.0])), openings, curve)
    assert at(np.array([[0.0, 0.0], [5.0, 5.0], [10.0, 30.0]])) == pytest.approx(np.array([[8100, 270], [2025, 202.5], [0, 0]]))
