import CoolProp.CoolProp as reference
import numpy as np
import pytest

from softseat.errors import UnknownName
from softseat.media import fluids


def test_a_state_on_the_other_side_of_saturation_is_taken_at_saturation():
    """Ammonia at 20 C boils at 8.575 bar: as a liquid at 5 bar the saturated liquid, as a gas at 12 bar the saturated vapour."""
    rho_l, rho_v = (reference.PropsSI("D", "T", 293.15, "Q", q, "Ammonia") for q in (0, 1))
    assert fluids.properties("Ammonia", 293.15, 5e5, "liquid").density == pytest.approx(rho_l, rel=1e-12)
    assert fluids.properties("Ammonia", 293.15, 12e5, "gas").density == pytest.approx(rho_v, rel=1e-12)
    assert fluids.properties("Ammonia", 293.15, 12e5, "liquid").density > rho_l


def test_r134a_of_the_equation():
    """Saturation at 20 C: 0.57171 MPa, 1225.3 kg/m3 (Tillner-Roth and Baehr 1994, printed in refrigerant tables)."""
    found = fluids.properties("R134a", [293.15, np.nan], [5.72e5, 5.72e5])
    assert found.pv[0] == pytest.approx(0.57171e6, rel=1e-4)
    assert found.density[0] == pytest.approx(1225.3, abs=0.06)
    assert np.isnan(found.density).tolist() == [False, True]
    assert fluids.saturation_temperature("R134a", 0.57171e6) == pytest.approx(293.15, abs=0.01)


def test_an_incompressible_mixture_of_the_library():
    assert fluids.properties("INCOMP::MEG[0.35]", 263.15, 3e5).density == pytest.approx(1057, abs=3)  # 35 % glycol at -10 C


def test_equal_states_are_computed_once_and_a_wrong_name_is_a_mistake():
    t = np.full((2, 500), 300.0)
    assert fluids.properties("Toluene", t, 3e5).density.shape == (2, 500)
    with pytest.raises(UnknownName, match="phlogiston"):
        fluids.properties("phlogiston", 300.0, 1e5)
