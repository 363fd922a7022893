"""Curves of a disc: every model within its own band, rising, and the maker's test points instead."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.coefficient import kv_from_loss
from softseat.flow.curves import MODELS, KvEnds, butterfly_kv, disc_loss, fd_curve, fl_curve, fl_ends, kv_curve, kv_full, xt_curve, xt_ends
from softseat.flow.disc import Disc
from softseat.flow.losses import butterfly_loss

OPENINGS = np.linspace(0, 90, 361)


@given(st.floats(0.04, 1.0))
def test_kv_rises_from_nothing_and_low_is_below_best_below_high(bore):
    kv = kv_curve(bore, OPENINGS)
    assert (kv[:, 0] == 0).all()
    assert (np.diff(kv, axis=1) > 0).all()
    assert (np.diff(kv[:, 1:], axis=0) > 0).all()


@pytest.mark.parametrize("model", MODELS)
def test_each_model_lies_in_the_band(model):
    kv, band = kv_from_loss(disc_loss(0.2, OPENINGS[4:], model), 0.2), kv_curve(0.2, OPENINGS[4:])
    assert (kv >= band[0] * (1 - 1e-12)).all()
    assert (kv <= band[2] * (1 + 1e-12)).all()


@pytest.mark.parametrize(("model", "at"), [("isa", 60.0), ("simulated", 50.0), ("isa", 10.0)])
def test_the_curve_goes_through_the_printed_points(model, at):
    assert disc_loss(0.1, at, model) == pytest.approx(float(butterfly_loss(at, model)), rel=1e-9)


def test_weisbach_has_the_hub_of_the_full_open_disc_added():
    plate = float(butterfly_loss(70, "weisbach"))
    assert plate + 0.25 < disc_loss(0.3, 70, "weisbach") < plate + 0.6  # blockage K 0.25 to 0.6, docs/theory/flow.md
    assert disc_loss(0.3, 30, "weisbach") == pytest.approx(118, rel=0.005)


def test_the_spread_full_open_is_that_of_the_open_sources():
    """House limits R091: two open sources differ by 1.3 to 1.7 from DN150."""
    band = kv_full(np.array([0.15, 0.2, 0.3, 0.4]))
    assert ((band[2] / band[0] > 1.3) & (band[2] / band[0] < 1.72)).all()


def test_below_dn80_the_band_opens_downward_by_the_hub():
    ratio = kv_full(np.array([0.05, 0.2]))
    below = ratio[1] / ratio[0]
    assert below[0] > 1.2
    assert kv_full(0.05)[0] < kv_from_loss(0.8396, 0.05)  # under the ISA valve, the lowest from DN150 on


def test_fl_as_printed_lies_in_its_band_and_falls():
    """ANSI/ISA-75.01.01-2012, example 5: 0.71 at 50, 0.54 at 90; IEC 60534-2-1 table D.2: 0.70 at 60, 0.62 at 70 (another trim)."""
    fl = fl_curve(np.array([50.0, 90.0]))
    assert (fl[0] <= [0.71, 0.54]).all()
    assert (fl[2] >= [0.71, 0.54]).all()
    assert (np.diff(fl_curve(OPENINGS), axis=1) <= 1e-12).all()


def test_xt_by_the_table_of_the_standard():
    """Table D.2: xT 0.35 at 70, FL 0.62; 0.42 at 60, FL 0.70: 0.91 and 0.86 FL^2."""
    share = xt_curve(60.0) / np.square(fl_curve(60.0))
    assert share == pytest.approx([0.85, 0.88, 0.91])
    assert fd_curve([60, 70]) == pytest.approx([0.50, 0.57])


def test_outside_of_the_stroke_there_is_no_value_and_one_bad_row_is_alone():
    kv = kv_curve(np.array([0.1, 0.1, np.nan, -0.1]), np.array([50.0, 91.0, 50.0, 50.0]))
    assert np.isnan(kv).all(axis=0).tolist() == [False, True, True, True]
    assert np.isnan(fl_curve([np.nan, 50.0])).tolist() == [[True, False]] * 3


def test_an_unknown_model_is_a_mistake_of_the_caller():
    with pytest.raises(InputError, match="isa"):
        kv_curve(0.1, 50, ("nobody",))


def test_the_makers_test_points_override_the_models():
    disc = Disc(0.1, tested_kv=([20, 40, 60, 90], [21, 80, 205, 402]), tested_fl=([20, 90], [0.9, 0.5]))
    assert disc.basis == "tested"
    assert disc.kv(np.array([40.0, 90.0])).tolist() == [[80, 402]] * 3
    assert disc.kv(0.0).tolist() == [0, 0, 0]
    assert disc.fl(55.0) == pytest.approx([0.7] * 3)
    assert disc.xt(55.0) == pytest.approx([0.88 * 0.49] * 3)
    assert Disc(0.1).basis == "calculated"


def test_the_registered_form_is_the_same_curves():
    got = butterfly_kv(0.2, 60)
    assert got[1] == kv_curve(0.2, 60)[1]
    assert got[5] == fl_curve(60)[2]


@given(st.lists(st.tuples(st.floats(0.04, 1.2), *[st.just(0.0) | st.floats(1e-3, 90)] * 3), min_size=1, max_size=8))
def test_three_openings_at_once_have_what_each_has_alone(rows):
    bore, *opening = np.array(rows).T
    opening, own = np.stack(opening), np.arange(3)
    for at_once, alone in (
        (KvEnds(bore).at(opening), kv_curve(bore, opening)[own, own]),
        (fl_ends(opening), fl_curve(opening)[own, own]),
        (xt_ends(opening), xt_curve(opening)[own, own]),
    ):
        assert np.array_equal(at_once, alone)


def test_a_tested_disc_has_the_same_at_three_openings_at_once():
    disc, opening, own = Disc(0.1, ([20, 50, 90], [20, 120, 400]), ([20, 90], [0.8, 0.6])), np.array([[30.0], [45.0], [80.0]]), np.arange(3)
    assert np.array_equal(disc.kv_ends()(opening), disc.kv(opening)[own, own])
    assert np.array_equal(disc.fl_ends(opening), disc.fl(opening)[own, own])
    assert np.array_equal(disc.xt_ends(opening), disc.xt(opening)[own, own])
