"""Voltages of holiday tests."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.pressure.holiday import holiday_voltage

BOTH = st.sampled_from(["NACE SP0274", "ASTM D5162"])


@given(BOTH, st.floats(1e-5, 0.01), st.floats(0, 0.005))
def test_a_thicker_coat_takes_no_less(standard, thickness, more):
    assert holiday_voltage(thickness + more, standard) >= holiday_voltage(thickness, standard)


def test_the_two_agree_on_thick_coats():
    # both are 1250 sqrt(mil) from 40 mil on; SP0274 rounds it to 250 sqrt(um): 0.8 % apart
    t = np.array([1.1e-3, 2.3e-3, 5.7e-3])
    assert holiday_voltage(t, "NACE SP0274") == pytest.approx(holiday_voltage(t, "ASTM D5162"), rel=0.009)


def test_a_bad_row_and_an_unknown_standard():
    assert np.isnan(holiday_voltage([1e-3, 0.0, np.nan, -1e-3], "astm d5162")).tolist() == [False, True, True, True]
    with pytest.raises(UnknownName, match="NACE SP0274, ASTM D5162"):
        holiday_voltage(1e-3, "ISO 29601")
