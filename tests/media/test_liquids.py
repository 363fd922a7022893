"""Few-figure liquids against the incompressible liquids and reference equations of CoolProp, and closed forms."""

import CoolProp.CoolProp as reference
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.media import liquids


def from_library(output, key, share, t):
    return reference.PropsSI(output, "T", t, "P", 1e6, f"INCOMP::{key}[{share}]")


@pytest.mark.parametrize(
    ("key", "there", "shares"),
    [
        ("ethylene_glycol", "MEG", (0.25, 0.40, 0.50)),
        ("propylene_glycol", "MPG", (0.30, 0.50)),
        ("ethanol", "MEA", (0.20, 0.40)),
        ("sodium_chloride", "MNA", (0.10, 0.20)),
        ("calcium_chloride", "MCA", (0.10, 0.20, 0.28)),
    ],
)
def test_density_of_solutions_against_a_reference_library(key, there, shares):
    """The table is from memory, to half a per cent; over temperature 1.5 %."""
    for share in shares:
        assert liquids.solution(key, share, 293.15)[0] == pytest.approx(from_library("D", there, share, 293.15), rel=0.006)
        for t in (275.0, 312.0):
            assert liquids.solution(key, share, t)[0] == pytest.approx(from_library("D", there, share, t), rel=0.015)


@pytest.mark.parametrize(
    ("key", "there", "share"),
    [
        ("ethylene_glycol", "MEG", 0.40),
        ("propylene_glycol", "MPG", 0.40),
        ("sodium_chloride", "MNA", 0.15),
        ("calcium_chloride", "MCA", 0.20),
    ],
)
def test_viscosity_of_solutions_against_a_reference_library(key, there, share):
    for t in (270.0, 293.15, 310.0):
        assert liquids.solution(key, share, t)[1] == pytest.approx(from_library("V", there, share, t), rel=0.25 if t > 280 else 0.30)


# Density at 20 C printed in handbook tables of aqueous solutions (from memory, g/cm3)
@pytest.mark.parametrize(
    ("key", "share", "density"),
    [
        ("sulphuric", 0.98, 1.836),
        ("caustic", 0.50, 1.525),
        ("hydrochloric", 0.36, 1.179),
        ("phosphoric", 0.75, 1.579),
        ("nitric", 0.53, 1.328),
        ("glycerol", 0.80, 1.208),
    ],
)
def test_handbook_densities(key, share, density):
    assert liquids.solution(key, share, 293.15)[0] * 1e-3 == pytest.approx(density, rel=5e-3)


@pytest.mark.parametrize("name", ["Acetone", "Toluene", "Methanol", "n-Hexane", "CycloHexane"])
def test_vapour_pressure_against_a_reference_equation(name):
    """Lee and Kesler through boiling and critical point: 4 % (methanol, which associates: 15 %)."""
    tb = reference.PropsSI("T", "P", 101325, "Q", 0, name)
    tc, pc = reference.PropsSI("TCRIT", name), reference.PropsSI("PCRIT", name)
    for t in (293.15, tb - 15, tb + 25):
        expected = reference.PropsSI("P", "T", t, "Q", 0, name)
        assert liquids.vapour_pressure_at(tb, tc, pc, t) == pytest.approx(expected, rel=0.15 if name == "Methanol" else 0.04)
    assert liquids.vapour_pressure_at(tb, np.nan, np.nan, tb) == pytest.approx(101325)
    assert liquids.vapour_pressure_at(tb, tc, pc, [tb, tc]) == pytest.approx(np.array([101325, pc]), rel=2e-3)


@given(st.floats(1e-4, 10), st.floats(1.1, 20))
def test_the_viscosity_line_goes_through_its_two_points(thick, factor):
    assert liquids.viscosity_at(thick, thick / factor, np.array([293.15, 333.15])) == pytest.approx(
        np.array([thick, thick / factor]), rel=1e-9
    )
    way = (1 / 293.15 - 1 / 313.15) / (1 / 293.15 - 1 / 333.15)
    assert liquids.viscosity_at(thick, thick / factor, 313.15) == pytest.approx(thick / factor**way, rel=1e-9)


@given(
    st.sampled_from(sorted({r["key"] for r in tables.read("solutions")} - {"ethanol", "ammonia_water"})),
    st.floats(0, 0.3),
    st.floats(0.005, 0.05),
)
def test_stronger_is_denser(key, share, more):
    """All but ethanol and ammonia, which are lighter than water."""
    weak, strong = (liquids.solution(key, x, 293.15)[0] for x in (share, share + more))
    assert np.isnan(strong) or strong > weak


def test_water_is_the_zero_of_every_solution():
    for key in {r["key"] for r in tables.read("solutions")}:
        density, viscosity, pv = liquids.solution(key, 0.0, 293.15)
        assert (density, viscosity * 1e3, pv) == (pytest.approx(998.2, abs=0.6), pytest.approx(1.0, abs=0.01), pytest.approx(2339, abs=1))


def test_one_bad_row_leaves_the_others_alone():
    density = liquids.solution("caustic", [0.2, np.nan, 0.7, 0.2], [293.15, 293.15, 293.15, np.nan])[0]
    assert np.isnan(density).tolist() == [False, True, True, True]
