"""Rows of the valves by style, size and rating."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.maker.package import load
from softseat.maker.valves import BODY_STYLES, next_size_down, range_text, row_of, sizes

MAKER = load()
VALVES = MAKER.table("valves")
OFFERED = [50, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 450, 500, 600, 700, 750, 800, 900]


def rating(style, dn, pn):
    row = int(row_of(MAKER, style, dn, pn))
    return str(VALVES["rating"][row]) if row >= 0 else None


def test_ranges_are_those_of_the_trade():
    """Wafer DN65-600, lugged DN50-600, double-flanged DN150-900 (tables/house_limits.csv R150; common practice, no source)."""
    assert [range_text(MAKER, style) for style in BODY_STYLES] == ["DN65-DN600", "DN50-DN600", "DN150-DN900"]
    assert sizes(MAKER, "double_flanged").tolist() == [dn for dn in OFFERED if dn >= 150]


def test_a_rating_is_met_by_the_next_higher_one():
    assert rating("wafer", 200, 10) == "PN10"
    assert rating("wafer", 200, 6) == "PN10"  # PN6 begins at DN350
    assert rating("wafer", 350, 6) == "PN6"
    assert rating("wafer", 300, 25) == "PN25"
    assert rating("wafer", 350, 25) is None
    assert rating("double_flanged", 700, 16) is None


def test_class_150_shares_the_pn16_build():
    """ISO 7005 calls Class 150 PN 20."""
    assert rating("wafer", 200, 20) == "PN16"
    assert rating("lugged", 600, 20) == "PN16"
    assert rating("wafer", 200, 19) == "PN25"  # no class: a number of its own


def test_one_unknown_row_among_good_ones():
    found = row_of(MAKER, ["wafer", "", "wafer", "wafer", "wafer"], [200, 200, np.nan, 200, 40], [16, 16, 16, np.nan, 16])
    assert (found >= 0).tolist() == [True, False, False, False, False]


def test_broadcasts_and_keeps_its_shape():
    assert row_of(MAKER, "lugged", np.array([[50.0], [100.0]]), np.array([10.0, 16.0, 25.0])).shape == (2, 3)
    assert row_of(MAKER, np.array([], np.str_), [], []).shape == (0,)


def test_a_wrong_style_says_what_is_allowed():
    for call in (lambda: row_of(MAKER, ["wafer", "flanged"], 200, 16), lambda: sizes(MAKER, "flanged")):
        with pytest.raises(InputError, match=r"'flanged'.*double_flanged"):
            call()


@given(st.sampled_from(BODY_STYLES), st.sampled_from(OFFERED), st.sampled_from([6, 10, 16, 20, 25]))
def test_the_row_is_the_lowest_that_serves(style, dn, pn):
    row = int(row_of(MAKER, style, dn, pn))
    same = (VALVES["body_style"] == style) & (VALVES["dn"] == dn)
    serves = same & ((VALVES["pn"] >= pn) | ((pn == 20) & (np.char.find(VALVES["also_class"], "Class 150") >= 0)))
    if row < 0:
        assert not serves.any()
    else:
        assert serves[row]
        assert VALVES["pn"][row] == VALVES["pn"][serves].min()


@given(st.sampled_from(BODY_STYLES), st.floats(10, 1500))
def test_the_next_size_down_is_smaller_and_leaves_none_out(style, dn):
    below = float(next_size_down(MAKER, style, dn))
    ladder = sizes(MAKER, style)
    if np.isnan(below):
        assert not (ladder < dn).any()
    else:
        assert below < dn
        assert not ((ladder > below) & (ladder < dn)).any()


def test_next_size_down_with_gaps():
    found = next_size_down(MAKER, ["wafer", "wafer", "lugged", "double_flanged", "", "wafer"], [200, 65, 1400, 800, 100, np.nan])
    assert found == pytest.approx([150, np.nan, 600, 750, np.nan, np.nan], nan_ok=True)


@given(st.sampled_from(["", *BODY_STYLES]), st.sampled_from([*OFFERED, 55, 20, np.nan]), st.sampled_from([6, 10, 16, 20, 25, 40, np.nan]))
def test_the_row_is_the_lowest_rating_of_the_style_and_size_that_serves(style, dn, pn):
    serves = [
        (VALVES["pn"][row], row)
        for row in np.flatnonzero((VALVES["body_style"] == style) & (VALVES["dn"] == dn))
        if pn <= VALVES["pn"][row] or (pn == 20 and "Class 150" in str(VALVES["also_class"][row]))
    ]
    assert int(row_of(MAKER, style, dn, pn)) == (min(serves)[1] if serves else -1)
