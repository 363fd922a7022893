"""Velocity, Mach number, slurry: closed forms, and CoolProp for the speed of sound."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from softseat.flow.slurry import deposit_velocity, slurry_density, wears
from softseat.flow.velocity import gas_velocity, momentum_flux, velocity


@given(st.floats(1e-4, 10), st.floats(0.02, 2))
def test_velocity_times_area_is_the_flow(flow, bore):
    assert velocity(flow, bore) * np.pi * bore**2 / 4 == pytest.approx(flow)


def test_mach_of_air_with_the_speed_of_sound_of_coolprop():
    v, mach = gas_velocity(1.3, 3.1e5, 305.0, 0.9995, 0.0289586, 1.4, 0.16)
    assert v / mach == pytest.approx(PropsSI("speed_of_sound", "T", 305.0, "P", 3.1e5, "Air"), rel=2e-3)
    assert v == pytest.approx(
        1.3 * PropsSI("D", "T", 273.15, "P", 101325, "Air") / PropsSI("D", "T", 305.0, "P", 3.1e5, "Air") * 4 / (np.pi * 0.16**2), rel=1e-3
    )


def test_rho_v2():
    assert momentum_flux(998.0, [3.0, np.nan]).tolist()[0] == 8982.0


@given(st.floats(0, 1), st.floats(1500, 5000))
def test_slurry_density_lies_between_its_parts_and_masses_add(share, solid):
    mix, volume = slurry_density(share, solid, 998.0)
    assert mix >= 998.0 * (1 - 1e-12)
    assert mix <= solid * (1 + 1e-12)
    assert mix == pytest.approx(volume * solid + (1 - volume) * 998.0)


def test_deposit_velocity_by_durands_form():
    """F_L sqrt(2 g D (s - 1)) by hand: sand in water, 150 mm, F_L 1.1: 1.1 sqrt(2 x 9.80665 x 0.15 x 1.65)."""
    assert deposit_velocity(0.15, 2650.0, 1000.0, 1.1) == pytest.approx(1.1 * 4.85429**0.5, rel=1e-5)
    assert np.isnan(deposit_velocity([0.15, np.nan, 0.15], [2650, 2650, 900.0], 1000.0, 1.0)).tolist() == [False, True, True]


def test_solids_wear_by_the_limits_that_are_given():
    limits = {"coarse": 100e-6, "share": 0.10, "hard": 5, "size_share": 5e-6}
    d50, solids = np.array([200e-6, 200e-6, 50e-6, 200e-6]), np.array([0.2, 0.05, 0.2, 0.01])
    assert wears(d50, solids, np.array([3, 6, np.nan, 6]), **limits).tolist() == [True, True, True, False]
    assert not wears(200e-6, 0.05, 3, **limits)
