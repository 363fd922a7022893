"""Liquid sizing against the standard's equation itself, an open library, and what must hold of any flow."""

import fluids.control_valve as library
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.flow.liquid import liquid_flow, liquid_kv

WATER = {"density": 965.4, "pv": 70.1e3, "pc": 22120e3}  # IEC 60534-2-1:2011, annex E, examples 1 and 2
RHO0 = 999.103


def residual(kv, flow, p1, p2, density, pv, pc, fl, d, d1, d2):
    """Equations 1 to 4, 15 and 21 of IEC 60534-2-1:2011 as printed (kPa, mm, m3/h), over the flow."""
    z1, z2 = 0.5 * (1 - (d / d1) ** 2) ** 2, (1 - (d / d2) ** 2) ** 2
    b1, b2 = 1 - (d / d1) ** 4, 1 - (d / d2) ** 4
    ratio2 = (kv / (1e3 * d) ** 2) ** 2
    fp = (1 + (z1 + z2 + b1 - b2) / 1.60e-3 * ratio2) ** -0.5
    flp = fl * (1 + fl**2 / 1.60e-3 * (z1 + b1) * ratio2) ** -0.5
    ff = 0.96 - 0.28 * (pv / pc) ** 0.5
    drop = min((p1 - p2) / 1e3, (flp / fp) ** 2 * (p1 - ff * pv) / 1e3)
    return kv * 0.1 * fp * (drop / (density / RHO0)) ** 0.5 / (3600 * flow) - 1


def test_the_closed_answer_solves_the_printed_equations_with_reducers():
    rng = np.random.default_rng(5)
    n = 2000
    p1 = rng.uniform(2e5, 25e5, n)
    duty = {
        "flow": rng.uniform(1e-3, 0.05, n),
        "p1": p1,
        "p2": p1 * rng.uniform(0.05, 0.99, n),
        "density": rng.uniform(600, 1300, n),
        "pv": rng.uniform(1e2, 1e5, n),
        "pc": rng.uniform(3e6, 22e6, n),
        "fl": rng.uniform(0.5, 0.95, n),
    }
    d = rng.uniform(0.04, 0.2, n)
    d1, d2 = d * rng.uniform(1, 2, n), d * rng.uniform(1, 2, n)
    kv, choked, _, _ = liquid_kv(**duty, valve_bore=d, pipe_in=d1, pipe_out=d2)
    rows = [(k, *(float(v[i]) for v in duty.values()), d[i], d1[i], d2[i]) for i, k in enumerate(kv) if not np.isnan(k)]
    assert len(rows) > 1000
    assert choked.sum() > 100
    assert max(abs(residual(*row)) for row in rows) < 1e-12


def test_where_the_open_library_differs_with_reducers_the_standards_equation_decides():
    """It stops its loop over FP when two Kv agree within 1 % (checks FL-L04)."""
    bores = {"d": 0.08, "d1": 0.1, "d2": 0.09}
    duty = {"flow": 0.1, "p1": 680e3, "p2": 220e3, **WATER, "fl": 0.9}
    ours = float(liquid_kv(**duty, valve_bore=0.08, pipe_in=0.1, pipe_out=0.09)[0])
    theirs = library.size_control_valve_l(965.4, 70.1e3, 22120e3, 3.1472e-4, 680e3, 220e3, 0.1, 0.1, 0.09, 0.08, 0.9, 0.46)
    assert abs(residual(ours, **duty, **bores)) < 1e-12
    assert abs(residual(theirs, **duty, **bores)) > 1e-3


def test_line_size_turbulent_rows_equal_the_open_library_over_a_grid():
    rng = np.random.default_rng(11)
    n = 300
    p1, pv = rng.uniform(2e5, 25e5, n), rng.uniform(1e2, 1e5, n)
    rows = np.stack(
        [rng.uniform(600, 1300, n), pv, rng.uniform(3e6, 22e6, n), p1, p1 * rng.uniform(0.02, 0.99, n), rng.uniform(1e-3, 0.3, n)]
    )
    density, _, pc, _, p2, flow = rows
    fl = rng.uniform(0.5, 0.95, n)
    ours, choked, _, _ = liquid_kv(flow, p1, p2, density, pv, pc, fl)
    theirs = [
        library.size_control_valve_l(r[0], r[1], r[2], 1e-6, r[3], r[4], r[5], D1=0.3, D2=0.3, d=0.3, FL=f, Fd=0.5, allow_laminar=False)
        for r, f in zip(rows.T, fl, strict=True)
    ]
    assert 0 < choked.sum() < n
    np.testing.assert_allclose(ours, theirs, rtol=1e-6)  # the library's water is 999.1033, ours 999.103 kg/m3


def printed_viscous(kv, flow, drop, density, viscosity, fl, fd, d):
    """Annex A with full trim as printed: what of the flow is still to come at this Kv."""
    nu, mm = viscosity / density, 1e3 * d
    re = 7.07e-2 * fd * 3600 * flow / (nu * (kv * fl) ** 0.5) * ((fl * kv) ** 2 / (1.60e-3 * mm**4) + 1) ** 0.25
    n = 1.60e-3 / (kv / mm**2) ** 2
    laminar = 0.026 / fl * (n * re) ** 0.5
    fr = min(laminar, 1.0) if re < 10 else min(1 + 0.33 * fl**0.5 / n**0.25 * np.log10(re / 1e4), laminar, 1.0)
    return kv * 0.1 * fr * (drop / 1e3 / (density / RHO0)) ** 0.5 / (3600 * flow) - 1, re


