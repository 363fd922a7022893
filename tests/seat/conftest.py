"""Finite elements of the liner, independent of the formulas under test: plane strain, incompressible but for K/E = 364, bonded below."""

import felupe
import numpy as np
import pytest
import skfem
from scipy.sparse.linalg import spsolve
from skfem.helpers import ddot, div, sym_grad

BULK = 364.0  # over E
SHEAR = 1 / (2 * (1 + (3 * BULK - 1) / (6 * BULK)))  # G/E from K and E
LAME = BULK - 2 * SHEAR / 3


def _layer(x, y):
    """Stiffness of a mixed Q2/Q1 mesh, its displacement basis, and the unknowns held at the bonded face and at the middle plane."""
    mesh = skfem.MeshQuad.init_tensor(x, y)
    element = skfem.ElementVector(skfem.ElementQuad2())
    u = skfem.Basis(mesh, element, intorder=4)
    p = u.with_element(skfem.ElementQuad1())

    @skfem.BilinearForm
    def shear(a, b, _):
        return 2 * SHEAR * ddot(sym_grad(a), sym_grad(b))

    @skfem.BilinearForm
    def volume(a, q, _):
        return -div(a) * q

    @skfem.BilinearForm
    def squeeze(a, q, _):
        return -a * q / LAME

    b = volume.assemble(u, p)
    whole = skfem.bmat([[shear.assemble(u), b.T], [b, squeeze.assemble(p)]], "csc")
    bottom = u.get_dofs(mesh.facets_satisfying(lambda z: np.isclose(z[1], 0.0))).all()
    middle = u.get_dofs(mesh.facets_satisfying(lambda z: np.isclose(z[0], 0.0))).all("u^1")
    return whole, u, np.union1d(bottom, middle)


def _top(u, height):
    """Vertical unknowns of the top face, their places, and its one-dimensional mass matrix."""
    facets = u.mesh.facets_satisfying(lambda z: np.isclose(z[1], height))
    unknowns = u.get_dofs(facets).all("u^2")
    order = np.argsort(u.doflocs[0][unknowns])
    unknowns = unknowns[order]
    face = skfem.FacetBasis(u.mesh, u.elem, facets=facets, intorder=4)

    @skfem.BilinearForm
    def mass(a, b, _):
        return a[1] * b[1]

    return unknowns, u.doflocs[0][unknowns], mass.assemble(face).tocsr()[unknowns][:, unknowns]


@pytest.fixture(scope="session")
def bonded_strip():
    """Apparent modulus over E of a strip bonded on both faces, by its shape factor."""

    def modulus(shape, cells=24):
        half = shape  # S = w/(2 t) with t = 1, so the half width is S
        x = half * (1 - (1 - np.linspace(0, 1, cells + 1)) ** 1.6)
        whole, u, held = _layer(x, np.linspace(0, 1, cells + 1))
        top, _, _ = _top(u, 1.0)
        across = u.get_dofs(u.mesh.facets_satisfying(lambda z: np.isclose(z[1], 1.0))).all("u^1")
        state = np.zeros(whole.shape[0])
        state[top] = -0.01
        state = skfem.solve(*skfem.condense(whole, x=state, D=np.concatenate([held, top, across])))
        return -(whole @ state)[top].sum() / (half * 0.01)

    return modulus


@pytest.fixture(scope="session")
def pressed_layer():
    """Line load over E t, highest pressure over E, for a frictionless rigid edge pressed into a bonded layer (all over t)."""

    def press(radius, land, depth, cells=(90, 16), flat=False):
        reach = 1.2 * (land / 2 + np.sqrt(2 * radius * depth)) if not flat else 2 * land  # the punch ends on a node
        inner = np.linspace(0, reach, 2 * cells[0] // 3 + 1)
        outer = reach + (6 - reach) * np.linspace(0, 1, cells[0] // 3 + 1)[1:] ** 1.8
        whole, u, held = _layer(np.concatenate([inner, outer]), 1 - (1 - np.linspace(0, 1, cells[1] + 1)) ** 1.5)
        top, place, mass = _top(u, 1.0)
        gap = np.where(place <= land / 2, 0.0, np.inf if flat else np.square(place - land / 2) / (2 * radius))
        touching = depth - gap > 0
        for _ in range(60):
            state = np.zeros(whole.shape[0])
            state[top[touching]] = (gap - depth)[touching]
            state = skfem.solve(*skfem.condense(whole, x=state, D=np.concatenate([held, top[touching]])))
            force = -(whole @ state)[top]
            now = np.where(touching, force > 0, state[top] > gap - depth + 1e-12)
            if flat or (now == touching).all():
                break
            touching = now
        pressure = spsolve(mass.tocsc(), np.where(touching, force, 0.0))
        return 2 * force[touching].sum(), pressure[touching].max()

    return press


@pytest.fixture(scope="session")
def pressed_rubber():
    """Line load over E t of a round frictionless edge at finite strain: neo-Hooke, contact found in the deformed position."""

    def press(radius, depth, cells=(56, 14), steps=3):
        reach = 1.3 * np.sqrt(2 * radius * depth)
        outer = reach + (6 - reach) * np.linspace(0, 1, cells[0] // 3 + 1)[1:] ** 1.8
        mesh = felupe.Grid(np.concatenate([np.linspace(0, reach, 2 * cells[0] // 3 + 1), outer]), np.linspace(0, 1, cells[1] + 1))
        field = felupe.FieldContainer([felupe.FieldPlaneStrain(felupe.RegionQuad(mesh), dim=2)])
        solid = felupe.SolidBodyNearlyIncompressible(felupe.NeoHooke(mu=1 / 3), field, bulk=BULK)
        x, y = mesh.points.T
        top = np.flatnonzero(np.isclose(y, 1))
        bottom, middle = np.flatnonzero(np.isclose(y, 0)), np.flatnonzero(np.isclose(x, 0))
        held = np.unique(np.concatenate([2 * bottom, 2 * bottom + 1, 2 * middle]))
        touching = x[top] < np.sqrt(2 * radius * depth / steps)
        for down in depth * np.arange(1, steps + 1) / steps:
            for _ in range(30):
                before = field[0].values.copy()
                gap = np.square(x[top] + before[top, 0]) / (2 * radius)
                fixed, first = np.unique(np.concatenate([held, 2 * top[touching] + 1]), return_index=True)
                moved = np.concatenate([np.zeros(held.size), (gap - down)[touching]])[first]
                free = np.setdiff1d(np.arange(2 * x.size), fixed)
                felupe.newtonraphson(items=[solid], dof0=fixed, dof1=free, ext0=moved, verbose=0, tol=1e-8)
                force = -solid.assemble.vector(field).toarray().ravel()[2 * top + 1]
                after = field[0].values
                gap = np.square(x[top] + after[top, 0]) / (2 * radius)
                now = np.where(touching, force > 0, after[top, 1] > gap - down + 1e-10)
                settled = (now == touching).all() and np.abs(after - before).max() < 1e-7
                touching = now
                if settled:
                    break
        return 2 * force[touching].sum()

    return press
