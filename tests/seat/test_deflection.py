import numpy as np
import pytest
import skfem
from hypothesis import given
from hypothesis import strategies as st
from skfem.helpers import dd, ddot, eye, trace

from softseat.seat.deflection import disc_deflection


@pytest.fixture(scope="module")
def half_disc():
    """Deflection at the rim of a half disc held along its diameter, over p R^4/D (Morley triangles, Poisson 0.3)."""
    nu = 0.3
    mesh = skfem.MeshTri.init_circle(5)
    mesh = mesh.restrict(np.flatnonzero((mesh.p[1][mesh.t] > -1e-9).all(axis=0)))
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=4)

    @skfem.BilinearForm
    def bend(u, v, _):
        return (1 - nu) * ddot(dd(u) + nu / (1 - nu) * eye(trace(dd(u)), 2), dd(v))

    @skfem.LinearForm
    def load(v, _):
        return 1.0 * v

    held = basis.get_dofs(mesh.facets_satisfying(lambda x: np.abs(x[1]) < 1e-9))
    w = skfem.solve(*skfem.condense(bend.assemble(basis), load.assemble(basis), D=held))
    return w[basis.nodal_dofs[0][np.argmax(mesh.p[1])]]


def test_deflection_against_finite_elements(half_disc):
    w, _ = disc_deflection(1e6, 0.3, 0.02, 1.7e11)
    assert w == pytest.approx(half_disc * 1e6 * 0.15**4 / (1.7e11 * 0.02**3 / (12 * 0.91)), rel=5e-3)


def test_a_strip_alone_bends_further():
    w, _ = disc_deflection(1e6, 0.3, 0.02, 1.7e11)
    assert w < 1e6 * 0.15**4 / (8 * 1.7e11 * 0.02**3 / (12 * 0.91))  # cantilever, closed form


@given(st.floats(0, 3e6), st.floats(0.01, 0.05))
def test_either_side_and_thinner_is_softer(p, h):
    w, loss = disc_deflection([p, -p], 0.4, h, 1.7e11, 3e-3)
    assert (w[0], loss[0]) == (w[1], loss[1])
    assert disc_deflection(p, 0.4, h * 1.1, 1.7e11, 3e-3)[1] <= loss[0]


def test_no_thickness_no_answer():
    assert np.isnan(disc_deflection(1e6, 0.3, [0.02, 0.0], 1.7e11)[0]).tolist() == [False, True]
