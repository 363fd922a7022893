"""Shell ratings by temperature."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import UnknownName
from softseat.pressure.shell import rating, shell_ratings, usual_standard
from softseat.tables import read

C = 273.15


def of(system, material, class_, size, temperature):
    return rating(system, material, size, temperature, class_=class_)


STEELS = ("A216 WCB", "A351 CF8M", "A351 CF8", "A890 4A")


def test_class_150_meets_the_common_ceiling_from_250_c():
    # ASME B16.34: the Class 150 ceiling p = 21.41 - 0.03724 T [bar, C] for every steel, printed to a tenth of a bar
    for material in STEELS:
        for t in (250, 300):
            assert of("ASME B16.34", material, "Class 150", "DN200", t + C)[0] / 1e5 == pytest.approx(21.41 - 0.03724 * t, rel=0, abs=0.13)


def test_metric_and_inch_columns_agree():
    """One standard prints both: the psi column falls on the straight lines of the bar column, both rounded (5 psi = 0.35 bar)."""
    for row in read("pressure_temperature_ratings"):
        if row["T_unit"] == "F" and row["system"] in ("ASME B16.34", "ASME B16.42"):
            word = {"Group 1.1": "A216 WCB", "Group 2.2": "A351 CF8M"}.get(row["material"][:9], "A395")
            psi = float(row["p"]) * 6894.757
            got = of(row["system"], word, "Class 150", "DN200", (float(row["T"]) - 32) / 1.8 + C)[0]
            if not np.isnan(got):  # the metric column of A216 WCB ends at 425 C
                assert got == pytest.approx(psi, rel=0, abs=0.36e5)


def test_pn_ratings_keep_one_ratio():
    # EN 1092-2: the pressure at temperature is the same share of every PN, as printed to a tenth of a bar
    t = np.array([120, 135, 200, 300]) + C
    p10, p16, p25 = (shell_ratings("EN 1092-2", "EN-GJS-400-15", f"PN{n}", 200, t) / n for n in (10, 16, 25))
    assert p16 == pytest.approx(p10, rel=0.006)
    assert p25 == pytest.approx(p10, rel=0.006)


RATED = [*(("ASME B16.34", s, "Class 150") for s in STEELS), ("EN 1092-2", "EN-GJL-250", "PN16"), ("ASME B16.42", "A395", "Class 150")]


@given(st.sampled_from(RATED), st.floats(-9, 300), st.floats(0, 50))
def test_hotter_is_never_stronger(which, t, more):
    cold, hot = shell_ratings(*which, 200, np.array([t, t + more]) + C)
    assert np.isnan(hot) or hot <= cold


def test_a_small_grey_iron_body_stands_more_than_a_large_one():
    # ASME B16.1: 200 psi to NPS 12, 150 psi above, at 150 F
    got = shell_ratings("ASME B16.1", "A126 Class B", "Class 125", [300, 350], 338.0)
    assert got / 6894.757 == pytest.approx([200, 150], rel=1e-6)


def test_outside_the_table_is_nan_and_the_others_go_on():
    got = shell_ratings("", ["EN-GJL-250", "EN-GJL-250", "A216 WCB", "?", "EN-GJL-250"], ["PN16"] * 2 + ["Class 150", "PN16", "PN16"], 200,
                        np.array([-11, -10, -29, 20, 301]) + C)  # fmt: skip
    assert np.isnan(got).tolist() == [True, False, False, True, True]
    assert got[1:3] == pytest.approx([16e5, 19.6e5])


def test_the_standard_that_rates_a_material():
    asked = {("EN-GJS-400-15", "PN16"): "EN 1092-2", ("EN-GJS-400-15", "Class 150"): "ASME B16.42", ("WCB", "PN16"): "EN 1092-1"}
    asked |= {("GJL-250", "Class 125"): "ASME B16.1", ("CF8M", "Class 150"): "ASME B16.34", ("CF8M", "Class 125"): ""}
    assert {key: usual_standard(*key) for key in asked} == asked


def test_mistakes_name_the_field_and_what_is_allowed():
    with pytest.raises(UnknownName, match="material 'brass' is not rated in EN 1092-2; it rates EN-GJL-250"):
        of("EN 1092-2", "brass", "PN16", "DN200", 300.0)
    with pytest.raises(UnknownName, match=r"class 'PN40' is not in EN 1092-2.*PN10, PN16, PN25"):
        of("EN 1092-2", "EN-GJL-250", "PN40", "DN200", 300.0)
