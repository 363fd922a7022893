import pytest

from softseat.enquiry.headings import heading


@pytest.mark.parametrize(
    ("text", "fields", "unit"),
    [
        ("Press op/des barg", ("p1", "p_design"), "bar(g)"), ("Flow norm/max", ("flow", "flow_max"), ""),
        ("OP TEMP (F)", ("t_normal",), "F"),
        ("Temp op/des C", ("t_normal", "t_max"), "C"), ("MAX PRESS (PSIG)", ("p_max",), "psi(g)"), ("Flow [m3/h]", ("flow",), "m3/h"),
        ("Temperature °C min/norm/max", ("t_min", "t_normal", "t_max"), "C"), ("Max. operating pressure (bar g)", ("p_max",), "bar(g)"),
        ("Betriebsdruck [bar]", ("p1",), "bar"), ("Δp bar", ("drop",), "bar"), ("Size (in)", ("size",), "in"), ("tag-no", ("tag",), ""),
        ("Operating Tempreature", ("t_normal",), ""), ("Body/Disc/Seat", ("body", "disc", "liner"), ""),
        ("Pressure (barg) design", ("p_design",), "bar(g)"),
        ("Closing time (s)", ("stroke_time",), "s"), ("P1 (bara)", ("p1",), "bar(a)"), ("Débit", ("flow",), ""),
        ("Flow Rate US gpm", ("flow",), "gpm"),
        ("op./day", ("cycles",), "1/d"), ("Remaks", ("remarks",), ""), ("Op T (°F)", ("t_normal",), "F"),
        ("Betr.druck bar(ü)", ("p1",), "bar(g)"), ("Density kg/m3", ("density",), "kg/m3"), ("Max flow l/s", ("flow_max",), "l/s"),
        ("Flow/m3/h", ("flow",), "m3/h"),
    ],
)  # fmt: skip
def test_headings_with_their_units(text, fields, unit):
    found = heading(text)
    assert (found.candidates[0], found.unit) == (fields, unit)


@pytest.mark.parametrize("text", ["Mediun", "Medum", "Faill", "Vacuun", "Velocity", "Pump name", "Colour of paint", "123", ""])
def test_what_is_not_known_stays_so_and_a_medium_is_never_guessed(text):
    assert heading(text).candidates == ()


@pytest.mark.parametrize(
    ("text", "unit"), [("Working head m", "m head"), ("Max. head (m)", "m head"), ("PSIG OPER", "psi(g)"), ("Pipe length (m)", "m")]
)
def test_the_unit_in_a_heading(text, unit):
    """Metres of water where a pressure is meant; a unit may come first (common practice, no source)."""
    assert heading(text).unit == unit
