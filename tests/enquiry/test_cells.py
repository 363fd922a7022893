"""Cells as buyers type them. Expected figures are arithmetic on the typed ones; gauge is above 101.325 kPa."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.enquiry.cells import cell_said
from softseat.enquiry.reading import Column
from softseat.sheet import ASSUMED, GIVEN, UNREADABLE

ATM = 101325.0


def said(text, *fields, unit="", borrowed="", decimal=""):
    """name -> value of a cell."""
    return {s.name: s.value for s in cell_said(text, Column("", 0, fields, unit, borrowed, decimal))}


def states(text, *fields, unit="", borrowed="", decimal=""):
    return {s.name: s.state for s in cell_said(text, Column("", 0, fields, unit, borrowed, decimal))}


@pytest.mark.parametrize(
    ("text", "low", "normal", "high"),
    [("18-36/45", 18, 36, 45), ("36/45", None, 36, 45), ("10/121", None, 10, 121), ("-10 to 40", -10, None, 40),
     ("+5 ... +60", 5, None, 60),
     ("40", None, 40, None), ("-22/-5", None, -22, -5), ("60 max", None, None, 60), ("20±5", 15, None, 25), ("18 – 36 / 45", 18, 36, 45)],
)  # fmt: skip
def test_temperatures_under_op_des(text, low, normal, high):
    found, state = said(text, "t_normal", "t_max", unit="C"), states(text, "t_normal", "t_max", unit="C")
    for name, value in (("t_min", low), ("t_normal", normal), ("t_max", high)):
        if value is None:
            assert state.get(name, ASSUMED) == ASSUMED
        else:
            assert (found[name], state[name]) == (pytest.approx(value + 273.15), GIVEN)


def test_the_cells_own_unit_wins():
    assert said("203 F", "t_max", unit="C")["t_max"] == pytest.approx(95 + 273.15)
    assert said("203", "t_max", unit="F")["t_max"] == pytest.approx(95 + 273.15)


def test_a_short_time_is_an_excursion_not_the_highest_temperature():
    found = said("121 C for 30 min", "t_max")
    assert found == {"excursion": "121 C for 30 min", "t_excursion": pytest.approx(394.15), "excursion_time": pytest.approx(1800)}
    both = said("60 C (85 C for 2 h, 12 per year)", "t_max")
    assert (both["t_max"], both["t_excursion"], both["excursion_time"]) == (
        pytest.approx(333.15),
        pytest.approx(358.15),
        pytest.approx(7200),
    )


def test_ambient_is_assumed_and_said():
    (one,) = cell_said("amb", Column("", 0, ("t_min",)))
    assert (one.state, one.value) == (ASSUMED, pytest.approx(263.15))
    assert "-10" in one.why


@pytest.mark.parametrize(
    ("text", "p1", "highest", "lowest"),
    [("2.8/6", 2.8, 6, None), ("-0.85/FV", -0.85, None, -1.01325), ("FV/10", None, 10, -1.01325), ("-0,9 bar to 2 bar", None, 2, -0.9),
     ("5 bar max", None, 5, None), ("6.0 / 10 (P2 = 0.3)", 6, 10, None), ("69/75", 69, 75, None), ("atm", 0, None, None)],
)  # fmt: skip
def test_pressures(text, p1, highest, lowest):
    found, state = said(text, "p1", "p_design", unit="bar(g)"), states(text, "p1", "p_design", unit="bar(g)")
    for name, bar in (("p1", p1), ("p_max", highest), ("p_min", lowest)):
        if bar is not None:
            assert found[name] == pytest.approx(bar * 1e5 + ATM, abs=1e-3)
            assert state[name] == GIVEN
        else:
            assert state.get(name, ASSUMED) == ASSUMED
    assert "(P2" not in text or found["p2"] == pytest.approx(0.3e5 + ATM)


def test_two_figures_under_one_heading_are_operating_and_highest():
    found = said("4/10 barg", "p1")
    assert (found["p1"], found["p_max"]) == (pytest.approx(4e5 + ATM), pytest.approx(10e5 + ATM))
    three = said("5/20/60 C", "t_max")
    assert [three[n] - 273.15 for n in ("t_min", "t_normal", "t_max")] == pytest.approx([5, 20, 60])


def test_gauge_absolute_and_what_is_not_said():
    assert said("3 bara", "p1")["p1"] == pytest.approx(3e5)
    assert said("45", "p1", unit="psi(g)")["p1"] == pytest.approx(45 * 6894.757 + ATM, rel=1e-6)
    assert (said("3 bar", "p1")["p_kind"], states("3 bar", "p1")["p1"]) == ("unsaid", ASSUMED)
    assert said("3 bar", "p1", unit="bar(g)")["p_kind"] == "gauge"  # the heading says it
    assert said("-0.4 bar", "p1")["p_kind"] == "gauge"  # below nothing there is no absolute
    assert said("0.3 bar", "p_min")["p_min_typed"] == pytest.approx(0.3)


def test_saturated_is_steam():
    assert said("3,5 bar(g) sat.", "p1")["state"] == "steam"


def test_a_pressure_below_the_atmosphere_is_the_lowest_too():
    found = said("-14.6", "p_max", unit="psi(g)")
    assert found["p_min"] == pytest.approx(ATM - 14.6 * 6894.757, rel=1e-4)
    assert found["p_max"] == pytest.approx(ATM)


def test_differences_have_no_atmosphere():
    assert said("6", "shutoff", borrowed="bar(g)")["shutoff"] == pytest.approx(6e5)
    assert said("10/6 bar", "shutoff")["shutoff"] == pytest.approx(10e5)


@pytest.mark.parametrize(
    ("text", "unit", "name", "value", "kind"),
    [("7,200 m3/h", "", "flow", 2.0, "volume"), ("0.25 m3/s", "", "flow", 0.25, "volume"),
     ("210 kg/h", "", "mass_flow", 210 / 3600, "mass"),
     ("130,000 lb/h", "", "mass_flow", 130000 * 1.259979e-4, "mass"), ("3800 Nm3/h", "", "flow", 3800 / 3600, "normal_gas"),
     ("640 m3/h max", "", "flow_max", 640 / 3600, "volume"), ("1,1", "t/h", "mass_flow", 1100 / 3600, "mass"),
     ("80 gpm", "", "flow", 80 * 6.309020e-5, "volume")],
)  # fmt: skip
def test_flows(text, unit, name, value, kind):
    found = said(text, "flow", unit=unit)
    assert found[name] == pytest.approx(value, rel=1e-6)
    assert found["flow_kind"] == kind


def test_min_normal_and_max_flow_by_their_words():
    found = said("min 5 norm 10 max 20 m3/h", "flow")
    assert [3600 * found[n] for n in ("flow_min", "flow", "flow_max")] == pytest.approx([5, 10, 20])


def test_a_bare_flow_takes_the_unit_of_the_other_rows_or_stays_in_doubt():
    assert (said("680", "flow", borrowed="m3/h")["flow"], states("680", "flow", borrowed="m3/h")["flow"]) == (
        pytest.approx(680 / 3600),
        ASSUMED,
    )
    assert said("680", "flow")["flow_bare"] is True
    assert states("680", "flow")["flow"] == UNREADABLE
    assert "flow_bare" not in said("680", "flow", unit="m3/h")


@pytest.mark.parametrize(
    ("text", "expected"),
    [("Pneu DA + positioner", {"operator": "pneumatic_da", "accessories": "positioner"}),
     ("Pneu FC", {"operator": "pneumatic_sr", "fail": "close"}),
     ("Gear with extension spindle", {"operator": "gear", "accessories": "extension spindle"}),
     ("Electric modulating", {"operator": "electric_modulating", "duty": "control"}),
     ("Gear + tamper switch", {"operator": "gear", "accessories": "tamper switch"}), ("gear + handwheel", {"operator": "gear"}),
     ("Handhebel", {"operator": "lever"}),
     ("Electric open-close", {"operator": "electric_onoff", "duty": "onoff"}), ("none", {}), ("TBC", {}),
     ("Federrückstellung", {"operator": "pneumatic_sr"}), ("Federrueckstellung", {"operator": "pneumatic_sr"})],
)  # fmt: skip
def test_operators(text, expected):
    assert said(text, "operator") == expected


@pytest.mark.parametrize(
    ("text", "letters", "old"),
    [("EPDM white", "EPDM", False), ("CSPE", "CSM", True), ("FPM", "FKM", True), ("Silicone", "VMQ", True), ("nitrile", "NBR", True),
     ("NBR", "NBR", False),
     ("EPDM (same as others, one spare)", "EPDM", False)],
)  # fmt: skip
def test_liners_by_iso_1629_letters(text, letters, old):
    found = said(text, "liner")
    assert (found["liner"], found.get("liner_old_name", False), found["liner_typed"]) == (letters, old, text)


def test_an_unknown_rubber_is_never_guessed():
    found = said("Unobtainium", "liner")
    assert (found["liner"], found["liner_typed"], states("Unobtainium", "liner")["liner"]) == ("", "Unobtainium", UNREADABLE)


@pytest.mark.parametrize(
    ("text", "part", "key"),
    [("DI", "body", "GJS-400-15"), ("CS", "body", "WCB"), ("SS316", "disc", "CF8M"), ("316 SS", "disc", "CF8M"),
     ("Super duplex", "disc", "4469"),
     ("Nylon/DI", "disc", "PA_coated_DI"), ("A351 CF8M", "disc", "CF8M")],
)  # fmt: skip
def test_metals(text, part, key):
    assert said(text, part)[part] == key


def test_a_doubtful_metal_is_an_assumption():
    (one,) = cell_said("AlBz", Column("", 0, ("disc",)))
    assert (one.value, one.state) == ("NiAlBz", ASSUMED)
    assert "ask" in one.why


@pytest.mark.parametrize(
    ("text", "dn"),
    [('8"', 200), ("DN900", 900), ("12 in", 300), ("10in", 250), ('2 1/2"', 65), ("200NB", 200), ("8NB", 200), ("NPS 8", 200),
     ('200 (8")', 200),
     ("1½\"", 40), ("3 IN", 80), ("NW 150", 150), ("Ø200", 200), ("48\"", 1200)],
)  # fmt: skip
def test_sizes(text, dn):
    """NPS and DN by ASME B36.10M and ISO 6708, from memory."""
    assert said(text, "size")["dn"] == dn


@pytest.mark.parametrize(("text", "dn"), [("d110", 100), ("DN315", 300), ("63", 50), ("Ø225", 200)])
def test_the_outside_diameter_of_a_plastic_pipe(text, dn):
    """Flange of the stub end, ISO 9624, from memory; an assumption always."""
    one = next(s for s in cell_said(text, Column("", 0, ("size",))) if s.name == "dn")
    assert (one.value, one.state) == (dn, ASSUMED)
    assert "plastic pipe" in one.why
    assert next(s for s in cell_said('3 1/2"', Column("", 0, ("size",))) if s.name == "dn").value == 90


@pytest.mark.parametrize(
    ("text", "fields"),
    [("DI wafer", {"body": "GJS-400-15", "body_style": "wafer"}), ("lug", {"body_style": "lugged"}), ("CS", {"body": "WCB"})],
)
def test_a_body_cell_names_metal_or_style_or_both(text, fields):
    """Common practice, no source."""
    told = said(text, "body")
    assert {k: told[k] for k in fields} == fields


def test_a_specification_names_the_parts():
    """Common practice, no source; a refusal names what is not wanted, and is left alone."""
    told = said("lugged, DI body, EPDM liner, nylon coated DI disc", "specification")
    assert (told["body_style"], told["liner"], told["disc"]) == ("lugged", "EPDM", "PA_coated_DI")
    assert set(said("no NBR liner", "specification")) == {"specification"}


def test_flow_and_return_are_no_operating_and_highest():
    """Heating, 82 to 71 C: the valve bears 82 C (common practice, no source)."""
    told = {s.name: s.value for s in cell_said("82/71", Column("Temp F/R degC", 0, ("t_max",), "C"))}
    assert told["t_max"] == told["t_normal"] == pytest.approx(82 + 273.15)


def test_a_bare_size_is_read_as_its_neighbours_are():
    assert (said("10", "size", borrowed="in")["dn"], said("50", "size", borrowed="DN")["dn"]) == (250, 50)
    assert said("250", "size")["size_bare"] is True
    assert "size_bare" not in said("8", "size", unit="in")


@pytest.mark.parametrize(
    ("text", "rating", "face"),
    [("PN10", "PN10", None), ("150#", "Class 150", None), ("ANSI 150", "Class 150", None), ("150RF", "Class 150", "RF"),
     ("125FF", "Class 125", "FF"),
     ("JIS 10K", "10K", None), ("Table E", "Table E", None), ("BS10 TE", "Table E", None), ("PN1.6 MPa", "PN16", None),
     ("150 lb", "Class 150", None)],
)  # fmt: skip
def test_ratings(text, rating, face):
    found = said(text, "rating")
    assert (found["rating"], found.get("flange_face")) == (rating, face)


def test_an_end_connection_gives_rating_and_drilling():
    assert said("EN 1092-2 PN16", "system") == {"rating": "PN16", "rating_system": "PN", "pn": 16.0, "system": "EN 1092-2 PN16"}


@pytest.mark.parametrize(
    ("text", "unit", "per_year"),
    [("4", "1/d", 1460), ("24 x per day", "", 8760), ("8 cycles/day", "", 2920), ("2/week", "", 104), ("50", "1/y", 50)],
)
def test_cycles_in_a_year(text, unit, per_year):
    assert said(text, "cycles", unit=unit)["cycles"] == pytest.approx(per_year)


def test_plain_figures():
    assert said("3 - 12", "ph") == {"ph": 12, "ph_min": 3, "ph_max": 12}
    assert said("1.05", "density")["density"] == pytest.approx(1050)
    assert said("12 cSt", "viscosity") == {"kinematic_viscosity": pytest.approx(12e-6)}
    assert said("15 %", "opening")["opening"] == pytest.approx(13.5)
    assert said("40", "d50")["d50"] == pytest.approx(40e-6)
    assert said("99.5%", "concentration")["concentration"] == pytest.approx(0.995)
    assert said("5.5-7 barg", "air_min") == {"air_min": pytest.approx(5.5e5 + ATM), "air_max": pytest.approx(7e5 + ATM)}
    assert said("2+1", "quantity")["quantity"] == 3
    assert states("2.5", "quantity")["quantity"] == UNREADABLE


def test_a_heading_of_unlike_parts():
    found = said("DI/CF8M/EPDM", "body", "disc", "liner")
    assert (found["body"], found["disc"], found["liner"]) == ("GJS-400-15", "CF8M", "EPDM")


@pytest.mark.parametrize("text", ["-", "n/a", "tbc", "TBD", "none", "", "to be confirmed"])
def test_blank_words_say_nothing(text):
    assert cell_said(text, Column("", 0, ("p1",))) == ()


def test_an_error_of_the_workbook_is_unreadable():
    assert states("#REF!", "flow") == {"flow": UNREADABLE}


@given(
    st.text(max_size=30),
    st.sampled_from(
        ["p1", "t_max", "flow", "size", "rating", "liner", "operator", "disc", "quantity", "cycles", "ph", "d50", "fail", "duty"]
    ),
)
def test_no_cell_breaks_the_reader(text, field):
    for one in cell_said(text, Column("", 0, (field,))):
        assert isinstance(one.value, (float, int, str, bool))
        assert one.state == UNREADABLE or not isinstance(one.value, float) or not math.isinf(one.value)


@given(st.floats(-50, 200), st.floats(-50, 200))
def test_a_range_of_temperature_reads_back(a, b):
    low, high = sorted((round(a, 1), round(b, 1)))
    if low < high:
        found = said(f"{low} to {high} C", "t_max")
        assert (found["t_min"], found["t_max"]) == (pytest.approx(low + 273.15), pytest.approx(high + 273.15))
