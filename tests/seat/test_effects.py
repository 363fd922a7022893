import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.seat.effects import interference_in_service, swell_growth, thermal_growth


def test_growth_of_a_confined_layer_closed_form():
    assert thermal_growth(8e-3, 0.3, 343.15, confinement=3.0, expansion_liner=1.6e-4) == pytest.approx(3 * 1.6e-4 * 8e-3 * 50)
    assert thermal_growth(8e-3, 0.3, 343.15, 17e-6, 11e-6, 0.0) == pytest.approx(6e-6 * 0.15 * 50)  # metals alone
    assert swell_growth(8e-3, 0.05, 3.0) == pytest.approx(0.4e-3)  # all the volume goes into the thickness
    assert swell_growth(8e-3, 0.03, 1.0) == pytest.approx(8e-3 * 0.01)  # free: a third of it


def test_set_takes_its_share_and_wear_the_rest():
    assert interference_in_service(0.6e-3, 8e-3, 0.3, compression_set=0.25) == pytest.approx(0.45e-3)
    assert interference_in_service(0.6e-3, 8e-3, 0.3, coat=5e-5, wear=1e-4, loss=2e-5) == pytest.approx(0.53e-3)


@given(st.floats(0, 1e-3), st.floats(250, 370), st.floats(0, 0.1), st.floats(0, 0.9))
def test_never_below_nothing_and_monotone(depth, warmth, swell, lost):
    now = interference_in_service(depth, 8e-3, 0.3, [warmth, warmth + 1], swell, lost)
    assert 0 <= now[0] <= now[1]
    assert interference_in_service(depth, 8e-3, 0.3, warmth, swell, min(1.0, lost + 0.05)) <= now[0]


def test_an_impossible_set_spoils_only_its_row():
    assert np.isnan(interference_in_service(0.6e-3, 8e-3, 0.3, compression_set=[0.2, 1.2, np.nan])).tolist() == [False, True, True]
