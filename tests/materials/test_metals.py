import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials import metals


# EN 10088-3 at elevated temperature, MPa (from memory): 1.4401 at 100 C 175, at 200 C 145; 1.4462 at 100 C 360, at 150 C 335
@pytest.mark.parametrize(
    ("steel", "celsius", "strength"), [("1.4401", 100, 175), ("1.4401", 200, 145), ("1.4462", 100, 360), ("1.4462", 150, 335)]
)
def test_proof_strength_in_heat(steel, celsius, strength):
    assert metals.shaft_yield(steel, celsius + 273.15) / 1e6 == pytest.approx(strength, rel=0.02)


def test_the_number_alone_takes_the_weakest_condition():
    assert metals.shaft_yield("1.4021") == 500e6
    assert metals.shaft_yield("1.4021 QT800") == 600e6
    with pytest.raises(UnknownName, match=r"known are 1\.4006"):
        metals.shaft_yield("butter")


@given(st.sampled_from([r["number"] for r in tables.read("shaft_materials")]), st.floats(233, 470), st.floats(0, 100))
def test_heat_never_strengthens(steel, t, more):
    cold, hot = metals.shaft_yields(steel, [t, t + more])
    assert np.isnan(hot) or hot <= cold


def test_one_bad_row_leaves_the_others_alone():
    found = metals.shaft_yields(["1.4401", "butter", "", "1.4462"], [300.0, 300.0, 300.0, 600.0])
    assert np.isnan(found).tolist() == [False, True, True, True]  # the table ends at 200 C


def test_pitting_number():
    """Closed form: 25 + 3.3 x 4 + 16 x 0.27; tungsten counts half of molybdenum."""
    assert metals.pren(0.25, 0.04, 0.0027) == pytest.approx(25 + 13.2 + 4.32)
    assert metals.pren(0.25, 0.03, 0.0027, 0.02) == pytest.approx(float(metals.pren(0.25, 0.04, 0.0027)))
    assert np.isnan(metals.pren([0.25, np.nan], 0.04, 0.0027)).tolist() == [False, True]


def test_bodies():
    """EN 1563: EN-GJS-400-15 has Rm 400, Rp0.2 250 MPa, A 15 %; EN 1561: grey iron is brittle."""
    iron = metals.body("GJS-400-15")
    assert (iron.tensile_strength, iron.yield_strength, iron.elongation) == (400e6, 250e6, pytest.approx(0.15))
    assert [metals.body(k).brittle for k in ("GJL-250", "GJS-400-15", "WCB")] == [True, False, False]
    assert metals.brittle_below(["GJL-250", "GJS-400-18-LT", "no such"])[:2] - 273.15 == pytest.approx([-10, -20])
    with pytest.raises(UnknownName, match="known are GJL-250"):
        metals.body("wood")


def test_every_shaft_steel_has_a_family_and_its_fall():
    families = {row["number"]: row["family"] for row in tables.read("shaft_families")}
    falls = {row["family"] for row in tables.read("yield_over_temperature")}
    assert {row["number"] for row in tables.read("shaft_materials")} == set(families)
    assert set(families.values()) == falls


def test_limits_are_the_printed_ones_in_kelvin():
    """Strength, limits and brittleness of every body as the table prints them; a range counts by its lower end."""
    seen = 0
    for row in tables.read("body_class"):
        found = metals.bodies()[row["key"]]
        for head, value in (("t_min_C", found.t_min), ("t_max_C", found.t_max)):
            printed = row[head].split(" ")[0]
            if printed.lstrip("-").isdigit():
                assert value == pytest.approx(float(printed) + 273.15), (row["key"], head)
                seen += head == "t_max_C"
        assert found.brittle == (row["brittle"].strip() == "yes")
    assert seen >= 3
