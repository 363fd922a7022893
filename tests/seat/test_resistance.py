import pytest

from softseat import tables
from softseat.errors import UnknownName
from softseat.register import CALCULATIONS
from softseat.seat.resistance import liner_resistance, metal_key, metal_resistance, stop_rules

# What is refused whatever the letter: the rule that must stand in the notes
STOPS = [
    ("oxygen gas", "R164"),
    ("hydrogen", "R165"),
    ("H2S dry", "R163"),
    ("saturated steam", "R160"),
    ("toluene", "R162"),
    ("LPG", "R064"),
    ("liquid ammonia", "R064"),
    ("acetylene", "R078"),
    ("biogas", "R171"),
    ("helium", "R165"),
]


@pytest.mark.parametrize(("medium", "rule"), STOPS)
def test_stop_rules_go_with_the_answer(medium, rule):
    *_, notes = liner_resistance(medium, "FKM", 293.15)
    assert any(note.startswith(rule) for note in notes), notes


def test_a_rubber_that_resists_oxygen_is_still_refused_in_it():
    rating, *_, notes = liner_resistance("O2", "FPM", 300.0)
    assert rating in "AB"
    assert any("burns" in note for note in notes)


def test_water_carries_no_stop():
    assert [n for n in liner_resistance("cooling tower water", "EPDM", 300.0)[4] if n.startswith("R16")] == []
    known = (
        {row["rule"] for row in tables.read("rules")} if "rule" in tables.read("rules")[0] else {row["id"] for row in tables.read("rules")}
    )
    assert {row["rule"] for row in tables.read("medium_stops")} <= known


def test_the_trades_example():
    """CSM in 98 % sulphuric acid: the trade's limit is 70 C, never a plain yes."""
    rating, limit, reason, basis, _ = liner_resistance("sulphuric acid 98 %", "CSPE", 313.15)
    assert (rating, round(limit - 273.15)) == ("B", 70)
    assert "CSPE read as CSM" in reason
    assert "confirm with the compound" in basis
    assert liner_resistance("sulphuric acid 98 %", "CSM", 345.0)[0] == "C"


def test_a_mixture_is_its_worst_part():
    assert liner_resistance("H2SO4 40% + oil traces", "EPDM", 320.0)[0] == "C"
    assert liner_resistance("sulphuric acid 40%", "EPDM", 320.0)[0] == "A"
    assert liner_resistance("acetone / water", "FKM", 300.0)[0] == "C"


def test_between_two_strengths_both_rows_are_named():
    _, _, reason, _, _ = liner_resistance("acetic acid", "EPDM", 300.0, 0.2)
    assert "acetic acid 10 % and acetic acid 30-80 %" in reason


def test_metals_by_words_of_the_trade():
    assert metal_key("SS316") == "CF8M"
    assert metal_resistance("25 % ammonia solution", "AlBz", 300.0)[0] == "C"
    _, reason, *_ = metal_resistance("sea water", "super duplex", 300.0)
    assert "nearest column" in reason
    assert metal_resistance("sea water", "Ti")[0] == "unknown"
    with pytest.raises(UnknownName, match="known are GJL-250"):
        metal_key("plywood")


def test_too_loose_a_medium_is_a_mistake_that_asks():
    with pytest.raises(UnknownName, match="which acid"):
        liner_resistance("acid", "EPDM")


def test_a_guess_is_shown():
    *_, notes = liner_resistance("sulfuric acod 98%", "CSM", 300.0)
    assert any("taken as" in note for note in notes)


def test_stop_rules_of_every_medium_are_sentences():
    for row in tables.read("media"):
        assert all(rule[0] == "R" and ": " in rule for rule in stop_rules(int(row["id"])))


def test_the_examples_run():
    for name in ("liner-resistance", "metal-resistance"):
        assert CALCULATIONS[name].each
        assert CALCULATIONS[name].example
