"""Units against NIST SP 811 (2008 edition), Appendix B.8, as printed; typed numbers by round trip; what is assumed is said."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from softseat.errors import InputError, UnknownName
from softseat.names import names
from softseat.units import (
    SI,
    UNITS,
    decimal_sign,
    digits,
    find,
    from_si,
    known,
    number,
    read,
    read_as,
    shown,
    to_si,
)

# unit, SI value as printed (NIST SP 811:2008, B.8; typed from memory of the table), significant digits printed
NIST = [
    ("atm", 1.01325e5, 6), ("bar", 1.0e5, 6), ("mbar", 1.0e2, 6), ("psi", 6.894757e3, 7), ("kgf/cm2", 9.80665e4, 6),
    ("inHg", 3.386389e3, 7), ("mmHg", 1.333224e2, 7), ("torr", 1.333224e2, 7), ("inWG", 2.490889e2, 7), ("ft head", 2.989067e3, 7),
    ("mm head", 9.80665, 6), ("gpm", 6.309020e-5, 7), ("cfm", 4.719474e-4, 7), ("cfs", 2.831685e-2, 7), ("lb/h", 1.259979e-4, 7),
    ("lb/min", 7.559873e-3, 7), ("in", 2.54e-2, 7), ("ft", 3.048e-1, 7), ("mil", 2.54e-5, 7), ("lb/ft3", 1.601846e1, 7),
    ("lbf ft", 1.355818, 7), ("lbf in", 1.129848e-1, 7), ("kgf m", 9.80665, 6), ("mPa s", 1.0e-3, 6), ("cSt", 1.0e-6, 6),
    ("hp", 7.456999e2, 7), ("lbf", 4.448222, 7), ("ft/s", 3.048e-1, 7), ("t", 1.0e3, 6), ("lb", 4.535924e-1, 7),
]  # fmt: skip
GALLON_IMPERIAL = 4.54609e-3  # [m3], NIST SP 811 B.8
BARREL = 1.589873e-1  # [m3], 42 US gallons, NIST SP 811 B.8


@pytest.mark.parametrize(("unit", "printed", "figures"), NIST, ids=[n[0] for n in NIST])
def test_factors_of_nist_sp_811(unit, printed, figures):
    assert float(f"{SI[unit][0]:.{figures - 1}e}") == pytest.approx(printed, rel=10.0 ** (1 - figures) * 0.51)


def test_flows_built_on_printed_volumes():
    assert to_si(1.0, "igpm") == pytest.approx(GALLON_IMPERIAL / 60, rel=1e-12)
    assert to_si(1.0, "bbl/d") == pytest.approx(BARREL / 86400, rel=5e-7)


@pytest.mark.parametrize(("fahrenheit", "kelvin"), [(-40.0, 233.15), (32.0, 273.15), (212.0, 373.15), (203.0, 368.15), (-22.0, 243.15)])
def test_fahrenheit(fahrenheit, kelvin):
    """NIST SP 811 B.9: T/K = (t/F + 459.67)/1.8."""
    assert to_si(fahrenheit, "F") == pytest.approx(kelvin, abs=1e-9)


def test_reference_states_of_gas_flow():
    """Ideal gas, closed form: a flow at 15 C or 60 F as the flow at 0 C and 101.325 kPa."""
    assert read_as("1000 Sm3/h", "m3/s") == pytest.approx(1000 / 3600 * 273.15 / 288.15, rel=1e-12)
    assert read_as("1000 Nm3/h", "m3/s") == pytest.approx(1000 / 3600, rel=1e-12)
    sixty = (60 + 459.67) / 1.8
    scfm = 0.3048**3 / 60 * 273.15 / sixty * 14.696 * 6894.757293168 / 101325
    assert read_as("1200 SCFM", "m3/s") == pytest.approx(1200 * scfm, rel=1e-9)
    assert read("1200 SCFM", "flow").kind == "standard_gas"


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("360 m3/h", "m3/s", 0.1), ("680 kPa", "Pa", 680e3), ("3.5 barg", "Pa", 451325.0), ("90 C", "K", 363.15),
        ("4.75 psia", "Pa", 32750.1),
        ("3 in", "m", 0.0762), ("0.39 cP", "Pa s", 0.39e-3), ("SG 1.05", "kg/m3", 1050.0), ("1.05 SG", "kg/m3", 1050.0),
        ("FV", "Pa", 0.0),
        ("atm", "Pa", 101325.0), ("-0,9 bar(g)", "Pa", 11325.0), ("2 1/2\"", "m", 0.0635), ("DN200", "m", 0.2), ("NPS 8", "m", 0.2032),
        ("200NB", "m", 0.2), ("Ø200", "m", 0.2), ("8''", "m", 0.2032), ("30 deg", "deg", 30.0), ("165 m3/h", "m3/h", 165.0),
        ("20 %", "-", 0.2),
        ("10 m head", "Pa", 98066.5), ("8 x per day", "1/y", 2920.0), ("70 Shore A", "Shore A", 70.0), ("0.9", "-", 0.9),
        ("2,5", "m", 2.5),
        ("10 kgf/cm2(g)", "Pa", 980665 + 101325.0), ("40 micron", "m", 40e-6), ("29 g/mol", "kg/mol", 0.029),
    ],
)  # fmt: skip
def test_texts_with_their_own_unit(text, unit, value):
    assert read_as(text, unit) == pytest.approx(value, rel=2e-6)


@pytest.mark.parametrize(
    ("text", "kind"),
    [("3.5 barg", "gauge"), ("3.5 bar(g)", "gauge"), ("3.5 bar g", "gauge"), ("45 psig", "gauge"), ("3 bar abs", "absolute"),
     ("3 bara", "absolute"),
     ("4.75 psia", "absolute"), ("100 mbar a", "absolute"), ("3 bar", "unsaid"), ("2 kg/cm2 g", "gauge"), ("350 kPag", "gauge"),
     ("FV", "absolute")],
)  # fmt: skip
def test_gauge_and_absolute_are_told_apart(text, kind):
    assert read(text, "pressure").kind == kind


def test_a_difference_has_no_atmosphere():
    assert read("6 barg", "difference").value == pytest.approx(6e5)


@pytest.mark.parametrize(("text", "unit"), [("5 kg", "Pa"), ("abc", "m"), ("3 furlongs", "m"), ("20 C", "Pa"), ("", "K")])
def test_what_cannot_be_read_is_one_clear_error(text, unit):
    with pytest.raises(InputError, match=r"a number|no number|is a|not understood"):
        read_as(text, unit)


def test_unknown_unit_lists_the_known_ones():
    with pytest.raises(UnknownName, match=r"furlong.*m3/h"):
        to_si(1.0, "furlong")


@pytest.mark.parametrize(
    ("text", "decimal", "value"),
    [("1,200", None, 1200), ("1,200", ",", 1.2), ("1,200", ".", 1200), ("6.000", None, 6), ("6.000", ",", 6000), ("1,2", ".", 1.2),
     ("5,5", None, 5.5),
     ("1 200,5", None, 1200.5), ("1.200,5", None, 1200.5), ("1,200.5", None, 1200.5), ("1.234.567", None, 1234567),
     ("0,125", ".", 0.125), ("-0,9", None, -0.9),
     ("1'200", None, 1200), ("2 1/2", None, 2.5), ("1/2", None, 0.5), (".5", None, 0.5), ("1e-3", None, 1e-3), ("−5", None, -5)],
)  # fmt: skip
def test_number_formats(text, decimal, value):
    assert number(text, decimal)[0] == pytest.approx(value, rel=1e-12)


def test_what_was_guessed_is_said():
    assert "thousands" in number("1,200")[1]
    assert number("1,200", ".")[1] == ""


def test_the_neighbours_tell_the_decimal_sign():
    assert decimal_sign(["5,5", "6.000"]) == ","
    assert decimal_sign(["7,200 m3/h", "2.8/6"]) == "."
    assert decimal_sign(["1,200", "12"]) == ""


@given(st.decimals(0, 10**7, places=2), st.sampled_from([(",", "."), (".", ","), (" ", ","), (" ", "."), ("'", "."), ("\u00a0", ",")]))
def test_every_way_of_grouping_reads_back(value, signs):
    group, decimal = signs
    text = f"{value:,.2f}".replace(",", "_").replace(".", decimal).replace("_", group)
    assert number(text, decimal)[0] == pytest.approx(float(value), rel=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)))
def test_there_and_back(value, unit):
    assert from_si(to_si(value, unit), unit) == pytest.approx(
        value, rel=1e-9, abs=1e-6 * max(1.0, abs(known(unit).offset / known(unit).factor))
    )


def test_every_unit_is_found_by_its_own_name_and_arrays_pass():
    assert [u for u in UNITS if find(u, UNITS[u].dimension) is not UNITS[u]] == []
    assert to_si(np.array([0.0, np.nan]), "C")[0] == 273.15


def test_capitals_matter_only_where_they_tell_units_apart():
    assert find("MPa").name == "MPa"
    assert find("mPa s").name == "mPa s"
    assert find("M3/H", "flow").name == "m3/h"
    assert find("PSIG", "pressure").name == "psi(g)"


@pytest.mark.parametrize(
    ("value", "name", "text"),
    [(451325.0, "p1", "3.5 bar(g)"), (318.15, "t_max", "45 C"), (0.1, "flow", "360 m3/h"), (2e4, "drop", "0.2 bar"),
     (165.2345, "kv", "165.2 m3/h"),
     (2920.0, "cycles", "2920 1/y"), (12345.6, "N m", "12346 N m"), (0.0, "flow", "0 m3/h"), (math.nan, "p1", "not known"),
     (40e-6, "d50", "40 um"),
     (0.39e-3, "viscosity", "0.39 mPa s"), (11325.0, "p1", "-0.9 bar(g)")],
)  # fmt: skip
def test_shown_to_people(value, name, text):
    assert shown(value, name) == text


@given(st.floats(1e-3, 1e7))
def test_shown_digits_are_true_to_four_figures(value):
    assert float(digits(value)) == pytest.approx(value, rel=5.1e-4)


def test_every_unit_of_the_vocabulary_is_known():
    for name in names().values():
        assert known(name.unit)
        assert known(name.shown)
