"""One flange by name, and the name of a flange by its measures."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.piping.drilling import drillings, size_word
from softseat.piping.flange import flange, flange_from_measures

ALL = drillings()


@given(st.integers(0, len(ALL.dn) - 1), st.floats(-1.5e-3, 1.5e-3), st.floats(-0.4e-3, 0.4e-3))
@settings(max_examples=150)
def test_every_flange_is_found_again_from_its_measures(n, off_circle, off_hole):
    found = flange_from_measures(ALL.bolt_circle[n] + off_circle, ALL.holes[n], ALL.hole_diameter[n] + off_hole, ALL.outside_diameter[n])
    own = {"system": ALL.system[n], "rating": ALL.rating[n], "size": size_word(ALL.system[n], ALL.dn[n])}
    assert own in [{k: c[k] for k in own} for c in found]
    worst = [c["worst_difference"] for c in found]
    assert worst == sorted(worst)
    assert worst[0] <= max(abs(off_circle), abs(off_hole)) + 1e-12


def test_pn10_and_class_150_in_dn200_are_told_apart():
    # EN 1092-1: 295 mm, 8 x 22; ASME B16.5: 11.75 in (298.5 mm), 8 x 7/8 in
    assert flange_from_measures(0.2985, 8, 0.0222)[0]["system"].startswith("ASME")
    assert flange_from_measures(0.295, 8, 0.022)[0] | {"worst_difference": 0} == {
        "system": "EN 1092-1", "rating": "PN10", "size": "DN200", "worst_difference": 0}  # fmt: skip


def test_no_flange_has_seven_holes():
    assert flange_from_measures(0.2, 7, 0.02) == []


def test_mistakes_name_the_field_and_what_is_allowed():
    with pytest.raises(UnknownName, match=r"system 'EN 1591'.*JIS B2220"):
        flange("EN 1591", "PN16", "DN200")
    with pytest.raises(UnknownName, match=r"rating 'Class 150' is not in EN 1092-1; it has PN6, PN10, PN16, PN25"):
        flange("EN 1092-1", "Class 150", "DN200")
    with pytest.raises(InputError, match="size"):
        flange("EN 1092-1", "PN16", "NPS 7.5")
    with pytest.raises(InputError, match="above 0"):
        flange_from_measures(0.2, 8, -0.02)


def test_a_size_that_the_table_has_not_is_nan():
    assert np.isnan(flange("EN 1092-1", "PN16", "DN175")[0])
