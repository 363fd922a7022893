import numpy as np
import pytest
import skfem
from hypothesis import given
from hypothesis import strategies as st
from skfem.helpers import dot, grad

from softseat.errors import UnknownName
from softseat.torque.shaft import bush_pressure, greatest_shear, shaft_stress, shear_retention, square_torsion, thrust, yield_at

CASE = {"torque": 480.0, "difference": 1e6, "disc_diameter": 0.3, "shaft_diameter": 0.036, "span": 0.34, "yield_strength": 6e8}


def test_torsion_closed_form():
    torsion, *_ = shaft_stress(**CASE)
    assert torsion == pytest.approx(480 * 0.018 / (np.pi * 0.036**4 / 32))  # T r/J


def test_bending_of_the_stubs_and_of_a_bare_shaft():
    """Cantilever with half the load; and the moment of the elliptic load by quadrature of a simply supported beam."""
    load = np.pi / 4 * 0.09 * 1e6
    section = np.pi * 0.036**3 / 32
    assert shaft_stress(**CASE)[1] == pytest.approx(load / 2 * 0.02 / section)
    x = np.linspace(0, 0.15, 400001)
    moment = load / 2 * 0.17 - np.trapezoid(2 * 1e6 * np.sqrt(0.15**2 - x * x) * x, x)
    assert shaft_stress(**CASE, bare=True)[1] == pytest.approx(moment / section, rel=1e-6)


def test_von_mises_and_use():
    torsion, bending, combined, use = shaft_stress(**CASE)
    stress = np.array([[bending, torsion, 0], [torsion, 0, 0], [0, 0, 0]])
    part = stress - np.trace(stress) / 3 * np.eye(3)
    assert combined == pytest.approx(np.sqrt(1.5 * (part * part).sum()))
    assert use == pytest.approx(combined / 6e8)
    principal = np.linalg.eigvalsh(stress)
    assert greatest_shear(torsion, bending) == pytest.approx((principal[-1] - principal[0]) / 2)


@pytest.fixture(scope="module")
def square():
    """Torque and greatest shear of a twisted square bar of side 1, G theta = 1 (Prandtl's stress function, quadratic quadrilaterals)."""
    mesh = skfem.MeshQuad.init_tensor(np.linspace(-0.5, 0.5, 33), np.linspace(-0.5, 0.5, 33))
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    stiff = skfem.BilinearForm(lambda u, v, _: dot(grad(u), grad(v))).assemble(basis)
    load = skfem.LinearForm(lambda v, _: 2.0 * v).assemble(basis)
    phi = skfem.solve(*skfem.condense(stiff, load, D=basis.get_dofs()))
    edge = skfem.FacetBasis(mesh, skfem.ElementQuad2(), facets=mesh.facets_satisfying(lambda x: np.isclose(x[0], 0.5)))
    return 2 * (skfem.LinearForm(lambda v, _: v).assemble(basis) @ phi), np.abs(edge.interpolate(phi).grad[0]).max()


def test_square_against_finite_elements_and_timoshenkos_series(square):
    torque, shear = square
    assert square_torsion(torque, 1.0) == pytest.approx(shear, rel=2e-3)
    odd = np.arange(1, 60, 2)
    k = 1 - 8 / np.pi**2 * (1 / (odd**2 * np.cosh(odd * np.pi / 2))).sum()  # tau = k G theta a
    k1 = (1 - 192 / np.pi**5 * (np.tanh(odd * np.pi / 2) / odd**5).sum()) / 3  # T = k1 G theta a^4
    assert 1 / square_torsion(1.0, 1.0) == pytest.approx(k1 / k, abs=5e-4)  # printed 0.208


@given(st.floats(0, 2e3), st.floats(0, 2e6), st.floats(0, 1))
def test_more_load_is_more_use(torque, p, more):
    args = (0.3, 0.036, 0.34, 6e8)
    use = shaft_stress([torque, torque * (1 + more)], [p, p * (1 + more)], *args)[3]
    assert use[0] <= use[1]
    assert shaft_stress(torque, -p, *args)[3] == use[0]


def test_a_span_shorter_than_the_disc_is_refused_in_its_row_alone():
    *_, use = shaft_stress(480.0, 1e6, 0.3, 0.036, [0.34, 0.29, np.nan], 6e8)
    assert np.isnan(use).tolist() == [False, True, True]


def test_forces_on_bush_and_retention():
    assert bush_pressure(1e6, 0.3, 0.036, 0.04) == pytest.approx(np.pi * 0.15**2 * 1e6 / 2 / (0.036 * 0.04))
    assert thrust(1e6, 0.036) == pytest.approx(1e6 * np.pi * 0.018**2)
    assert shear_retention(0.034, 2e-3, 2e8) == pytest.approx(np.pi * 0.034 * 2e-3 * 2e8 * 3**-0.5)


def test_hot_strength_only_falls_and_ends_with_its_table():
    proof = yield_at("1.4401", "AT", [263.15, 293.15, 353.15, 453.15, 474.0])
    assert proof[0] == proof[1] == pytest.approx(200e6)  # EN 10088-3, minimum at room temperature
    assert (np.diff(proof[1:4]) < 0).all()
    assert np.isnan(proof[4])
    with pytest.raises(UnknownName, match=r"1\.4462 AT"):
        yield_at("1.4462", "QT", 300.0)
