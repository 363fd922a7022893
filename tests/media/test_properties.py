import subprocess
import sys

import CoolProp.CoolProp as reference
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat import tables
from softseat.media.properties import NAMES, properties

ID = {row["medium"]: int(row["id"]) for row in tables.read("media")}
NAN = float("nan")


def of(medium, t, p, concentration=NAN, state=""):
    return properties(ID[medium], t, p, concentration, state)


def test_every_medium_has_a_model_and_says_on_what_it_rests():
    assert [int(r["medium_id"]) for r in tables.read("fluid_properties")] == sorted(ID.values())
    found = properties(np.array(list(ID.values())), 298.15, 3e5)
    assert (found["source"] != "").all()
    assert (found["state"] != "").all()


def test_most_liquids_have_density_viscosity_and_vapour_pressure():
    liquids = np.array([int(r["id"]) for r in tables.read("media") if r["phase"] == "liquid"])
    temperature = np.array(
        [float(r["t_min_C"]) / 2 + float(r["t_max_C"]) / 2 + 273.15 for r in tables.read("media") if r["phase"] == "liquid"]
    )
    found = properties(liquids, temperature, 5e5)
    for name, share in (("density", 0.99), ("pv", 0.99), ("viscosity", 0.97), ("pc", 0.97)):
        assert np.mean(~np.isnan(found[name])) > share, name
    density = found["density"][~np.isnan(found["density"])]
    assert density.min() > 550
    assert density.max() < 1900


# Handbook densities at 20 C, printed to the digit shown (organics: CRC handbook; oils: usual product)
@pytest.mark.parametrize(
    ("medium", "density", "digit"),
    [
        ("acetone", 791, 2),
        ("toluene", 867, 2),
        ("methanol", 792, 2),
        ("aniline", 1022, 3),
        ("glycerol", 1238, 12),
        ("milk", 1031, 3),
        ("carbon tetrachloride", 1594, 3),
    ],
)
def test_densities_of_the_handbook(medium, density, digit):
    assert of(medium, 293.15, 3e5)["density"][0] == pytest.approx(density, abs=digit)


@pytest.mark.parametrize(
    ("medium", "name"),
    [
        ("benzene", "Benzene"),
        ("toluene", "Toluene"),
        ("n-hexane", "n-Hexane"),
        ("cyclohexane", "CycloHexane"),
        ("acetone", "Acetone"),
        ("methanol", "Methanol"),
        ("ethylene dichloride", "Dichloroethane"),
    ],
)
def test_organic_liquids_against_reference_equations(medium, name):
    for t in (287.0, 305.0, 318.0):
        found = of(medium, t, 5e5)
        assert found["density"][0] == pytest.approx(reference.PropsSI("D", "T", t, "P", 5e5, name), rel=0.01)
        assert found["pv"][0] == pytest.approx(reference.PropsSI("P", "T", t, "Q", 0, name), rel=0.16 if name == "Methanol" else 0.05)
        if name in ("Benzene", "Toluene", "n-Hexane", "Methanol"):
            assert found["viscosity"][0] == pytest.approx(reference.PropsSI("V", "T", t, "P", 5e5, name), rel=0.06)
    assert found["boiling"][0] == pytest.approx(reference.PropsSI("T", "P", 101325, "Q", 0, name), abs=0.6)
    assert found["pc"][0] == pytest.approx(reference.PropsSI("PCRIT", name), rel=0.02)


def test_water_as_liquid_and_as_steam():
    found = of("service / process / irrigation water", [293.15, 423.15], [5e5, 2e5], NAN, ["", "steam"])
    assert found["state"].tolist() == ["liquid", "steam"]
    assert found["density"] == pytest.approx([998.4, 1.04], abs=0.05)  # steam tables: 998.39 at 5 bar, 1/0.9599 at 2 bar 150 C
    assert np.isnan(found["gamma"]).tolist() == [True, False]
    assert found["pv"][0] == pytest.approx(2339, abs=1)


def test_steam_that_would_be_water_is_taken_as_saturated():
    wet = of("steam, saturated", 393.15, 5e5)
    assert wet["density"][0] == pytest.approx(1.1221, abs=5e-4)  # saturated steam at 120 C: 0.8912 m3/kg


def test_gases_and_mixtures():
    air = of("compressed air, dry oil-free", 293.15, 101325)
    assert (air["state"][0], air["molar_mass"][0]) == ("gas", pytest.approx(28.9655e-3))
    assert air["density"][0] == pytest.approx(1.2041, abs=5e-4)  # dry air at 20 C, ideal 1.2041
    raw = of("biogas, raw", 293.15, 101325)
    assert raw["molar_mass"][0] == pytest.approx(27.23e-3, abs=2e-5)
    assert "assumed" in raw["source"][0]


def test_a_refrigerant_by_the_reference_library():
    liquid = of("ammonia, anhydrous liquid", [283.15, NAN], 6.2e5)
    assert liquid["density"][0] == pytest.approx(624.6, abs=0.6)  # saturated liquid at 10 C, from memory of ammonia tables: 624.6
    assert np.isnan(liquid["density"][1])


def test_strength_moves_the_density():
    weak, middle, strong = of("sulphuric acid 10-50 %", 293.15, 3e5, [0.2, NAN, 0.4])["density"]
    assert (weak, strong) == (pytest.approx(1139, abs=6), pytest.approx(1303, abs=6))
    assert weak < middle < strong
    assert of("brine, CaCl2", 243.15, 3e5)["density"][0] > 1200  # the usual strength, colder than water can be


def test_unknown_media_are_nothing_and_the_others_go_on():
    found = properties([NAN, ID["sea water"], 9999.0, -1.0], 300.0, 3e5)
    assert [s != "" for s in found["source"]] == [False, True, False, False]
    assert np.isnan(found["density"]).tolist() == [True, False, True, True]
    assert all(found[name].shape == (4,) for name in NAMES)


def test_a_dose_in_ppm_does_not_freshen_the_sea():
    assert of("sea water", 300.0, 3e5, 2e-6)["density"][0] == of("sea water", 300.0, 3e5)["density"][0]


@given(
    st.sampled_from([n for n, i in ID.items() if i not in (13, 52, 114, 177, 274, 275, 299, 300, 304, 305, 306)]),
    st.floats(283, 323),
    st.floats(1, 15),
)
def test_warmer_is_never_denser_or_thicker_for_a_liquid(medium, t, more):
    found = properties([ID[medium]] * 2, [t, t + more], 30e5)
    if found["state"][0] in ("liquid", "slurry"):
        for name in ("density", "viscosity"):
            cold, warm = found[name]
            assert np.isnan(cold) or np.isnan(warm) or warm <= cold * (1 + 1e-9)
        cold, warm = found["pv"]
        assert np.isnan(cold) or warm >= cold


def test_everyday_media_need_no_reference_library():
    code = (
        "import sys; from softseat.media.names import find; from softseat.media.properties import properties;"
        "[properties(find(w).medium_id, 300.0, 3e5) for w in ('sea water', 'air', 'NaOH 20%', 'diesel', 'biogas', 'milk')];"
        "assert 'CoolProp' not in sys.modules and 'scipy' not in sys.modules"
    )
    subprocess.run(
        [sys.executable, "-c", code], check=True, env={"PYTHONPATH": "src"}, cwd=str(__import__("pathlib").Path(__file__).parents[2])
    )
