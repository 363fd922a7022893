"""Gas sizing against the standard's equation itself, an open library, the liquid form, and what must hold of any flow."""

import fluids.control_valve as library
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.flow.gas import gas_flow, gas_kv
from softseat.flow.liquid import liquid_kv

CO2 = {"t1": 433.0, "molar_mass": 0.04401, "gamma": 1.3, "z": 0.988}  # IEC 60534-2-1, annex, CO2 examples


def residual(kv, flow, p1, p2, t1, molar_mass, gamma, z, xt, d, d1, d2, y_from_xt=False):
    """Equations 7 to 12, 15 and 22 of IEC 60534-2-1:2011 as printed (kPa, mm, m3/h at 0 °C), over the flow."""
    z1, z2 = 0.5 * (1 - (d / d1) ** 2) ** 2, (1 - (d / d2) ** 2) ** 2
    b1, b2 = 1 - (d / d1) ** 4, 1 - (d / d2) ** 4
    ratio2 = (kv / (1e3 * d) ** 2) ** 2
    fp = (1 + (z1 + z2 + b1 - b2) / 1.60e-3 * ratio2) ** -0.5
    xtp = xt / fp**2 / (1 + xt * (z1 + b1) / 1.80e-3 * ratio2)
    limit = gamma / 1.4 * xtp
    x = min(1 - p2 / p1, limit)
    y = 1 - x / (3 * limit)
    return kv * 24.6 * fp * p1 / 1e3 * y * (x / (1e3 * molar_mass * t1 * z)) ** 0.5 / (3600 * flow) - 1


def test_the_answer_solves_the_printed_equations_with_reducers():
    rng = np.random.default_rng(3)
    n = 2000
    p1 = rng.uniform(1.2e5, 25e5, n)
    duty = {
        "flow": rng.uniform(0.02, 2.0, n),
        "p1": p1,
        "p2": p1 * rng.uniform(0.05, 0.99, n),
        "t1": rng.uniform(250, 450, n),
        "molar_mass": rng.uniform(0.002, 0.07, n),
        "gamma": rng.uniform(1.08, 1.65, n),
        "z": rng.uniform(0.8, 1.05, n),
        "xt": rng.uniform(0.2, 0.8, n),
    }
    d = rng.uniform(0.04, 0.2, n)
    d1, d2 = d * rng.uniform(1, 2, n), d * rng.uniform(1, 2, n)
    kv, choked, _, _ = gas_kv(**duty, valve_bore=d, pipe_in=d1, pipe_out=d2)
    rows = [(k, *(float(v[i]) for v in duty.values()), d[i], d1[i], d2[i]) for i, k in enumerate(kv) if not np.isnan(k)]
    assert len(rows) > 1000
    assert choked.sum() > 100
    assert max(abs(residual(*row)) for row in rows) < 1e-9


def test_where_the_open_library_differs_with_reducers_the_standards_equation_decides():
    """It takes Y from xT instead of xTP (checks FL-G01, not used)."""
    duty = {"flow": 3800 / 3600, "p1": 680e3, "p2": 310e3, **CO2, "xt": 0.6}
    bores = {"d": 0.05, "d1": 0.08, "d2": 0.1}
    ours = float(gas_kv(**duty, valve_bore=0.05, pipe_in=0.08, pipe_out=0.1)[0])
    theirs = library.size_control_valve_g(433.0, 44.01, 1.4665e-4, 1.3, 0.988, 680e3, 310e3, 3800 / 3600, 0.08, 0.1, 0.05, 0.85, 0.42, 0.6)
    assert abs(residual(ours, **duty, **bores)) < 1e-9
    assert abs(residual(theirs, **duty, **bores)) > 0.01


def test_line_size_turbulent_rows_equal_the_open_library_over_a_grid():
    rng = np.random.default_rng(17)
    n = 300
    t1, m, gamma, z = rng.uniform(250, 450, n), rng.uniform(2, 70, n), rng.uniform(1.1, 1.65, n), rng.uniform(0.8, 1.05, n)
    p1 = rng.uniform(1.2e5, 25e5, n)
    p2, flow, xt = p1 * rng.uniform(0.05, 0.99, n), rng.uniform(0.01, 3, n), rng.uniform(0.2, 0.8, n)
    ours, choked, _, _ = gas_kv(flow=flow, p1=p1, p2=p2, t1=t1, molar_mass=m / 1e3, gamma=gamma, z=z, xt=xt)
    theirs = [
        library.size_control_valve_g(*row[:2], 1e-5, *row[2:7], xT=row[7]) for row in zip(t1, m, gamma, z, p1, p2, flow, xt, strict=True)
    ]
    assert 0 < choked.sum() < n
    np.testing.assert_allclose(ours, theirs, rtol=1e-9)


