"""Operating points: three flows at once are the same as each alone, and hold together."""

import numpy as np
import pytest

from softseat.flow.curves import kv_full
from softseat.flow.disc import Disc
from softseat.flow.opening import liquid_opening
from softseat.flow.points import inherent_gain, liquid_points

WATER = {"density": 998.0, "pv": 2.3e3, "pc": 22.06e6}
FLOWS = np.array([[0.01, 0.02], [0.03, 0.04], [0.05, 0.9]])
DISC = Disc(np.array([0.15, 0.2]))
POINTS = liquid_points(DISC, FLOWS, 5e5, np.array([[4.4e5], [4.2e5], [3.1e5]]), **WATER, pipe_in=0.2, pipe_out=0.2)


def test_three_flows_at_once_are_each_alone():
    alone = liquid_opening(Disc(0.15), 0.03, 5e5, 4.2e5, **WATER, pipe_in=0.2, pipe_out=0.2)[0]
    assert POINTS.opening.shape == (3, 3, 2)
    np.testing.assert_array_equal(POINTS.opening[:, 1, 0], alone)


def test_a_point_that_cannot_be_passed_leaves_the_others_alone():
    assert np.isnan(POINTS.opening[1]).tolist() == [[False, False], [False, False], [False, True]]


def test_sigma_velocity_and_margin_of_a_point():
    """By hand: (5 - 0.023)/(5 - 4.2); 0.04 m3/s in 200 mm; sigma choking is 1/FL^2 at small vapour pressure."""
    assert POINTS.sigma[1, 1] == pytest.approx(4.977 / 0.8)
    assert POINTS.velocity[1, 1] == pytest.approx(0.04 / (np.pi * 0.01))
    fl = DISC.fl(POINTS.opening[1])[1]
    assert POINTS.margin[1, 1, 1] == pytest.approx(4.977 / 0.8 * fl[1, 1] ** 2, rel=0.01)
    assert (POINTS.margin[0, 0] < POINTS.margin[2, 0]).all()  # a low Kv opens further, where the disc recovers more


def test_the_gain_summed_over_the_stroke_is_one():
    at = np.linspace(0, 90, 361)
    gain = inherent_gain(Disc(0.2), at)
    assert gain.shape == (3, 361)
    assert np.sum((gain[1, 1:] + gain[1, :-1]) / 2) / 360 == pytest.approx(1.0, abs=0.01)


def test_full_open_it_is_beyond_the_standard():
    flow = float(kv_full(0.15)[1]) * 0.98 / 3600
    point = liquid_points(Disc(0.15), flow, 3e5, 2e5, 999.103, 1e2, 22e6)
    assert bool(point.beyond_standard[1])


def test_a_disc_says_what_it_rests_on():
    assert "weisbach" in Disc(0.1).source
    assert Disc(0.1, tested_kv=([10, 90], [10, 400])).source == "test points of the maker"
