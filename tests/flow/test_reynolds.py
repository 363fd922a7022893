"""FR: annex A of IEC 60534-2-1:2011 (values in the checks), its limits, and where full and reduced trim meet."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.reynolds import reynolds_factor, smallest_kv


@given(st.floats(1e-3, 1e5), st.floats(1.0, 3.0), st.floats(0.4, 0.98), st.floats(1, 300))
def test_a_larger_reynolds_number_never_passes_less(re, more, fl, kv):
    fr = reynolds_factor(np.array([re, re * more]), kv, fl, 0.1)
    assert 0 <= fr[0] <= fr[1] <= 1


def test_turbulent_flow_is_not_reduced():
    assert reynolds_factor(np.array([1e4, 1e7]), 100, 0.6, 0.1).tolist() == [1.0, 1.0]


def test_full_and_reduced_trim_meet_near_their_border():
    """At Kv/(N18 d2) = 0.016 both n are within 10 %: N2/0.01384^2 = 8.35 and 1 + N32 0.01384^(2/3) = 9.07."""
    kv = 0.016 * 0.865 * 100**2
    full, reduced = (reynolds_factor(100.0, kv, 0.6, 0.1, trim) for trim in ("full", "reduced"))
    assert full == pytest.approx(reduced, rel=0.03)


def test_an_unknown_trim_is_a_mistake_of_the_caller():
    with pytest.raises(InputError, match="full, reduced"):
        reynolds_factor(100, 10, 0.6, 0.1, "half")


def test_the_search_finds_the_first_of_two_crossings_and_says_where_there_is_none():
    """4.6 - c (3 - c/4) is at or below zero from 1.81 to 10.2; 20 never."""
    least, bore = np.array([1.0, 1.0]), np.array([0.1, 0.1])
    wanted = np.array([4.6, 20.0])
    found = smallest_kv(lambda c: wanted - c * (3 - c / 4), least, bore)
    assert found[0] == pytest.approx(6 - np.sqrt(36 - 4 * 4.6), rel=1e-9)
    assert np.isnan(found[1])


def test_the_search_is_not_led_to_a_later_crossing():
    """Passing from 2 to 4 and again from 300 on."""
    found = smallest_kv(lambda c: (c - 2) * (c - 4) * (300 - c), np.array([1.0]), np.array([0.1]))
    assert found[0] == pytest.approx(2.0, rel=1e-9)


def test_full_trim_in_laminar_flow_by_hand():
    """Annex A: FR = 0.026/FL sqrt(n Re), n = N2/(C/d2)2 = 0.0016/(90/100^2)^2 = 19.753; below Re 10 nothing else speaks."""
    assert reynolds_factor(1.0, 90, 0.6, 0.1) == pytest.approx(0.026 / 0.6 * np.sqrt(0.0016 / 0.009**2), rel=1e-12)


def test_the_largest_kv_of_the_search_is_tried():
    """Only the last Kv of the ladder, 0.075 N18 d2, passes: it is found, and nothing below it."""
    top = 0.075 * 0.865 * 100.0**2
    found = smallest_kv(lambda kv: np.where(kv > 0.999 * top, -1.0, 1.0), np.array([10.0]), np.array([0.1]))
    assert found == pytest.approx(0.999 * top, rel=1e-6)
