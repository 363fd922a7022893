"""Categories over the charts, against the article of the directive, and as properties."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.pressure.category import categories, equipment_category

ORDER = ["outside", "SEP", "I", "II", "III"]


def sound_practice(gas, group, dn, bar):
    """Not above the limits of Directive 2014/68/EU, Art. 4(1)(c): written from the article, not from the charts."""
    if gas and group == 1:
        return not dn > 25
    if gas:
        return not (dn > 32 and bar * dn > 1000)
    if group == 1:
        return not (dn > 25 and bar * dn > 2000)
    return not (bar > 10 and dn > 200 and bar * dn > 5000)


@given(st.booleans(), st.sampled_from([1, 2]), st.integers(15, 1200), st.integers(6, 400))
def test_sound_practice_is_what_the_article_leaves(gas, group, dn, tenths):
    found = str(categories(gas, group, dn, tenths * 1e4))
    assert (found == "SEP") == sound_practice(gas, group, dn, tenths / 10)


@given(st.booleans(), st.sampled_from([1, 2]), st.integers(15, 1200), st.integers(1, 250), st.integers(0, 300), st.integers(0, 50))
def test_a_larger_valve_at_more_pressure_is_never_in_a_lower_category(gas, group, dn, tenths, wider, more):
    low, high = categories(gas, group, [dn, dn + wider], np.array([tenths, tenths + more]) * 1e4)
    assert ORDER.index(high) >= ORDER.index(low)


@given(st.booleans(), st.integers(15, 1200), st.integers(6, 250))
def test_group_1_is_never_below_group_2_and_a_gas_never_below_a_liquid(gas, dn, tenths):
    one, two = categories(gas, [1, 2], dn, tenths * 1e4)
    assert ORDER.index(one) >= ORDER.index(two)
    gaseous, liquid = categories([True, False], 2, dn, tenths * 1e4)
    assert ORDER.index(gaseous) >= ORDER.index(liquid)


def test_one_bad_row_leaves_the_others_alone():
    assert categories(True, [1, 3, 1], [100, 100, np.nan], 10e5).tolist() == ["I", "", ""]


def test_a_liquid_that_boils_above_half_a_bar_counts_as_a_gas():
    # Art. 4(1)(a)(i): vapour pressure more than 0.5 bar above 1013 mbar
    cool, hot = (equipment_category("liquid", 1, "DN50", 5e5, pv=pv)[0] for pv in (1.512e5, 1.514e5))
    assert (cool, hot) == ("SEP", "I")


def test_exclusions_and_mistakes():
    assert equipment_category("liquid", 2, "DN600", 16e5)[0] == "I"
    assert equipment_category("liquid", 2, "DN600", 16e5, exclusion="water network") == (
        "outside", "a network for the supply, distribution and discharge of water is excluded, Art. 1(2)(b)")  # fmt: skip
    with pytest.raises(InputError, match="gas, liquid"):
        equipment_category("solid", 2, "DN600", 16e5)
    with pytest.raises(InputError, match="1, 2"):
        equipment_category("gas", 3, "DN600", 16e5)
    with pytest.raises(InputError, match="pipeline, water network"):
        equipment_category("gas", 2, "DN600", 16e5, exclusion="ship")
