import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.operators.manual import gear_output, gear_pull, hand_stroke_time, lever_force


def test_lever_moment():
    """360 N on 0.97 m is the trade's 350 N m; on 0.30 m it is 108 (manual_operation table, arithmetic)."""
    assert lever_force(350.0, 0.97) == pytest.approx(360, abs=1)
    assert lever_force(108.0, 0.30) == pytest.approx(360)


def test_worm_gear_in_energy():
    """Work of the hand over its turns times the efficiency is the work at the valve over a quarter turn."""
    force, turns, locks = gear_pull(900.0, 40.0, 0.3, 0.3)
    assert force * np.pi * 0.3 * turns * 0.3 == pytest.approx(900.0 * np.pi / 2)
    assert (turns, bool(locks)) == (10.0, True)
    assert not gear_pull(900.0, 10.0, 0.6, 0.3)[2]


@given(st.floats(1, 1e4), st.floats(10, 200), st.floats(0.1, 0.9), st.floats(0.1, 0.8))
def test_output_and_pull_are_inverse(torque, ratio, efficiency, wheel):
    force, *_ = gear_pull(torque, ratio, efficiency, wheel)
    assert gear_output(force, ratio, efficiency, wheel, np.inf) == pytest.approx(torque)
    assert gear_output(force, ratio, efficiency, wheel, torque / 2) == pytest.approx(torque / 2)


def test_bad_rows_and_time():
    assert np.isnan(lever_force([60.0, 60.0], [0.2, 0.0])).tolist() == [False, True]
    assert hand_stroke_time(40.0, 0.5) == pytest.approx(20.0)
