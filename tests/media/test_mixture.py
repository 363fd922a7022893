import CoolProp.CoolProp as reference
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError
from softseat.media import gases, mixture


def test_biogas_against_the_mixture_model_of_a_reference_library():
    """Kay's rule for 60 % methane and 40 % carbon dioxide: within 1 % of density to 10 bar."""
    biogas = mixture.of("methane:0.60 carbon_dioxide:0.40")
    assert biogas.molar_mass == pytest.approx(0.6 * 16.0428e-3 + 0.4 * 44.0098e-3, rel=1e-5)
    for t, p in ((283.0, 1.1e5), (308.0, 4.3e5), (331.0, 9.7e5)):
        rho = reference.PropsSI("D", "T", t, "P", p, "HEOS::Methane[0.6]&CarbonDioxide[0.4]")
        assert gases.density(biogas, t, p) == pytest.approx(rho, rel=0.01)


def test_air_is_its_parts():
    """Nitrogen 0.7809, oxygen 0.2096, argon 0.0093 (dry air): the row of air again."""
    parts, air = mixture.of("nitrogen:0.7812 oxygen:0.2096 argon:0.0092"), gases.gas("air")
    assert parts.molar_mass == pytest.approx(air.molar_mass, rel=3e-4)
    assert gases.density(parts, 300.0, 8e5) == pytest.approx(gases.density(air, 300.0, 8e5), rel=1e-3)
    assert gases.ideal_gamma(parts, 300.0) == pytest.approx(gases.ideal_gamma(air, 300.0), abs=1e-3)
    assert gases.viscosity(parts, 300.0) == pytest.approx(gases.viscosity(air, 300.0), rel=0.02)


@given(st.floats(0.0, 1.0), st.floats(270, 400))
def test_a_mixture_lies_between_its_parts(x, t):
    a, b = gases.gas("methane"), gases.gas("nitrogen")
    both = mixture.mixture({"methane": x, "nitrogen": 1 - x})
    assert min(a.molar_mass, b.molar_mass) <= both.molar_mass * (1 + 1e-12)
    assert both.molar_mass <= max(a.molar_mass, b.molar_mass) * (1 + 1e-12)
    low, high = sorted(float(gases.viscosity(g, t)) for g in (a, b))
    assert low * 0.98 <= gases.viscosity(both, t) <= high * 1.02


def test_viscosity_is_weighted_with_the_root_of_the_molar_mass():
    """Herning and Zipperer by hand for two unlike gases: hydrogen 8.797 and carbon dioxide 14.675 uPa s at 20 C."""
    h, c = 2.0159**0.5, 44.0098**0.5
    by_hand = (0.5 * 8.797 * h + 0.5 * 14.675 * c) / (0.5 * h + 0.5 * c)
    both = mixture.mixture({"hydrogen": 0.5, "carbon_dioxide": 0.5})
    assert gases.viscosity(both, 293.15) * 1e6 == pytest.approx(by_hand, rel=1e-4)


def test_shares_must_add_up():
    with pytest.raises(InputError, match=r"0\.900"):
        mixture.mixture({"methane": 0.5, "carbon_dioxide": 0.4})
