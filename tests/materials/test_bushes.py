import numpy as np
import pytest

from softseat import tables
from softseat.errors import UnknownName
from softseat.materials import bushes

KEYS = [row["key"] for row in tables.read("bushes")]


def test_friction_bands_are_ordered_and_positive():
    for wet in (True, False):
        low, best, high = bushes.friction(KEYS, wet)
        assert (low > 0).all()
        assert (low <= best).all()
        assert (best <= high).all()
        assert (high < 1).all()


def test_bronze_of_the_public_figures():
    """Bronze on stainless: 0.20 in NUREG-type papers, 0.25 the classic waterworks design figure: both inside the wet band."""
    low, best, high = bushes.friction("bronze_tin", True)
    assert low < 0.20 <= best + 1e-9
    assert best < 0.25 < high


def test_limits_and_what_attacks():
    """Acetal: 80 C wet, not in oxidisers; PTFE on stainless stands both (handbooks of plastics, from memory)."""
    found = bushes.limits(["POM", "PTFE_stainless", "none", "?"], True)
    assert found.t_max[:2] - 273.15 == pytest.approx([80, 150])
    assert np.isnan(found.t_max).tolist() == [False, False, True, True]
    assert bushes.attacked(["POM", "PTFE_stainless", "bronze_tin", "?"], "chlorine_hypochlorite").tolist() == [True, False, True, False]
    assert bushes.attacked(["bronze_tin", "PEEK"], "ammonia").tolist() == [True, False]
    assert bushes.attacked("POM", "water").tolist() is False
    with pytest.raises(UnknownName, match="known are water"):
        bushes.attacked("POM", "lava")


def test_wet_is_never_allowed_hotter_than_dry():
    wet, dry = (bushes.limits(KEYS, w).t_max for w in (True, False))
    both = ~np.isnan(wet) & ~np.isnan(dry)
    assert both.sum() > 10
    assert (wet[both] <= dry[both]).all()


def test_words_of_the_trade():
    assert bushes.bush_key("acetal") == "POM"
    assert bushes.bush_key("RG7") == "bronze_tin"
    assert bushes.friction(["acetal", "POM"], True)[1].tolist() == [0.18, 0.18]
    with pytest.raises(UnknownName, match="known are POM"):
        bushes.bush_key("jam")
