"""Lengths of studs and screws against sums made elsewhere, published stud lengths, and their properties."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.piping.bolting import bolting_list, screw_band, stud_length
from softseat.piping.drilling import drilling
from softseat.piping.fasteners import fastener, fasteners, tightening
from softseat.tables import number, read

EXAMPLES = read("wafer_bolting_examples")
# ASME B16.5 Table 7 (Class 150): stud lengths for raised face in inches, by NPS, as the inch edition prints them
B16_5_STUDS = {
    2: 3.25,
    2.5: 3.5,
    3: 3.5,
    4: 3.5,
    5: 3.75,
    6: 4.0,
    8: 4.25,
    10: 4.5,
    12: 4.75,
    14: 5.25,
    16: 5.25,
    18: 5.75,
    20: 6.25,
    24: 6.75,
}
GASKET = 3.0e-3  # [m]: what Annex C of ASME B16.5 reckons with


@pytest.mark.parametrize("row", EXAMPLES, ids=[f"{r['rating']} {r['DN']}" for r in EXAMPLES])
def test_the_worked_examples(row):
    """Computed apart from this code, from the same dimensions."""
    face, flange, holes = number(row["ftf_mm"], "mm"), number(row["tf_mm"], "mm"), number(row["n"])
    length, count, calculated = stud_length("wafer", face, flange, row["bolt"], holes=holes)
    assert (length, count) == (pytest.approx(number(row["stud_len_mm"], "mm")), holes)
    assert calculated == pytest.approx(number(row["stud_calc_mm"], "mm"), rel=0, abs=0.11e-3)
    shortest, longest = screw_band(face, flange, row["bolt"])
    assert shortest == pytest.approx(number(row["lug_screw_min_mm"], "mm"), rel=0, abs=0.11e-3)
    assert longest == pytest.approx(number(row["lug_screw_max_mm"], "mm"), rel=0, abs=0.11e-3)
    screw, both, _ = stud_length("lugged", face, flange, row["bolt"], holes=holes)
    assert both == number(row["n_lug_screws"])
    if row["lug_screw_pick_mm"] and longest >= shortest:
        assert screw == pytest.approx(number(row["lug_screw_pick_mm"], "mm"))
    elif longest < shortest:
        assert math.isnan(screw)


@pytest.mark.parametrize(("nps", "inches"), B16_5_STUDS.items(), ids=str)
def test_the_inch_rule_makes_the_studs_of_asme_b16_5(nps, inches):
    """Two flanges and a gasket: with the thickness as tabled, rounded up to the quarter inch, the rule gives the printed stud."""
    d = drilling("ASME B16.5", "Class 150", {2: 50, 2.5: 65, 3: 80}.get(nps, nps * 25))
    raised = 2e-3  # the tabled minimum is without the raised face; the printed studs were set before it was taken out
    calculated = stud_length("wafer", GASKET, float(d.flange_thickness) - raised, str(d.bolt))[2]
    assert math.ceil(calculated / 0.0254 * 4) / 4 == inches


def test_nuts_are_as_high_as_their_formulas():
    # ASME B18.2.2 heavy hex nut, nominal: H = d - 1/64 in to 1-1/8 in, d - 1/32 in above; ISO 4032 has about 0.8 d or a little more
    for f in fasteners().values():
        if f.metric:
            assert 0.79 * f.diameter < f.nut < 0.95 * f.diameter
        else:
            less = 1 / 64 if f.diameter < 1.2 * 0.0254 else 1 / 32
            assert f.nut == pytest.approx(f.diameter - less * 0.0254, rel=0, abs=0.15e-3)


def test_tensile_areas_are_the_formula_of_the_threads():
    # ISO 898-1: As = pi/4 (d - 0.9382 P)^2; ASME B1.1: 0.7854 (d - 0.9743/n)^2
    for f in fasteners().values():
        assert f.area == pytest.approx(np.pi / 4 * (f.diameter - (0.9382 if f.metric else 0.9743) * f.pitch) ** 2, rel=0.006)


def test_torque_is_the_nut_factor_times_force_and_diameter():
    # Shigley: T = K F d; M20, 8.8: 0.5 x 640 MPa x 245 mm2 = 78.4 kN, K 0.20 gives 314 N m
    assert tightening("M20") == pytest.approx((235.2, 313.6), rel=1e-3)


METRIC = st.sampled_from([b for b, f in fasteners().items() if f.metric])


@given(METRIC, st.floats(0.03, 0.2), st.floats(0.015, 0.06))
def test_a_stud_is_long_enough_and_not_a_step_too_long(bolt, face, flange):
    f = fastener(bolt)
    length, _, calculated = stud_length("wafer", face, flange, bolt)
    assert length >= calculated - 1e-9 >= face + 2 * flange + 2 * f.nut
    assert length - calculated < 0.020


@given(METRIC, st.floats(0.03, 0.25), st.floats(0.015, 0.06))
def test_opposed_screws_catch_one_diameter_and_never_meet(bolt, face, flange):
    length, _, _ = stud_length("lugged", face, flange, bolt)
    if not math.isnan(length):
        depth = length - flange - fastener(bolt).washer
        assert depth >= fastener(bolt).diameter - 1e-9
        assert 2 * depth < face


def test_a_blind_thread_shortens_the_screw():
    through, blind = (stud_length("lugged", 0.12, 0.026, "M24", body_thickness=d)[0] for d in (None, 0.03))
    assert blind < through


def test_neck_holes_are_tapped_from_both_sides():
    studs, screws = bolting_list("double_flanged", 0.152, 0.024, "M20", 12, neck_holes=4, thread_depth=0.03)
    assert (studs.what, studs.number, studs.nuts, studs.washers) == ("bolt", 16, 16, 32)
    assert (screws.what, screws.number, screws.nuts) == ("screw", 8, 0)
    assert 0.024 + 0.003 + 0.020 <= screws.length <= 0.024 + 0.003 + 0.03


def test_lines_of_a_wafer_and_of_a_body_too_thin_for_its_screws():
    (line,) = bolting_list("wafer", 0.06, 0.029, "3/4 in", 8)
    assert (line.number, line.nuts, line.washers) == (8, 16, 0)
    (thin,) = bolting_list("lugged", 0.033, 0.018, "M16", 4)
    assert math.isnan(thin.length)
    assert "too thin" in thin.note
    (unknown,) = bolting_list("wafer", 0.06, float("nan"), "M20", 8)
    assert "not known" in unknown.note
    assert "nan" not in unknown.note


def test_words_as_typed_and_mistakes():
    assert [fastener(b).bolt for b in ("m 20", '1 1/8"', "3/4", "1-1/4 in")] == ["M20", "1-1/8 in", "3/4 in", "1-1/4 in"]
    with pytest.raises(UnknownName, match="M20"):
        fastener("M21")
    with pytest.raises(InputError, match="wafer, lugged, double_flanged"):
        stud_length("lug", 0.06, 0.024, "M20")
    assert math.isnan(stud_length("wafer", float("nan"), 0.024, "M20")[0])
