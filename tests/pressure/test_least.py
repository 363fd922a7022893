"""The least of the parts, and what a rating says cold."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.pressure.least import PARTS, cold_pressure, valve_rating

P = st.floats(1e5, 5e6)


@given(P, P, P, P)
def test_the_least_part_rates_the_valve(shell, seat, shaft, dead_end):
    pressure, part = valve_rating(shell, seat, shaft, dead_end)
    assert pressure == min(shell, seat, shaft, dead_end)
    assert dict(zip(PARTS, (shell, seat, shaft, dead_end), strict=True))[str(part)] == pressure


def test_an_unknown_part_leaves_the_rating_unknown():
    pressure, part = valve_rating([16e5, np.nan, 16e5], [10e5, 10e5, 20e5])
    assert part.tolist() == ["seat", "", "shell"]
    assert np.isnan(pressure).tolist() == [False, True, False]


def test_what_a_rating_says():
    # EN 1333: PN is bar; ASME B16.34 group 1.1 285 psi, B16.42 250 psi; B16.1 200 psi to NPS 12, 150 psi above
    got = cold_pressure(["PN16", "Class 150", "Class 150", "Class 125", "Class 125", "150#"], [200, 200, 200, 300, 350, 200],
                        ["steel", "steel", "ductile iron", "steel", "grey iron", "steel"])  # fmt: skip
    psi = 6894.757293
    assert got[:5] == pytest.approx([16e5, 285 * psi, 250 * psi, 200 * psi, 150 * psi])
    assert np.isnan(got[5])
