"""Sea water against TEOS-10 (another equation, another library) and the check values of EOS-80."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.media import seawater, water

ATMOSPHERE = 101325.0


# UNESCO technical paper 44 (1983), check values of the equation of state: S = 35, p = 0; practical salinity 35 is 35.165 g/kg.
# The correlation itself claims 0.1 %.
@pytest.mark.parametrize(("celsius", "density"), [(5.0, 1027.67547), (25.0, 1023.34306)])
def test_density_of_the_equation_of_state(celsius, density):
    assert seawater.density(celsius + 273.15, ATMOSPHERE, 0.035165) == pytest.approx(density, rel=1e-3)


def test_cold_density_to_a_hundredth_of_a_per_cent():
    """Near the freezing point the salt terms and TEOS-10 agree best: an error of the salt terms is felt here."""
    for salinity in (10.0, 35.0, 70.0):
        assert seawater.density(274.15, ATMOSPHERE, salinity / 1e3) == pytest.approx(gsw.rho_t_exact(salinity, 1.0, 0), rel=1e-4)


def test_density_and_sound_over_a_grid_of_teos_10():
    for salinity in (5.0, 20.0, 36.0, 42.0):
        for celsius in (1.0, 13.0, 27.0, 39.0):
            t, s = celsius + 273.15, salinity / 1e3
            assert seawater.density(t, ATMOSPHERE, s) == pytest.approx(gsw.rho_t_exact(salinity, celsius, 0), rel=7e-4)
            assert seawater.sound_speed(t, ATMOSPHERE, s) == pytest.approx(gsw.sound_speed_t_exact(salinity, celsius, 0), abs=3.5)


def test_vapour_pressure_against_the_activity_of_water_of_teos_10():
    """Activity from the chemical potential; Raoult's law leaves a third of a per cent."""
    for salinity in (10.0, 36.0, 70.0):
        for celsius in (5.0, 25.0, 39.0):
            salt, fresh = (gsw.chem_potential_water_t_exact(s, celsius, 0) for s in (salinity, 0.0))
            activity = np.exp((salt - fresh) * 1e3 / (water.GAS_CONSTANT * (celsius + 273.15)))
            ours = seawater.vapour_pressure(celsius + 273.15, salinity / 1e3) / water.saturation_pressure(celsius + 273.15)
            assert ours == pytest.approx(activity, rel=4e-3)


def test_the_towing_tank_figures():
    """ITTC 7.5-02-01-03 (2011), sea water at 15 C: 1026.02 kg/m3 and 1.220 mPa s (from memory)."""
    assert seawater.density(288.15, ATMOSPHERE, 0.03516) == pytest.approx(1026.02, rel=7e-4)
    assert seawater.viscosity(288.15, ATMOSPHERE, 0.03516) * 1e3 == pytest.approx(1.220, abs=0.005)


@given(st.floats(0, 0.11), st.floats(0.001, 0.01), st.floats(275, 350))
def test_more_salt_is_denser_thicker_and_boils_later(s, more, t):
    a, b = ((seawater.density(t, 1e6, x), seawater.viscosity(t, 1e6, x), -seawater.vapour_pressure(t, x)) for x in (s, min(s + more, 0.12)))
    assert all(one < other for one, other in zip(a, b, strict=True))


def test_without_salt_it_is_water_and_outside_it_is_nothing():
    assert seawater.density(300.0, 1e6, 0.0) == water.liquid(300.0, 1e6).density
    assert np.isnan(seawater.density([300.0, 300.0, 400.0], 1e6, [0.035, 0.2, 0.035])).tolist() == [False, True, True]
    assert np.isnan(seawater.vapour_pressure([300.0, np.nan], 0.035)).tolist() == [False, True]
