import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.torque.band import combine, house, opposed, quantile, spread, uncertainty


def test_quantiles_of_the_normal_table():
    """Printed in every table of the normal distribution."""
    assert quantile(0.95) == pytest.approx(1.95996, abs=5e-6)
    assert quantile(0.6827) == pytest.approx(1.0, abs=1e-4)
    with pytest.raises(InputError):
        quantile(1.0)


def test_three_four_five():
    total = combine([np.array([7.0, 10.0, 14.0]), np.array([16.0, 20.0, 23.0])], [0.95, 0.95], 0.95)
    assert total.tolist() == pytest.approx([25.0, 30.0, 35.0])


def test_against_a_monte_carlo_of_normals():
    rng = np.random.default_rng(7)
    a, b = rng.normal(10, 3 / 1.959964, 400_000), rng.normal(20, 4 / 1.644854, 400_000)
    low, _, high = combine([spread(10.0, 0.3), spread(20.0, 0.2)], [0.95, 0.90], 0.95)
    assert [low, high] == pytest.approx(np.quantile(a + b, [0.025, 0.975]), abs=0.06)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_a_sum_is_never_wider_than_its_parts_piled_up(shares):
    parts = [spread(1.0, s) for s in shares]
    low, best, high = combine(parts, [0.95] * len(parts), 0.95)
    assert best == pytest.approx(len(parts))
    assert high - best <= sum(shares) + 1e-9
    assert high - best >= max(shares) - 1e-9
    assert low <= best


def test_opposed_changes_the_ends_over():
    assert opposed(np.array([1.0, 2.0, 5.0])).tolist() == [-5.0, -2.0, -1.0]


def test_unknown_keys_say_what_is_known():
    with pytest.raises(UnknownName, match="seat_calibrated"):
        uncertainty("seat")
    with pytest.raises(UnknownName):
        house("no such limit")