@pytest.mark.parametrize(("flow", "viscosity"), [(0.0213, 0.083), (0.031, 0.4), (0.0057, 0.031)])
def test_viscous_rows_solve_annex_a(flow, viscosity):
    kv, choked, fp, fr = liquid_kv(flow, 6.1e5, 5.3e5, 913.0, 2e3, 2e6, 0.62, viscosity, 0.55, 0.1, 0.15, 0.15)
    left, re = printed_viscous(float(kv), flow, 0.8e5, 913.0, viscosity, 0.62, 0.55, 0.1)
    assert re < 1e4
    assert abs(left) < 1e-9
    assert (float(fp), bool(choked)) == (1.0, False)
    assert fr < 1


def test_the_open_librarys_viscous_kv_is_no_solution_of_annex_a():
    """It returns 1.3 times the turbulent Kv (checks FL-L07 to L09, not used)."""
    theirs = library.size_control_valve_l(913.0, 2e3, 2e6, 0.4, 6.1e5, 5.3e5, 0.031, 0.1, 0.1, 0.1, 0.62, 0.55)
    assert abs(printed_viscous(theirs, 0.031, 0.8e5, 913.0, 0.4, 0.62, 0.55, 0.1)[0]) > 0.01


DUTY = {"p1": st.floats(3e5, 2e6), "share": st.floats(0.02, 0.98), "fl": st.floats(0.4, 0.98)}
LINE = {**WATER, "valve_bore": 0.15, "pipe_in": 0.2, "pipe_out": 0.25}


@given(**DUTY, q=st.floats(1e-3, 0.05), more=st.floats(1.001, 3))
def test_more_flow_needs_more_kv(p1, share, fl, q, more):
    kv = liquid_kv(np.array([q, q * more]), p1, p1 * share, **LINE, fl=fl)[0]
    assert np.isnan(kv[1]) or kv[1] > kv[0]


@given(**DUTY, lower=st.floats(0.1, 0.999))
def test_a_larger_drop_never_needs_more_kv(p1, share, fl, lower):
    kv = liquid_kv(0.01, p1, p1 * share * np.array([1, lower]), **LINE, fl=fl)[0]
    assert kv[1] <= kv[0] * (1 + 1e-12)


@given(**DUTY, wider=st.floats(1.01, 2))
def test_wider_pipes_never_need_less_kv(p1, share, fl, wider):
    kv = liquid_kv(0.02, p1, p1 * share, **WATER, fl=fl, valve_bore=0.1, pipe_in=0.1 * np.array([1, wider]), pipe_out=0.1)[0]
    assert np.isnan(kv[1]) or kv[1] >= kv[0] * (1 - 1e-12)


@given(**DUTY, q=st.floats(1e-4, 0.05), mu=st.floats(1e-4, 2.0))
def test_flow_and_kv_undo_each_other(p1, share, fl, q, mu):
    shared = {"p1": p1, "p2": p1 * share, **LINE, "fl": fl, "viscosity": mu, "fd": 0.5}
    kv = liquid_kv(q, **shared)[0]
    back = liquid_flow(kv, **shared)[0]
    assert np.isnan(kv) or back == pytest.approx(q, rel=1e-7)


@given(**DUTY, q=st.floats(1e-3, 1.0), times=st.floats(0.1, 10))
def test_kv_is_proportional_to_flow_and_to_the_root_of_density(p1, share, fl, q, times):
    kv = liquid_kv(q, p1, p1 * share, 900.0, 7e4, 2.2e7, fl)[0]
    assert liquid_kv(q * times, p1, p1 * share, 900.0, 7e4, 2.2e7, fl)[0] == pytest.approx(kv * times)
    assert liquid_kv(q, p1, p1 * share, 900.0 * times**2, 7e4, 2.2e7, fl)[0] == pytest.approx(kv * times)


def test_viscosity_has_no_jump_where_turbulence_begins():
    mu = np.geomspace(1e-2, 0.3, 400)
    kv, _, _, fr = liquid_kv(0.02, 5e5, 4.4e5, 900.0, 2e3, 3e6, 0.6, mu, 0.5, 0.1)
    assert fr.min() < 1 == fr.max()
    assert np.abs(np.diff(kv)).max() < 0.01 * kv[0]


def test_one_bad_row_leaves_the_others_alone_and_says_nothing_of_choking():
    p2 = np.array([220e3, 680e3, 220e3, 220e3, 220e3])
    pv = np.array([70.1e3, 70.1e3, 690e3, np.nan, 70.1e3])
    kv, choked, _, _ = liquid_kv(
        np.array([0.1, 0.1, 0.1, 0.1, 5.0]), 680e3, p2, 965.4, pv, 22120e3, 0.9, valve_bore=0.1, pipe_in=0.3, pipe_out=0.3
    )
    assert np.isnan(kv).tolist() == [False, True, True, True, True]  # the last: no Kv passes 18 000 m3/h through 100 mm
    assert choked.tolist()[1:] == [False] * 4


def test_an_unknown_optional_value_counts_as_line_size_and_turbulent():
    kv = liquid_kv(0.02, 5e5, 4e5, 998.0, 2e3, 2.2e7, 0.6, np.nan, 0.5, np.array([0.1, np.nan]), np.array([np.nan, 0.2]), 0.1)[0]
    np.testing.assert_allclose(kv, liquid_kv(0.02, 5e5, 4e5, 998.0, 2e3, 2.2e7, 0.6)[0])


def test_the_band_of_fl_is_a_leading_axis():
    fl = np.array([[0.5], [0.55], [0.6]])
    kv, choked, _, _ = liquid_kv(np.array([0.1, 0.2]), 6e5, 2e5, 998.0, 2e3, 2.2e7, fl)
    assert kv.shape == choked.shape == (3, 2)
    assert (np.diff(kv, axis=0) < 0).all()
