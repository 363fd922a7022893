"""Loss models: printed values are in the checks; here the links between independent ones."""

import numpy as np
import pytest
from fluids.fittings import K_butterfly_valve_Crane
from scipy.interpolate import PchipInterpolator

from softseat.errors import InputError
from softseat.flow.interpolation import monotone
from softseat.flow.losses import LOSS_MODELS, butterfly_loss, rough_friction, trim_coefficients


def test_weisbachs_series_and_idelchiks_form_agree_within_5_percent_from_25_to_50_deg():
    at = np.arange(25, 51, 5.0)
    np.testing.assert_allclose(butterfly_loss(at, "idelchik"), butterfly_loss(at, "weisbach"), rtol=0.05)


def test_the_thin_plate_theory_lands_on_weisbach_from_25_to_50_deg():
    """Independent of the series: free streamlines with mixing behind; within 15 %."""
    at = np.arange(25, 51, 5.0)
    np.testing.assert_allclose(butterfly_loss(at, "theory"), butterfly_loss(at, "weisbach"), rtol=0.15)


@pytest.mark.parametrize("bore", [0.0525, 0.1023, 0.2027, 0.3032, 0.4778, 0.5747])
def test_crane_equals_the_open_library(bore):
    """Its fT is a fit of the same formula, within 1 %."""
    assert butterfly_loss(90, "crane", bore=bore) == pytest.approx(K_butterfly_valve_Crane(D=bore, style=0), rel=0.01)


def test_friction_of_rough_pipe_as_crane_prints_it():
    """Crane TP-410, A-26, from memory: 2, 4, 8, 12, 18 in: 0.019, 0.016 (0.017 in older prints), 0.014, 0.013, 0.012."""
    got = rough_friction(np.array([52.5, 102.3, 202.7, 303.2, 428.7]) / 1e3)
    assert got == pytest.approx([0.019, 0.016, 0.014, 0.013, 0.012], abs=5.1e-4)


@pytest.mark.parametrize("model", LOSS_MODELS)
def test_a_more_open_disc_never_loses_more(model):
    k = butterfly_loss(np.linspace(0, 90, 181), model, bore=0.2)
    known = k[~np.isnan(k)]
    assert known.size
    assert (np.diff(known) < 0).all()


def test_outside_of_the_printed_range_there_is_no_value():
    assert np.isnan(butterfly_loss([10, 20, 85, 90], "weisbach")).tolist() == [True, False, False, True]
    assert np.isnan(butterfly_loss([89, 90, 90], "crane", bore=[0.1, 0.1, np.nan])).tolist() == [True, False, True]


def test_idelchiks_viscous_form_turns_into_the_turbulent_one():
    assert butterfly_loss(50, "idelchik", reynolds=1e9) == pytest.approx(butterfly_loss(50, "idelchik"), rel=1e-5)
    assert butterfly_loss(50, "idelchik", reynolds=200.0) > butterfly_loss(50, "idelchik")


def test_unknown_words_say_what_is_allowed():
    for call in (
        lambda: butterfly_loss(50, "nobody"),
        lambda: butterfly_loss(90, "crane", bore=0.1, style="x"),
        lambda: trim_coefficients("x"),
    ):
        with pytest.raises(InputError, match="allowed are"):
            call()


def test_the_monotone_curve_equals_the_one_of_scipy():
    rng = np.random.default_rng(1)
    for size in (3, 5, 12):
        x, y = np.cumsum(rng.uniform(0.3, 2, size)), rng.normal(size=size)
        at = np.linspace(x[0], x[-1], 57)
        np.testing.assert_allclose(monotone(at, x, y), PchipInterpolator(x, y)(at), atol=1e-12)
    assert np.isnan(monotone([0.9, 3.1], [1, 2, 3], [1, 2, 4])).all()
    assert monotone(1.25, [1, 2], [0, 8]) == 2