@pytest.mark.parametrize(("flow", "mu", "p2"), [(0.0121, 2.1e-5, 2.71e5), (0.004, 6e-5, 2.3e5), (2e-3, 9e-4, 2.75e5)])
def test_viscous_rows_solve_annex_a(flow, mu, p2):
    """Equations A.4 to A.6 as printed, N22 17.3, at the Kv that is found; small flows in a small valve."""
    p1, t1, m, gamma, z, xt, fl, fd, d = 2.8e5, 320.0, 39.95, 1.67, 1.0, 0.4, 0.7, 0.05, 0.04
    kv = float(
        gas_kv(flow=flow, p1=p1, p2=p2, t1=t1, molar_mass=m / 1e3, gamma=gamma, z=z, xt=xt, fl=fl, viscosity=mu, fd=fd, valve_bore=d)[0]
    )
    actual = 3600 * flow * 101325 / p1 * t1 / 273.15 * z
    nu = mu / (p1 * m / 1e3 / (8.314462618 * t1 * z))
    re = 7.07e-2 * fd * actual / (nu * (kv * fl) ** 0.5) * ((fl * kv) ** 2 / (1.60e-3 * (1e3 * d) ** 4) + 1) ** 0.25
    n, x = 1.60e-3 / (kv / (1e3 * d) ** 2) ** 2, 1 - p2 / p1
    fr = min(1 + 0.33 * fl**0.5 / n**0.25 * np.log10(re / 1e4), 0.026 / fl * (n * re) ** 0.5, 1.0)
    laminar, turbulent = (1 - x / 2) ** 0.5, 1 - min(x, gamma / 1.4 * xt) / (3 * gamma / 1.4 * xt)
    y = laminar + min(max((re - 1000) / 9000, 0), 1) * (turbulent - laminar)
    assert re < 1e4
    assert kv * 17.3 * fr * y * ((p1 - p2) * (p1 + p2) / 1e6 / (m * t1)) ** 0.5 == pytest.approx(3600 * flow, rel=1e-9)


LINE = {"valve_bore": 0.15, "pipe_in": 0.2, "pipe_out": 0.25}
DUTY = {"p1": st.floats(1.5e5, 2e6), "share": st.floats(0.05, 0.98), "xt": st.floats(0.2, 0.8)}


@given(**DUTY, q=st.floats(0.01, 1.0), more=st.floats(1.001, 3))
def test_more_flow_needs_more_kv(p1, share, xt, q, more):
    kv = gas_kv(flow=np.array([q, q * more]), p1=p1, p2=p1 * share, **CO2, xt=xt, **LINE)[0]
    assert np.isnan(kv[1]) or kv[1] > kv[0]


@given(**DUTY, lower=st.floats(0.1, 0.999))
def test_a_larger_drop_never_needs_more_kv(p1, share, xt, lower):
    kv = gas_kv(flow=0.2, p1=p1, p2=p1 * share * np.array([1, lower]), **CO2, xt=xt, **LINE)[0]
    assert np.isnan(kv[0]) or kv[1] <= kv[0] * (1 + 1e-9)


@given(**DUTY, q=st.floats(1e-4, 2.0), mu=st.floats(5e-6, 1e-3))
def test_flow_and_kv_undo_each_other(p1, share, xt, q, mu):
    shared = {"p1": p1, "p2": p1 * share, **CO2, "xt": xt, **LINE, "viscosity": mu, "fl": 0.6, "fd": 0.5}
    kv = gas_kv(flow=q, **shared)[0]
    assert np.isnan(kv) or gas_flow(kv, **shared)[0] == pytest.approx(q, rel=1e-6)


def test_a_small_drop_is_the_liquid_form():
    """N9 is printed as 24.6 where the liquid constants give 24.57: 0.13 %."""
    p1, drop, q, m, t1 = 4.2e5, 40.0, 0.31, 0.02897, 311.0
    density = p1 * m / (8.314462618 * t1)
    actual = q * 101325 / p1 * t1 / 273.15
    gas = gas_kv(flow=q, p1=p1, p2=p1 - drop, t1=t1, molar_mass=m, gamma=1.4, z=1.0, xt=0.35)[0]
    assert gas == pytest.approx(liquid_kv(actual, p1, p1 - drop, density, 0.0, 4e6, 0.6)[0], rel=1.5e-3)


def test_mass_flow_stands_in_where_the_volume_flow_is_not_known():
    q = 3800 / 3600
    shared = {"p1": 680e3, "p2": 450e3, **CO2, "xt": 0.6}
    both = gas_kv(flow=np.array([q, np.nan]), mass_flow=np.array([np.nan, q / 22.413969e-3 * 0.04401]), **shared)[0]
    np.testing.assert_allclose(both, gas_kv(flow=q, **shared)[0], rtol=1e-12)
    with pytest.raises(InputError, match="flow or mass_flow"):
        gas_kv(**shared)


def test_mass_flow_form_of_the_standard():
    """Equation 6, W = C N8 FP P1 Y sqrt(x M/(T1 Z1)), N8 printed as 1.10 where 24.6 gives 1.098."""
    kv, _, y, _ = gas_kv(mass_flow=2.0, p1=680e3, p2=450e3, **CO2, xt=0.6)
    x = 1 - 450 / 680
    assert kv * 1.10 * 680 * y * (x * 44.01 / (433 * 0.988)) ** 0.5 == pytest.approx(7200, rel=3e-3)


def test_one_bad_row_leaves_the_others_alone():
    p2 = np.array([450e3, 680e3, 450e3, -1.0])
    kv, choked, _, _ = gas_kv(flow=np.array([1.0, 1.0, np.nan, 1.0]), p1=680e3, p2=p2, **CO2, xt=0.6)
    assert np.isnan(kv).tolist() == [False, True, True, True]
    assert not choked.any()


def test_no_kv_passes_a_huge_flow_through_reducers():
    kv = gas_kv(flow=np.array([1.0, 100.0]), p1=680e3, p2=450e3, **CO2, xt=0.35, valve_bore=0.1, pipe_in=0.2, pipe_out=0.2)[0]
    assert np.isnan(kv).tolist() == [False, True]
