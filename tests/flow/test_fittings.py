"""Reducers: the iteration table of ANSI/ISA-75.01.01-2012, annex E, example 5, from FL to the drop at choking."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.flow.choking import liquid_choking_drop
from softseat.flow.coefficient import CV, kv_from_loss, kv_size_share, loss_from_kv
from softseat.flow.fittings import fittings, piping_factors
from softseat.tables import column, read

TABLE = [r for r in read("disc_losses") if r["model"] == "isa"]
BORES = {"valve_bore": 0.1016, "pipe_in": 0.1541, "pipe_out": 0.2027}


@pytest.mark.parametrize(
    ("cv", "fl", "fp", "flp", "drop"),
    [(774.192, 0.54, 0.625, 0.409, 1520), (387.096, 0.576, 0.848, 0.523, 1349), (96.8, 0.784, 0.988, 0.774, 2179)],
)
def test_rows_of_the_printed_iteration(cv, fl, fp, flp, drop):
    """FL is interpolated over Cv there; printed to three digits, the drop in kPa."""
    got = np.interp(cv, [float(r["cv_4in"]) for r in TABLE], [float(r["fl"]) for r in TABLE])
    factors = piping_factors(CV * cv, got, **BORES)
    assert got == pytest.approx(fl, abs=1e-3)
    assert factors[0] == pytest.approx(fp, abs=1e-3)
    assert factors[1] == pytest.approx(flp, abs=1e-3)
    assert liquid_choking_drop(3550e3, 4e3, 22120e3, got, factors[0], factors[1])[0] == pytest.approx(1e3 * drop, abs=2e3)


@given(st.floats(1, 300), st.floats(0.4, 0.95))
def test_line_size_changes_nothing(kv, fl):
    fp, flp, xtp = piping_factors(kv, fl, 0.1, 0.1, 0.1, 0.4)
    assert (float(fp), float(flp), float(xtp)) == (1.0, fl, 0.4)


@given(st.floats(1, 300), st.floats(1.01, 3))
def test_wider_pipes_take_more_and_recover_less(kv, wider):
    fp, flp, _ = piping_factors(kv, 0.6, 0.1, 0.1 * wider, 0.1 * wider)
    assert fp < 1
    assert flp < 0.6


def test_unknown_bores_are_no_fittings():
    rows = fittings(np.array([0.1, np.nan, 0.1]), np.array([0.2, 0.2, np.nan]), np.array([0.2, 0.2, np.nan]))
    assert (rows.through > 0).tolist() == [True, False, False]


@given(st.floats(1e-2, 1e5), st.floats(0.02, 2))
def test_kv_and_loss_undo_each_other(k, bore):
    assert loss_from_kv(kv_from_loss(k, bore), bore) == pytest.approx(k)


def test_a_valve_without_loss_has_no_kv():
    assert np.isnan(kv_from_loss([0.5, 0.0, -1.0], 0.1)).tolist() == [False, True, True]


def test_the_example_valve_leaves_the_range_of_the_standard_between_80_and_90_deg():
    """C/(N18 d2) is 0.045 at 80 and 0.0505 at 90 deg, the standard ends at 0.047 (IEC 60534-2-1:2011, clause 1)."""
    share, beyond = kv_size_share(CV * np.array([465, 521]), 0.1016)
    assert share == pytest.approx([0.045, 0.0505], abs=6e-5)
    assert beyond.tolist() == [False, True]


def test_the_water_of_the_definition_is_that_of_iapws():
    iapws = pytest.importorskip("iapws")
    from softseat.flow.coefficient import RHO_WATER

    assert iapws.IAPWS95(T=288.15, P=0.101325).rho == pytest.approx(RHO_WATER, abs=2e-3)


def test_the_table_of_losses_reads_as_numbers():
    assert np.nanmax(column("disc_losses", "k")) == 751
